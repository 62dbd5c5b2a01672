"""Replay: a learner's ear from the log of attempts, and the ears of the days gone by.

The log alone decides. What an ear was like at the end of each day is kept beside it, so that only today's
attempts are replayed; attempts that come in for a day gone by (a merge) take away what was kept from that day
on, and the log is replayed from there. Kept or replayed, the ear is the same to the last bit.
"""

import base64
import json
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import suppress
from dataclasses import asdict, dataclass, fields
from datetime import UTC, date, datetime, time, timedelta
from functools import lru_cache
from itertools import groupby
from typing import Any

import numpy as np
from numpy.typing import NDArray

from trainer.practice.attempt import Attempt
from trainer.progress.errors import StoreError
from trainer.progress.running_tallies import DAY_US, day_of
from trainer.progress.store import Store
from trainer.progress.thresholds.belief import KINDS, Belief
from trainer.progress.thresholds.ear import Ear, Practised, after, new_ear, on_day
from trainer.progress.thresholds.findings import COLUMNS, findings_in_row
from trainer.progress.thresholds.own import NamedRate, OwnFigures, OwnThreshold
from trainer.progress.thresholds.together import Together

EDITION = 3
"""Goes up when the same log would give another ear: what was kept is then replayed."""

Row = Sequence[Any]
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
    today: date,
    before: datetime | None = None,
    heard: Heard = lambda _: None,
) -> Ear:
    """Return a learner's ear as it is today, or as it was ``before`` a time of that day."""
    found = replayed(store, learner, today=today, before=before, heard=heard, only_last=True)
    return found.now


def replayed(
    store: Store,
    learner: str,
    *,
    today: date,
    before: datetime | None = None,
    heard: Heard = lambda _: None,
    only_last: bool = False,
) -> Replayed:
    """Return a learner's ear as it is today and as it was; days newly gone by are kept.

    Parameters
    ----------
    before
        Attempts from this time on are left out.
    heard
        Told now and then how many attempts were replayed so far.
    only_last
        Whether the days gone by are of no interest but the last.
    """
    kept = kept_ears(store, learner, today=today, only_last=only_last)
    together = Together([kept[-1] if kept else new_ear()])
    fresh: list[Ear] = []
    rows = store.log.columns(COLUMNS, learner=learner, since=since_of(kept), before=before)
    for day, of_day in groupby(_told(rows, heard), key=_day_of_row):
        together.hear(day, {0: list(map(findings_in_row, of_day))})
        if day < today:
            fresh.append(together.ear(0))
    keep_ears(store, learner, fresh)
    return Replayed(on_day(together.ear(0), today), (*kept, *fresh))


def replay(attempts: Iterable[Attempt]) -> Ear:
    """Return the ear that attempts, in their order in time, leave behind: nothing kept, nothing read."""
    ear = new_ear()
    for attempt in attempts:
        ear = after(ear, attempt)
    return ear


def made_by_of() -> str:
    """Return what a kept ear hangs on beside the log."""
    return str(EDITION)


def kept_ears(store: Store, learner: str, *, today: date, only_last: bool = False) -> list[Ear]:
    """Return what was kept of a learner's ear on days before today, in order; or of the last alone."""
    states = store.ears.kept(learner, made_by=made_by_of(), before=today, only_last=only_last)
    return [_read(state) for state in states]


def since_of(kept: Sequence[Ear]) -> datetime | None:
    """Return from when on the log is replayed; None is from its beginning."""
    return _after_day(kept[-1].last_day) if kept and kept[-1].last_day else None


def keep_ears(store: Store, learner: str, fresh: Sequence[Ear]) -> None:
    """Keep ears of days newly gone by."""
    if not fresh:
        return
    written = [(_day(one), _written(one)) for one in fresh]
    end = _after_day(_day(fresh[-1]))
    with suppress(StoreError):  # nothing hangs on what is kept: the log is replayed next time
        store.ears.keep(learner, written, made_by=made_by_of(), seen=fresh[-1].seen, before=end)


def _told(rows: Iterable[Row], heard: Heard) -> Iterator[Row]:
    for number, row in enumerate(rows, 1):
        yield row
        if number % TOLD_EVERY == 0:
            heard(number)


_AT_US = COLUMNS.index("at_us")


def _day_of_row(row: Row) -> date:
    return day_of(row[_AT_US] // DAY_US)


def _day(ear: Ear) -> date:
    if ear.last_day is None:
        raise ValueError("an ear that heard nothing has no day")
    return ear.last_day


def _after_day(day: date) -> datetime:
    return datetime.combine(day + timedelta(days=1), time(), tzinfo=UTC)


_PLAIN = ("kinds", "setup", "seen", "answers")
_RECORD = tuple(one.name for one in fields(Practised))
_DAYS = ("first_day", "day", "last_day")


def _written(ear: Ear) -> str:
    """Return an ear as text: a line of JSON, then the numbers of its belief, exactly, in base 64."""
    plain = {name: getattr(ear, name) for name in _PLAIN}
    plain |= {name: getattr(ear, name).isoformat() for name in _DAYS}
    plain["practised"] = {
        key: {name: getattr(record, name) for name in _RECORD} | {"day": record.day.isoformat()}
        for key, record in ear.practised.items()
    }
    plain["own"] = _plain_own(ear.own)
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
    plain["own"] = _own_from(plain["own"])
    return Ear(Belief(values[:size], covariance), **plain)


def _plain_own(own: OwnFigures) -> dict[str, Any]:
    """Return the figures of kinds on their own as JSON holds them; its numbers are exact."""
    thresholds = {kind: asdict(one) | {"day": one.day.isoformat()} for kind, one in own.thresholds.items()}
    return {"thresholds": thresholds, "rates": {kind: asdict(one) for kind, one in own.rates.items()}}


def _own_from(plain: dict[str, Any]) -> OwnFigures:
    return OwnFigures(
        {
            kind: OwnThreshold(**(one | {"day": date.fromisoformat(one["day"])}))
            for kind, one in plain["thresholds"].items()
        },
        {kind: NamedRate(**one) for kind, one in plain["rates"].items()},
    )


def every_day(replayed: Replayed) -> list[Ear]:
    """Return the ear at the end of every day since the first with answers, idle days included, until now."""
    ends = [_day(ear) for ear in replayed.days[1:]] + [replayed.now.day]
    days: list[Ear] = []
    for ear, end in zip(replayed.days, ends, strict=False):  # of no days there is no end
        while ear.day is not None and end is not None and ear.day < end:
            days.append(ear)
            ear = on_day(ear, ear.day + timedelta(days=1))
    return [*days, replayed.now]
