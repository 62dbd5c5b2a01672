"""Listening levels: where a learner left it, and where they begin, which is never loud."""

from trainer.progress.store import Store

LEVEL_SETTING = "listening-level-db"
FIRST_START_DB = -30.0
"""The listening level of somebody's first start: to be turned up from."""
LOUDEST_START_DB = -12.0
"""The loudest level any later start begins at: the headphones may be others by then."""


def start_level_db(store: Store, learner: str) -> float:
    """Return the listening level to begin at, in dB: where the learner left it, but never loud."""
    return min(level_left_db(store, learner), LOUDEST_START_DB)


def level_left_db(store: Store, learner: str) -> float:
    """Return the listening level a learner left it at, in dB; where a first start begins, if they never did."""
    left_at_db = store.settings.get(learner, LEVEL_SETTING)
    return float(left_at_db) if isinstance(left_at_db, int | float) else FIRST_START_DB


def is_level_set(store: Store, learner: str) -> bool:
    """Return whether a learner has ever left a listening level."""
    return store.settings.get(learner, LEVEL_SETTING) is not None


def keep_level(store: Store, learner: str, *, level_db: float) -> None:
    """Keep the listening level a learner has left it at."""
    store.settings.set(learner, LEVEL_SETTING, level_db)
