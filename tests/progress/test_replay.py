"""Replay: the log alone decides; what is kept of days gone by never changes an ear, not in the last bit."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import numpy as np
import pytest

from tests.progress.made_up import BANDS, START, answered, rng
from trainer.practice.attempt import Attempt
from trainer.progress import replay as replay_module
from trainer.progress.errors import StoreError
from trainer.progress.replay import Replayed, ear_of, every_day, made_by_of, replay, replayed
from trainer.progress.store import Store, open_store
from trainer.progress.thresholds.ear import Ear, on_day

DAYS = 9
TODAY = START.date() + timedelta(days=DAYS)


def log(count: int = 60, *, first: int = 1, learner: str = "Heron") -> list[Attempt]:
    """Return attempts over nine days, the fifth of them idle."""
    chance = rng(first)
    made = []
    for number in range(count):
        day = number * DAYS // count
        at = START + timedelta(days=day + (day == 4), minutes=number)
        band_hz, said_hz = (BANDS[chance.integers(10)] for _ in range(2))
        said_hz = band_hz if chance.random() < 0.7 else said_hz
        size = 1.5 + 0.5 * int(chance.integers(28))
        marks = {"band": float(said_hz == band_hz), "direction": 1.0}
        more = {"at": at, "size": size, "marks": marks, "learner": learner}
        made.append(answered(first + number, band_hz=band_hz, said_hz=said_hz, **more))
    return made


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with open_store(tmp_path / "store.sqlite", now=START) as opened:
        yield opened


def look(store: Store) -> Replayed:
    return replayed(store, "Heron", today=TODAY)


def same(one: Ear, other: Ear) -> bool:
    """Say whether two ears are the same to the last bit."""
    plain = ("kinds", "first_day", "day", "last_day", "setup", "seen", "answers", "practised")
    return (
        all(getattr(one, name) == getattr(other, name) for name in plain)
        and np.array_equal(one.belief.mean, other.belief.mean)
        and np.array_equal(one.belief.covariance, other.belief.covariance)
    )


def kept(store: Store) -> int:
    return len(store.ears.kept("Heron", made_by=made_by_of(), before=TODAY))


def test_kept_or_replayed_the_ear_is_the_same_to_the_last_bit(store: Store) -> None:
    store.log.add_all(log())
    plain = on_day(replay(log()), TODAY)
    first, again = look(store), look(store)
    assert kept(store) == len(first.days) == 8
    assert same(first.now, plain)
    assert same(again.now, plain)
    assert same(ear_of(store, "Heron", today=TODAY), plain)
    assert all(same(one, other) for one, other in zip(first.days, again.days, strict=True))
    assert plain.answers == 60
    assert not np.array_equal(plain.belief.mean[:10], on_day(replay(log()[:-1]), TODAY).belief.mean[:10])


def test_an_attempt_that_comes_in_late_takes_away_what_was_kept_from_its_day_on(store: Store) -> None:
    attempts = log()
    late = attempts.pop(20)
    store.log.add_all(attempts)
    look(store)
    store.log.add(late)
    assert kept(store) == (late.at.date() - START.date()).days
    assert same(look(store).now, on_day(replay(log()), TODAY))
    assert kept(store) == 8


def test_another_learners_attempts_take_nothing_away(store: Store) -> None:
    store.log.add_all(log())
    look(store)
    store.log.add_all(log(9, first=500, learner="Plover"))
    assert kept(store) == 8


def test_ears_made_otherwise_are_replayed_and_replaced(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    store.log.add_all(log())
    look(store)
    monkeypatch.setattr(replay_module, "EDITION", replay_module.EDITION + 1)
    assert kept(store) == 0
    other = replayed(store, "Heron", today=TODAY)
    assert same(other.now, on_day(replay(log()), TODAY))
    assert kept(store) > 0
    monkeypatch.undo()
    assert kept(store) == 0


def test_before_a_time_only_what_was_answered_before_it_counts_and_what_is_kept_stays_right(
    store: Store,
) -> None:
    attempts = log()
    store.log.add_all(attempts)
    half = attempts[30].at
    ear = ear_of(store, "Heron", today=half.date(), before=half)
    assert same(ear, on_day(replay(attempts[:30]), half.date()))
    assert same(look(store).now, on_day(replay(attempts), TODAY))


def test_every_day_is_there_idle_ones_too_and_each_is_the_end_of_its_day(store: Store) -> None:
    attempts = log()
    store.log.add_all(attempts)
    days = every_day(look(store))
    assert [ear.day for ear in days] == [START.date() + timedelta(days=day) for day in range(DAYS + 1)]
    for ear in days[:-1]:
        assert ear.day is not None
        so_far = [one for one in attempts if one.at.date() <= ear.day]
        assert same(ear, on_day(replay(so_far), ear.day))


def test_somebody_new_has_an_ear_that_nothing_is_known_of(store: Store) -> None:
    found = look(store)
    assert (found.days, found.now.seen, found.now.first_day) == ((), 0, None)
    assert [ear.seen for ear in every_day(found)] == [0]


def test_one_is_told_how_far_a_long_replay_is(store: Store) -> None:
    store.log.add_all(log(2100))
    told: list[int] = []
    replayed(store, "Heron", today=TODAY, heard=told.append)
    assert told == [1000, 2000]


def test_where_a_day_cannot_be_kept_the_ear_is_there_all_the_same(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    store.log.add_all(log())

    def full(*_: object, **__: object) -> bool:
        raise StoreError("the disk is full")

    monkeypatch.setattr(store.ears, "keep", full)
    assert same(look(store).now, on_day(replay(log()), TODAY))
    assert kept(store) == 0


def test_attempts_on_one_setup_are_those_that_name_it(store: Store) -> None:
    attempts = [replace(one, setup=("studio", "", "bus")[number % 3]) for number, one in enumerate(log(30))]
    store.log.add_all(attempts)
    for setup in ("studio", "", "bus", "stadium"):
        wanted = [one for one in attempts if one.setup == setup]
        assert list(store.log.attempts(learner="Heron", setup=setup)) == wanted
