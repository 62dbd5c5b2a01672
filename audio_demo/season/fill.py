"""Filling a store with the season."""

from collections.abc import Mapping
from datetime import datetime

from rich.progress import Progress

from audio_demo.season.learners import LEARNERS
from audio_demo.season.simulate import Season
from trainer.practice.exercise import Exercise
from trainer.progress.store import Store
from trainer.refusal import Refused


def fill(
    store: Store,
    exercises: Mapping[str, Exercise],
    *,
    now: datetime,
    weeks: int,
    seed: int,
    bar: Progress,
) -> int:
    """Add the season's attempts to a store; return how many they are.

    Raises
    ------
    Refused
        If the store has answers by any of these learners already: made-up ones are never mixed with those.
    """
    known = [traits.name for traits in LEARNERS if traits.name in store.log.learners()]
    if known:
        raise Refused(
            f"{store.name} has answers by {', '.join(known)} already, and made-up ones are not mixed in: "
            "name an empty folder with --home"
        )
    season = Season(exercises, now, weeks, seed)
    task = bar.add_task("the season", total=weeks * len(LEARNERS))
    count = 0
    for traits in LEARNERS:
        for attempts in season.attempts(traits):
            count += store.log.add_all(attempts)
            bar.advance(task)
    return count
