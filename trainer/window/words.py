"""What the window says of a rep and a block, in the words of a colleague."""

from collections.abc import Mapping, Sequence

from trainer.dsp.octave_bands import NOMINAL_HZ
from trainer.ensemble.parts import title_of
from trainer.practice.band_scale import band_label
from trainer.practice.band_words import sounds_like
from trainer.practice.block import Mark, Outcome, listen_for
from trainer.practice.deal import Rep
from trainer.practice.exercise import Exercise, described
from trainer.practice.fields import AmountField

COUNTS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


def verdict(outcome: Outcome) -> str:
    """Return what it was, and what was said where that was something else."""
    rep = outcome.rep
    truth = f"{described(rep.answer, rep.question)}{_exactly(rep)}"
    if outcome.given is None:
        return f"It was {truth}."
    if outcome.grade.right:
        return f"Right: {truth}."
    missed = [one for one in rep.question.fields if outcome.given[one.key] != rep.answer[one.key]]
    said = ", ".join(one.label(outcome.given[one.key]) for one in missed)
    return f"It was {truth}. You said {said}{_how_far(outcome)}."


def _exactly(rep: Rep) -> str:
    """Return the size of the change; where steps of it were on offer, as what the step stood for."""
    size = f"{rep.question.size:g} {rep.exercise.ladder.unit}"
    has_steps = any(isinstance(one, AmountField) for one in rep.question.fields)
    return f", exactly {size}" if has_steps else f" by {size}"


def _how_far(outcome: Outcome) -> str:
    """Return how many octaves the answer was off, for an exercise that asks for a band."""
    given, right = outcome.given or {}, outcome.rep.answer
    if "band" not in given or given["band"] == right["band"]:
        return ""
    octaves = NOMINAL_HZ.index(float(given["band"])) - NOMINAL_HZ.index(float(right["band"]))
    noun = "octave" if abs(octaves) == 1 else "octaves"
    return f": {COUNTS[abs(octaves)]} {noun} {'high' if octaves > 0 else 'low'}"


def remedy(rep: Rep) -> str:
    """Return the control that undoes the change, as a sentence."""
    words = rep.exercise.remedy(rep.answer, rep.question).rstrip(".")
    return f"{words[:1].upper()}{words[1:]}."


def heard_as(rep: Rep) -> str:
    """Return what such a change sounds like, where the exercise asks for a band."""
    if "band" not in rep.answer or "direction" not in rep.answer:
        return ""
    return sounds_like(float(rep.answer["band"]), str(rep.answer["direction"]))


def where_words(rep: Rep) -> str:
    """Return where the rep plays and what it asks about."""
    about = f" · {title_of(rep.question.target)}" if rep.question.target else ""
    return f"{rep.excerpt.title} · {rep.excerpt.room.title}{about}"


def titles_of(keys: Sequence[str], exercises: Mapping[str, Exercise]) -> str:
    """Return the titles of exercises as the title of a block."""
    words = ", ".join(exercises[key].title for key in keys if key in exercises)
    return f"{words[:1].upper()}{words[1:]}"


def minutes_words(seconds: float) -> str:
    """Return a time as somebody would say it."""
    minutes = max(1, round(seconds / 60.0))
    return "about a minute" if minutes == 1 else f"about {minutes} minutes"


def summary(marks: Sequence[Mark], count: int) -> str:
    """Return how a block went."""
    right = sum(mark.grade.right for mark in marks)
    return f"{right} of {len(marks)} named right{'' if len(marks) == count else f', of a block of {count}'}"


def advice(marks: Sequence[Mark]) -> str:
    """Return what to listen for next time."""
    band_hz = listen_for(marks)
    if not marks:
        return ""
    if band_hz is None:
        return (
            "Nothing missed today. Next time the changes may well be smaller: keep the level, keep the pace."
        )
    return (
        f"Most of what you missed lay around {band_label(band_hz)}. At your next rehearsal, listen for it: "
        f"{sounds_like(band_hz, 'boost')} {sounds_like(band_hz, 'cut')}"
    )
