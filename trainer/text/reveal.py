"""What is said of a rep in words: its question before the answer, the reveal after it, the end of a block."""

from collections.abc import Iterator, Sequence

from trainer.practice.band_scale import band_label
from trainer.practice.block import Mark, Outcome, listen_for
from trainer.practice.deal import Rep
from trainer.practice.exercise import described


def question_lines(rep: Rep, number: int, count: int) -> Iterator[str]:
    """Yield the question and what can be answered; nothing that gives the answer away."""
    yield ""
    yield f"Rep {number} of {count} · {rep.exercise.title} · {rep.excerpt.title}"
    yield rep.question.text
    for field in rep.question.fields:
        yield f"  {field.title}: {field.hint}"


def reveal_lines(outcome: Outcome) -> Iterator[str]:
    """Yield what it was, what was said, and the control that undoes it."""
    rep, question = outcome.rep, outcome.rep.question
    truth = f"{described(rep.answer, question)}{_size_words(rep)}"
    if outcome.given is None:
        yield f"It was: {truth}."
    elif outcome.grade.right:
        yield f"Right: {truth}."
    else:
        yield f"Not quite. It was: {truth}."
        yield f"You said: {described(outcome.given, question)} – worth {outcome.grade.score:.0%}."
    yield f"To undo it: {rep.exercise.remedy(rep.answer, question)}."
    yield f"Rep code: {rep.code}"


def _size_words(rep: Rep) -> str:
    """Return the size of a rep's change with its unit, where it has one."""
    ladder = rep.exercise.ladder
    return f" (size {rep.question.size:g} {ladder.unit})" if ladder.has_sizes else ""


def summary_lines(marks: Sequence[Mark], count: int) -> Iterator[str]:
    """Yield how the block went, and what to listen for next time."""
    right = sum(mark.grade.right for mark in marks)
    yield ""
    yield f"{len(marks)} of {count} reps answered, {right} named right. Every answer is kept."
    band_hz = listen_for(marks)
    if band_hz is not None:
        around = f"what happens around {band_label(band_hz)}"
        yield f"Next time, listen for {around}: most of what was missed lay there."


def quiz_end_lines(marks: Sequence[Mark], count: int) -> Iterator[str]:
    """Yield how far a quiz has come; of how it went nothing is said before its end."""
    yield ""
    if len(marks) < count:
        yield f"{len(marks)} of {count} items answered. Every answer is kept: take the quiz again to go on from here."
    else:
        yield f"All {count} items are answered. Every answer is kept."
