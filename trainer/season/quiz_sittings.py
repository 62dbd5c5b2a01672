"""Sittings of quizzes: who may sit one, which sitting is gone on with, and what its places deal."""

import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime

from trainer.practice.ahead import Deal
from trainer.practice.attempt import Attempt
from trainer.practice.deal import Rep
from trainer.practice.sitting import Sitting
from trainer.progress.records import record_of
from trainer.progress.store import Store
from trainer.refusal import Refused
from trainer.season.quiz import Quiz, QuizItem

ALLOWED_KIND = "quiz-allowed"
"""Under the quiz's uid and the learner: how many sittings staff allow them."""


@dataclass(frozen=True, slots=True)
class Taken:
    """A sitting of a quiz that was begun: its block's uid, when, and how many items were answered."""

    block: str
    begun_at: datetime
    answered: int


def sittings_taken(store: Store, quiz: Quiz, learner: str) -> tuple[Taken, ...]:
    """Return the sittings of a quiz that a learner has begun, in their order in time."""
    return sittings_begun(store, quiz.uid, learner)


def sittings_begun(store: Store, uid: str, learner: str) -> tuple[Taken, ...]:
    """Return the sittings of the quiz of a uid that a learner has begun, in their order in time."""
    begun: dict[str, list[Attempt]] = {}
    for attempt in store.log.attempts(quiz=uid, learner=learner):
        begun.setdefault(attempt.block, []).append(attempt)
    return tuple(Taken(block, answers[0].at, len(answers)) for block, answers in begun.items())


def left_in_the_middle(quiz: Quiz, taken: Sequence[Taken]) -> Taken | None:
    """Return the first sitting of a quiz that is not at its end; None where there is none."""
    return next((one for one in taken if one.answered < len(quiz.items)), None)


def allow_sittings(store: Store, quiz: Quiz, learner: str, count: int, *, now: datetime) -> None:
    """Allow a learner so many sittings of a quiz in all."""
    store.records.put([record_of(ALLOWED_KIND, f"{quiz.uid}:{learner}", {"sittings": count}, at=now)])


def allowed_sittings(store: Store, quiz: Quiz, learner: str) -> int:
    """Return how many sittings of a quiz a learner is allowed: one unless staff said otherwise."""
    for record in store.records.of_kind(ALLOWED_KIND):
        if record.key == f"{quiz.uid}:{learner}":
            return int(json.loads(record.body)["sittings"])
    return 1


def quiz_sitting(store: Store, quiz: Quiz, learner: str, *, uid: str, now: datetime) -> Sitting:
    """Return the sitting in which a learner takes a quiz: the one left in the middle, or a new one begun now.

    Parameters
    ----------
    uid
        The UUID a new sitting gets.

    Raises
    ------
    Refused
        If they have had all the sittings they are allowed.
    """
    taken = sittings_taken(store, quiz, learner)
    begun = left_in_the_middle(quiz, taken)
    if begun is None and len(taken) >= allowed_sittings(store, quiz, learner):
        raise Refused(
            f"{learner} has taken {quiz.title!r} already, on {taken[-1].begun_at:%Y-%m-%d}; staff can allow "
            "another sitting with `yardline quiz allow`"
        )
    block, begun_at = (uid, now) if begun is None else (begun.block, begun.begun_at)
    exercises = tuple(dict.fromkeys(item.exercise for item in quiz.items))
    show = quiz.items[0].show
    return Sitting(block, learner, exercises, show, len(quiz.items), 0, None, begun_at, quiz=quiz.uid)


def quiz_deals(quiz: Quiz, *, made: Callable[[QuizItem], Rep]) -> list[Deal]:
    """Return the deals of a quiz's items, in their order; ``made`` makes the rep of an item."""
    return [_deal_of(item, made) for item in quiz.items]


def _deal_of(item: QuizItem, made: Callable[[QuizItem], Rep]) -> Deal:
    """Return a deal that, where it fails, is tried again as it is."""
    return lambda _failures: made(item)
