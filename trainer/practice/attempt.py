"""An attempt: everything one answered rep leaves behind, enough to rebuild it and to refit any model of it."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from trainer.practice.evidence import Evidence
from trainer.practice.values import Value


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
    right_answer, given_answer
        Field key to value. ``given_answer`` is empty when the learner gave up.
    asked
        The fields with what was on offer, as JSON: the same text for the same question, kept once.
    marks, score, right
        The mark of each field from 0 to 1, the answer's mark, and whether all of it was right.
    evidence
        What it says about an ear: all that figures of the learner are made from. Empty where it says nothing.
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
    right_answer: Mapping[str, Value]
    given_answer: Mapping[str, Value]
    asked: str
    marks: Mapping[str, float]
    score: float
    right: bool
    evidence: tuple[Evidence, ...]
    response_s: float
    flips: int
    setup: str
    quiz_item: str
    version: str
