"""An attempt: everything one answered rep leaves behind, enough to rebuild it and to refit any model of it."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

Value = str | float
"""What one field of an answer holds: a key of an option, or a number (a band's nominal hertz, decibels)."""


@dataclass(frozen=True, slots=True)
class Attempt:
    """One answered rep.

    Attributes
    ----------
    uid
        A UUID as 32 hex digits; two stores merge by it.
    at
        When it was answered, UTC.
    block
        The UUID of the sitting it belongs to.
    size, unit
        How big the hidden change was.
    target
        ``mix``, or the key of the section or part that the question named; empty where naming it was the question.
    bands
        The octave bands it counts for, nominal hertz to weight; the weights sum to 1.
    right_answer, given_answer
        Field key to value. ``given_answer`` is empty when the learner gave up.
    options
        Field key to the options that were offered, in their order.
    marks, score, right
        The mark of each field from 0 to 1, their combination, and whether all of it was right.
    response_s, flips
        From the first sound to the answer, and how often plain and changed were exchanged.
    setup
        The key of the listening setup, or empty.
    quiz_item
        The key of the quiz item, or empty.
    version
        The program's version.
    """

    uid: str
    at: datetime
    learner: str
    block: str
    exercise: str
    rep_code: str
    show: str
    seed: int
    size: float
    unit: str
    target: str
    bands: Mapping[float, float]
    right_answer: Mapping[str, Value]
    given_answer: Mapping[str, Value]
    options: Mapping[str, tuple[Value, ...]]
    marks: Mapping[str, float]
    score: float
    right: bool
    response_s: float
    flips: int
    setup: str
    quiz_item: str
    version: str
