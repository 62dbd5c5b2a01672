"""Replay: a learner's ear from the log of attempts, and the ears of the days gone by.

The log alone decides. What an ear was like at the end of each day is kept beside it, so that only today's
attempts are replayed; attempts that come in for a day gone by (a merge) take away what was kept from that day
on, and the log is replayed from there. Kept or replayed, the ear is the same to the last bit.
"""

import base64
import json
from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from dataclasses import asdict, dataclass
from datetime import UTC, date, datetime, time, timedelta
from functools import lru_cache
from itertools import groupby

import numpy as np
from numpy.typing import NDArray

from trainer.practice.attempt import Attempt
from trainer.progress.errors import StoreError
from trainer.progress.store import Store
from trainer.progress.thresholds.belief import KINDS, Belief
from trainer.progress.thresholds.ear import Ear, Practised, Starts, after, day_of_attempt, new_ear, on_day

EDITION = 1
"""Goes up when the same log would give another ear: what was kept is then replayed."""

Heard = Callable[[int], object]
"""Told now and then how many attempts were replayed."""
TOLD_EVERY = 1000


@dataclass(frozen=True, slots=True, eq=False)
class Replayed:
    """A learner's ear now, and at the end of each day with answers before today, in order."""

    now: Ear
    days: tuple[Ear, ...]


def ear_of(
    store: Store,
    learner: str,
    *,
    starts: Starts,
    today: date,
    before: datetime | None = None,
    heard: Heard = lambda _: None,
) -> Ear:
    """Return a learner's ear as it is today, or as it was ``before`` a time of that day."""
    found = replayed(store, learner, starts=starts, today=today, before=before, heard=heard, only_last=True)
    return found.now


def replayed(
    store: Store,
    learner: str,
    *,
    starts: Starts,
    today: date,
    before: datetime | None = None,
    heard: Heard = lambda _: None,
    only_last: bool = False,
) -> Replayed:
    """Return a learner's ear as it is today and as it was; days newly gone by are kept.

    Parameters
    ----------
    starts
        The size each exercise's ladder starts at.
    before
        Attempts from this time on are left out.
    heard
        Told now and then how many attempts were replayed so far.
    only_last
        Whether the days gone by are of no interest but the last.
    """
    made_by = made_by_of(starts)
    states = store.kept_days(learner, made_by=made_by, before=today, only_last=only_last)
    kept = [_read(state) for state in states]
    ear = kept[-1] if kept else new_ear()
    since = _after_day(ear.last_day) if ear.last_day else None
    fresh: list[Ear] = []
    attempts = _told(store.attempts(learner=learner, since=since, before=before), heard)
    for day, of_day in groupby(attempts, key=day_of_attempt):
        for attempt in of_day:
            ear = after(ear, attempt, starts)
        if day < today:
            fresh.append(ear)
    if fresh:
        written = [(_day(one), _written(one)) for one in fresh]
        end = _after_day(_day(fresh[-1]))
        with suppress(StoreError):  # nothing hangs on what is kept: the log is replayed next time
            store.keep_days(learner, written, made_by=made_by, seen=fresh[-1].seen, before=end)
    return Replayed(on_day(ear, today), (*kept, *fresh))


def replay(attempts: Iterable[Attempt], starts: Starts) -> Ear:
    """Return the ear that attempts, in their order in time, leave behind: nothing kept, nothing read."""
    ear = new_ear()
    for attempt in attempts:
        ear = after(ear, attempt, starts)
    return ear


def made_by_of(starts: Starts) -> str:
    """Return what a kept ear hangs on beside the log."""
    return json.dumps([EDITION, dict(sorted(starts.items()))])


def _told(attempts: Iterable[Attempt], heard: Heard) -> Iterator[Attempt]:
    for number, attempt in enumerate(attempts, 1):
        yield attempt
        if number % TOLD_EVERY == 0:
            heard(number)


def _day(ear: Ear) -> date:
    if ear.last_day is None:
        raise ValueError("an ear that heard nothing has no day")
    return ear.last_day


def _after_day(day: date) -> datetime:
    return datetime.combine(day + timedelta(days=1), time(), tzinfo=UTC)


_PLAIN = ("kinds", "setup", "seen", "answers")
_DAYS = ("first_day", "day", "last_day")


def _written(ear: Ear) -> str:
    """Return an ear as text: a line of JSON, then the numbers of its belief, exactly, in base 64."""
    plain = {name: getattr(ear, name) for name in _PLAIN}
    plain |= {name: getattr(ear, name).isoformat() for name in _DAYS}
    plain["practised"] = {
        key: asdict(record) | {"day": record.day.isoformat()} for key, record in ear.practised.items()
    }
    upper = ear.belief.covariance[_upper(len(ear.belief.mean))]
    numbers = np.concatenate([ear.belief.mean, upper]).astype("<f8").tobytes()
    return f"{json.dumps(plain)}\n{base64.b64encode(numbers).decode('ascii')}"


@lru_cache(maxsize=64)
def _upper(size: int) -> tuple[NDArray[np.intp], ...]:
    """Return the places on and above the diagonal of a square."""
    return np.triu_indices(size)


def _read(state: str) -> Ear:
    line, _, numbers = state.partition("\n")
    plain = json.loads(line)
    size = KINDS + len(plain["kinds"])
    values = np.frombuffer(base64.b64decode(numbers), dtype="<f8").astype(np.float64)
    covariance = np.empty((size, size))
    covariance[_upper(size)] = covariance.T[_upper(size)] = values[size:]
    plain |= {name: date.fromisoformat(plain[name]) for name in _DAYS} | {"kinds": tuple(plain["kinds"])}
    plain["practised"] = {
        key: Practised(**(record | {"day": date.fromisoformat(record["day"])}))
        for key, record in plain["practised"].items()
    }
    return Ear(Belief(values[:size], covariance), **plain)


def every_day(replayed: Replayed) -> list[Ear]:
    """Return the ear at the end of every day since the first with answers, idle days included, until now."""
    ends = [_day(ear) for ear in replayed.days[1:]] + [replayed.now.day]
    days: list[Ear] = []
    for ear, end in zip(replayed.days, ends, strict=False):  # of no days there is no end
        while ear.day is not None and end is not None and ear.day < end:
            days.append(ear)
            ear = on_day(ear, ear.day + timedelta(days=1))
    return [*days, replayed.now]
