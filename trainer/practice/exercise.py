"""The exercise interface: a kind of question as a value, which draws what is true and says how it sounds.

An exercise does not play, draw pictures, store or read the clock. Every shell renders every exercise from its typed
fields, and any answer to it can be played, the learner's own wrong one included.
"""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Literal

from numpy.random import Generator

from trainer.ensemble.excerpt import Excerpt
from trainer.practice.change import Change
from trainer.practice.evidence import Evidence
from trainer.practice.fields import Field
from trainer.practice.listening import STANDARD, Listening
from trainer.practice.values import Answer
from trainer.refusal import Refused

SIZE_SPREAD = 0.25
"""How far sizes wander around the start of a ladder (standard deviation of their logarithm)."""

Scope = Literal["mix", "section", "stem"]
SCOPES: tuple[Scope, ...] = ("mix", "section", "stem")


class Unhearable(Exception):
    """An excerpt on which nothing of this size could be heard: another one is to be taken."""


@dataclass(frozen=True, slots=True)
class Ladder:
    """The sizes of an exercise's change: from ``easiest`` (largest) to ``hardest`` in steps of ``step``.

    A fault that is there or not has one size, 1, and no unit.
    """

    quantity: str
    unit: str
    easiest: float
    hardest: float
    step: float
    start: float

    @property
    def has_sizes(self) -> bool:
        """Whether the change can be larger or smaller; it is there or not otherwise."""
        return self.hardest < self.easiest

    def around_start(self, rng: Generator) -> float:
        """Return a size on a step of the ladder, some way around its start (a fixed size would be a cue)."""
        steps = round(self.start * math.exp(SIZE_SPREAD * rng.standard_normal()) / self.step)
        return float(min(max(steps * self.step, self.hardest), self.easiest))

    def check(self, size: float) -> float:
        """Return the size if it is on the ladder, or 0 (nothing changed, to test a listener with).

        Raises
        ------
        Refused
            If the size is off the ladder; the message says what was allowed.
        """
        if size == 0.0 or self.hardest <= size <= self.easiest:
            return size
        hint = " (sizes are given without a sign)" if size < 0 else ""
        allowed = f"{self.hardest:g} to {self.easiest:g} {self.unit}"
        raise Refused(
            f"a size of {size:g} {self.unit} is off the ladder: {self.quantity} runs from {allowed}{hint}"
        )


THERE_OR_NOT = Ladder(
    quantity="a fault that is there or not", unit="", easiest=1.0, hardest=1.0, step=1.0, start=1.0
)
"""The ladder of a fault that has no size."""


@dataclass(frozen=True, slots=True)
class Focus:
    """What a rep is wanted to be about; what is left open, the exercise draws.

    Attributes
    ----------
    band_hz
        The octave band (nominal hertz) wished for; where it is not on offer on the excerpt, another is drawn: the
        excerpt comes first, or it would tell the band.
    direction
        +1 (boost, up) or -1 (cut, down).
    listening
        What it is assumed to be listened on.
    """

    size: float
    scope: Scope | None = None
    band_hz: float | None = None
    direction: int | None = None
    listening: Listening = STANDARD


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked: one line of text, the fields with the options on offer, and what the change is made with.

    ``target`` is what the question names (empty where naming it is the question), ``scope`` what kind of target it
    is about, ``size`` is never shown before the answer.
    """

    text: str
    fields: tuple[Field, ...]
    target: str
    size: float
    scope: Scope


@dataclass(frozen=True, slots=True)
class Draw:
    """A question and what is true of it.

    ``bands`` are the octave bands it belongs to (nominal hertz to weight); None where they are those that the change
    moves in the mix, as far as it moves each.
    """

    question: Question
    answer: Answer = field(hash=False)
    bands: Mapping[float, float] | None = field(default=None, hash=False)


@dataclass(frozen=True, slots=True)
class Grade:
    """What an answer was worth: ``marks`` field by field, the answer's ``score``, ``right`` if all of it was."""

    marks: Mapping[str, float] = field(hash=False)
    score: float
    right: bool


@dataclass(frozen=True, slots=True)
class AnswerGiven:
    """An answer to a question with all that is known of it, for an exercise to say what it says about an ear.

    Attributes
    ----------
    kind, ladder
        The kind of question (see `Exercise.kind`), and the exercise's sizes.
    given
        None where the learner gave up.
    bands
        The octave bands the rep counts for, nominal hertz to weight.
    """

    kind: str
    ladder: Ladder
    question: Question
    right: Answer = field(hash=False)
    given: Answer | None = field(hash=False)
    grade: Grade
    bands: Mapping[float, float] = field(hash=False)


def product_of_marks(given: Answer, right: Answer, question: Question) -> Grade:
    """Return the grade of an answer whose fields are marked one by one; a miss in one lessens the rest."""
    marks = {one.key: one.mark(given[one.key], right[one.key]) for one in question.fields}
    return Grade(marks, math.prod(marks.values()), right=all(mark == 1.0 for mark in marks.values()))


def no_setting(question: Question, excerpt: Excerpt) -> Change:  # noqa: ARG001 - the interface's shape
    """Return the setting of most exercises: nothing is done to the plain version."""
    return Change(())


@dataclass(frozen=True, slots=True)
class Exercise:
    """A kind of question.

    Attributes
    ----------
    key, title
        Its name in files and in words.
    purpose
        Why one drills it, in one sentence.
    scopes
        What it can be asked on.
    ladder
        The sizes of its change.
    draw
        ``(excerpt, focus, rng) -> Draw``: what is asked and what is true of it; raises `Unhearable`.
    change
        ``(answer, question, excerpt) -> Change``: how an answer sounds.
    remedy
        ``(answer, question) -> str``: the control that undoes it on any channel strip.
    evidence
        ``(answer given) -> (Evidence, …)``: what an answer says about an ear.
    grade
        ``(given, right, question) -> Grade``: what an answer is worth.
    setting
        ``(question, excerpt) -> Change``: how the plain version sounds, where it is not the excerpt as it is.
    level_is_question
        Whether plain and changed keep their own loudness (they are matched otherwise).
    family
        What keeps its kinds of question apart from earlier ones of the same key: raised when sizes change meaning.
    from_answers
        After how many answers of a learner's it comes into the day's block by itself; it can be chosen any time.
    """

    key: str
    title: str
    purpose: str
    scopes: tuple[Scope, ...]
    ladder: Ladder
    draw: Callable[[Excerpt, Focus, Generator], Draw]
    change: Callable[[Answer, Question, Excerpt], Change]
    remedy: Callable[[Answer, Question], str]
    evidence: Callable[[AnswerGiven], tuple[Evidence, ...]]
    grade: Callable[[Answer, Answer, Question], Grade] = product_of_marks
    setting: Callable[[Question, Excerpt], Change] = no_setting
    level_is_question: bool = False
    family: str = ""
    from_answers: int = 0

    def kind(self, scope: Scope) -> str:
        """Return the name of a kind of question: the exercise, what it is asked on, and its family."""
        return "/".join(filter(None, (self.key, scope, self.family)))


def guess_rate(question: Question) -> float:
    """Return the chance of a wholly right answer by guessing evenly."""
    return math.prod(one.chance for one in question.fields)


def described(answer: Answer, question: Question) -> str:
    """Return an answer in words, field by field."""
    return ", ".join(one.label(answer[one.key]) for one in question.fields)
