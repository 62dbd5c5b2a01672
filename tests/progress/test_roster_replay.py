"""The ears of many learners at once: to the last bit what each one's attempts give alone."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from tests.progress.made_up import START, answered, rng
from tests.progress.test_replay import same
from trainer.bench.programme import BEGINS, TODAY, learner_names, programme_store
from trainer.practice.attempt import Attempt
from trainer.progress import roster_replay
from trainer.progress.replay import Replayed, made_by_of, replay, replayed
from trainer.progress.roster_replay import replayed_all
from trainer.progress.store import Store, open_store
from trainer.progress.thresholds.ear import Ear, on_day

LEARNERS = 12
NAMES = learner_names(LEARNERS)
DAY_12 = BEGINS.date() + timedelta(days=12)


@pytest.fixture(scope="module")
def logs(tmp_path_factory: pytest.TempPathFactory) -> dict[str, list[Attempt]]:
    """Return three hundred attempts of twelve learners, made uneven: setups change, kinds, sizes and days differ."""
    path = tmp_path_factory.mktemp("programme") / "store.sqlite"
    programme_store(path, learners=LEARNERS, attempts=320, seed=5)
    with open_store(path, now=BEGINS) as store:
        return {
            name: _uneven(number, list(store.log.attempts(learner=name))) for number, name in enumerate(NAMES)
        }


def _uneven(number: int, attempts: list[Attempt]) -> list[Attempt]:
    chance, made = rng(number), []
    for one in attempts:
        at = one.at - timedelta(days=(one.at - BEGINS).days % (number % 3 + 1))  # some days hold several
        setup = ("", "headphones", "studio")[int(chance.integers(3))] if number % 2 else one.setup
        size = one.size if chance.random() < 0.9 else 0.0
        quiz_item = "quiz:001" if chance.random() < 0.1 else ""
        made.append(replace(one, at=at, setup=setup, size=size, quiz_item=quiz_item))
    return sorted(made[: len(made) - number], key=lambda one: (one.at, one.uid))


@pytest.fixture
def store(tmp_path: Path, logs: dict[str, list[Attempt]]) -> Iterator[Store]:
    with open_store(tmp_path / "store.sqlite", now=BEGINS) as opened:
        opened.log.add_all(attempt for log in logs.values() for attempt in log)
        yield opened


def look(store: Store, names: list[str] = NAMES) -> dict[str, Replayed]:
    return replayed_all(store, names, today=TODAY)


def alone(log: list[Attempt]) -> Ear:
    return on_day(replay(log), TODAY)


def test_together_alone_or_kept_an_ear_is_the_same_to_the_last_bit(
    store: Store, logs: dict[str, list[Attempt]]
) -> None:
    first, again = look(store), look(store)
    for name, log in logs.items():
        plain, one = alone(log), replayed(store, name, today=TODAY)
        for found in (first[name], again[name], one):
            assert same(found.now, plain)
        days = sorted({attempt.at.date() for attempt in log})
        assert [ear.last_day for ear in first[name].days] == days
        assert len(store.ears.kept(name, made_by=made_by_of(), before=TODAY)) == len(days)
        for ears in zip(first[name].days, again[name].days, one.days, strict=True):
            assert all(same(ears[0], other) for other in ears[1:])
    assert len({first[name].now.kinds for name in NAMES}) > 1


def test_an_ear_at_the_end_of_a_day_is_what_the_attempts_until_then_leave_behind(
    store: Store, logs: dict[str, list[Attempt]]
) -> None:
    found = look(store)[NAMES[1]]
    for ear in found.days[::5]:
        until = [one for one in logs[NAMES[1]] if ear.last_day and one.at.date() <= ear.last_day]
        assert same(ear, replay(until))


def test_those_kept_and_those_new_and_those_who_never_answered_are_told_in_one_go(
    store: Store, logs: dict[str, list[Attempt]]
) -> None:
    early, late = NAMES[:3], NAMES[3:]
    replayed_all(store, early, today=DAY_12)
    found = look(store, [*late, "Nobody", *early])
    assert list(found) == [*late, "Nobody", *early]
    assert all(same(found[name].now, alone(logs[name])) for name in NAMES)
    assert found["Nobody"].now.seen == 0
    assert found["Nobody"].days == ()


def test_few_are_looked_for_by_name_and_many_in_all_of_the_log_with_the_same_outcome(
    store: Store, logs: dict[str, list[Attempt]], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(roster_replay, "FEW", 0)
    one = NAMES[2]
    assert same(look(store, [one])[one].now, alone(logs[one]))


def test_an_attempt_that_comes_in_late_is_replayed(store: Store, logs: dict[str, list[Attempt]]) -> None:
    look(store)
    late = answered(1, band_hz=500.0, said_hz=63.0, learner=NAMES[0], at=BEGINS + timedelta(days=3))
    store.log.add(late)
    log = sorted([*logs[NAMES[0]], late], key=lambda one: (one.at, one.uid))
    assert same(look(store)[NAMES[0]].now, alone(log))


def test_progress_is_told_and_ends_at_all_attempts(store: Store, logs: dict[str, list[Attempt]]) -> None:
    told: list[int] = []
    replayed_all(store, NAMES, today=START.date(), heard=told.append)
    assert told == sorted(told)
    assert told[-1] == sum(map(len, logs.values()))
