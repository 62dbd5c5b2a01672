"""Recent answers: what confusions, remarks and the time a rep takes are read from."""

from collections.abc import Sequence
from datetime import datetime, timedelta

from trainer.practice.attempt import Attempt
from trainer.progress.store import Store

LOOKED_BACK = timedelta(days=60)
MOST = 1500
"""How far back they go, and how many they are at most: a page does not wait for more."""


def recent_of(store: Store, learner: str, *, now: datetime) -> list[Attempt]:
    """Return a learner's recent answers, in their order in time."""
    return store.log.latest(learner=learner, since=now - LOOKED_BACK, most=MOST)


def recent_among(attempts: Sequence[Attempt], *, now: datetime) -> list[Attempt]:
    """Return the recent ones of answers that are in their order in time."""
    return [attempt for attempt in attempts if attempt.at >= now - LOOKED_BACK][-MOST:]
