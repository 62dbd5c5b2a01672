"""The exercise interface: a kind of question as a value, which draws what is true and says how it sounds.

An exercise does not play, draw pictures, store, grade or read the clock. Every shell renders every exercise
from its typed fields, and any answer to it can be played, the learner's own wrong one included.
"""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal

from numpy.random import Generator

from trainer.dsp.octave_bands import NOMINAL_HZ
from trainer.ensemble.excerpt import Excerpt
from trainer.practice.attempt import Value
from trainer.practice.change import Change
from trainer.practice.fields import Field
from trainer.practice.listening import usable_bands
from trainer.refusal import Refused

SIZE_SPREAD = 0.25
"""How far sizes wander around the start of a ladder (standard deviation of their logarithm)."""

Scope = Literal["mix", "section", "stem"]
SCOPES: tuple[Scope, ...] = ("mix", "section", "stem")

Answer = Mapping[str, Value]
"""Field key to value."""


class Unhearable(Exception):
    """An excerpt on which nothing of this size could be heard: another one is to be taken."""


@dataclass(frozen=True, slots=True)
class Ladder:
    """The sizes of an exercise's change: from ``easiest`` (largest) to ``hardest`` in steps of ``step``."""

    quantity: str
    unit: str
    easiest: float
    hardest: float
    step: float
    start: float

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


@dataclass(frozen=True, slots=True)
class Focus:
    """What a rep is wanted to be about; what is left open, the exercise draws.

    ``direction`` is +1 (boost, up) or -1 (cut, down). A band is honoured for the mix; for a section or a
    stem the band is drawn evenly from those that can be heard on it. ``usable_hz`` are the octave bands the
    learner's setup can play: nothing is asked about the others.

    Raises
    ------
    Refused
        If the usable bands are too few to ask about, or one of them is no octave band.
    """

    size: float
    scope: Scope | None = None
    band_hz: float | None = None
    direction: int | None = None
    usable_hz: tuple[float, ...] = NOMINAL_HZ

    def __post_init__(self) -> None:
        object.__setattr__(self, "usable_hz", usable_bands(self.usable_hz))


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked: one line of text, the fields with the options on offer, and what the change is made with.

    ``target`` is what the question names (empty where naming it is the question), ``size`` is never shown
    before the answer.
    """

    text: str
    fields: tuple[Field, ...]
    target: str
    size: float


@dataclass(frozen=True, slots=True)
class Draw:
    """A question and what is true of it."""

    question: Question
    answer: Answer


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
    level_is_question
        Whether plain and changed keep their own loudness (they are matched otherwise).
    """

    key: str
    title: str
    purpose: str
    scopes: tuple[Scope, ...]
    ladder: Ladder
    draw: Callable[[Excerpt, Focus, Generator], Draw]
    change: Callable[[Answer, Question, Excerpt], Change]
    remedy: Callable[[Answer, Question], str]
    level_is_question: bool = False


def guess_rate(question: Question) -> float:
    """Return the chance of a wholly right answer by guessing evenly."""
    chance = 1.0
    for field in question.fields:
        chance /= len(field.options)
    return chance


def described(answer: Answer, question: Question) -> str:
    """Return an answer in words, field by field."""
    return ", ".join(field.label(answer[field.key]) for field in question.fields)
