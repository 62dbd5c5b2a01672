"""Sums over the log: the same as adding up every attempt."""

from datetime import timedelta

import pytest

from tests.progress.made_up import START, attempt
from trainer.progress.store import Store
from trainer.progress.tallies import Tally, tallies_of


def assert_tallies_are_the_attempts(store: Store) -> None:
    """Law: what is kept in passing is what adding up all attempts again gives."""
    for learner in store.log.learners():
        kept, again = store.sums.tallies(learner=learner), tallies_of(store.log.attempts(learner=learner))
        assert [(t.day, t.exercise, t.band_hz) for t in kept] == [
            (t.day, t.exercise, t.band_hz) for t in again
        ]
        assert [t.asked for t in kept] == pytest.approx([t.asked for t in again])
        assert [t.right for t in kept] == pytest.approx([t.right for t in again])


def test_tallies_sum_the_weights_by_day_exercise_and_band(store: Store) -> None:
    halves = {125.0: 0.5, 250.0: 0.5}
    tomorrow = START + timedelta(days=1)
    store.log.add_all(
        [
            attempt(1),
            attempt(2, bands=halves),
            attempt(3, bands=halves, marks={"band": 0.0, "direction": 1.0}),
        ]
    )
    store.log.add_all([attempt(4, bands=halves, at=tomorrow), attempt(5, exercise="level"), attempt(1)])
    today = START.date()
    assert store.sums.tallies(learner="Heron") == (
        Tally(today, "level", 1000.0, 1.0, 1.0),
        Tally(today, "octave-tone", 125.0, 1.0, 0.5),
        Tally(today, "octave-tone", 250.0, 1.0, 0.5),
        Tally(today, "octave-tone", 1000.0, 1.0, 1.0),
        Tally(tomorrow.date(), "octave-tone", 125.0, 0.5, 0.5),
        Tally(tomorrow.date(), "octave-tone", 250.0, 0.5, 0.5),
    )
    assert store.sums.tallies(learner="Plover") == ()
