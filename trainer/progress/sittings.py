"""Sittings in the store: what was answered of one, and which one a learner left in the middle."""

from contextlib import suppress
from datetime import timedelta

from trainer.practice.attempt import Attempt
from trainer.practice.sitting import Sitting, from_text, to_text
from trainer.progress.errors import StoreError
from trainer.progress.store import Store

SITTING_SETTING = "open-sitting"
"""The sitting that a learner answered something of last."""
CLOCK_SLACK = timedelta(days=1)
"""How far a clock may have been put back since a sitting was begun."""


def answered_of(store: Store, sitting: Sitting) -> list[Attempt]:
    """Return what was answered of a sitting so far, in its order."""
    since = sitting.begun_at - CLOCK_SLACK
    return list(store.log.attempts(learner=sitting.learner, block=sitting.uid, since=since))


def keep_answer(store: Store, sitting: Sitting, attempt: Attempt, *, is_first: bool) -> None:
    """Keep an answer for good; the first of a drill notes that it was begun (a quiz is read from the log)."""
    if is_first and not sitting.quiz:
        store.settings.set(sitting.learner, SITTING_SETTING, to_text(sitting))
    store.log.add(attempt)


def sitting_left(store: Store, learner: str) -> Sitting | None:
    """Return the drill a learner left in the middle, if the last one they answered something of is not at its end."""
    sitting = _begun_last(store, learner)
    if sitting is None or sitting.learner != learner:
        return None
    return sitting if 0 < len(answered_of(store, sitting)) < sitting.count else None


def tidy_away(store: Store, sitting: Sitting) -> None:
    """Forget that a finished sitting was begun; nothing hangs on it, so nothing is said where it fails."""
    with suppress(StoreError):
        if store.settings.get(sitting.learner, SITTING_SETTING) == to_text(sitting):
            store.settings.set(sitting.learner, SITTING_SETTING, "")


def _begun_last(store: Store, learner: str) -> Sitting | None:
    try:
        return from_text(str(store.settings.get(learner, SITTING_SETTING, "")))
    except StoreError:
        raise
    except ValueError:  # nothing, or nothing that this version of the program has written
        return None
