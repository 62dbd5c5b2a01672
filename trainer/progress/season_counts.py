"""Counts over a whole season, for everybody at once: read as sums, no attempt is looked at one by one."""

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from sqlalchemy import Select, func, select

from trainer.practice.band_scale import OCTAVE_SCALE
from trainer.practice.evidence import BAND, DIRECTION, Told, told_from
from trainer.practice.values import Simple
from trainer.progress.figures.confusions import Confusions
from trainer.progress.figures.direction_bias import LABELS
from trainer.progress.kept_days import number_of
from trainer.progress.running_tallies import DAY_US
from trainer.progress.schema import ANY_LEARNER, ATTEMPTS

WEEK_US = 7 * DAY_US
Row = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Done:
    """How many answers somebody gave, in how many blocks."""

    answers: int = 0
    blocks: int = 0


@dataclass(frozen=True, slots=True)
class SeasonDone:
    """What a learner did: in all, and week by week; 0 is the week that begins on some day, -1 the one before."""

    whole: Done
    weeks: Mapping[int, Done] = field(hash=False)


@dataclass(frozen=True, slots=True)
class Said:
    """What a learner said for what, in one exercise: octave bands, and boosts and cuts."""

    bands: Confusions
    directions: Confusions


def done_query(since: date) -> Select[Any]:
    """Return the query for how many answers each block of everybody's holds, week by week of a day's weekday."""
    week = ((ATTEMPTS.c.at_us + _shift_us(since)) // WEEK_US).label("week")
    by = ANY_LEARNER.label("learner"), ATTEMPTS.c.block, week
    return select(*by, func.count().label("answers")).group_by(*by)


def said_query(exercise: str) -> Select[Any]:
    """Return the query for what everybody said for what, in one exercise."""
    said = ANY_LEARNER.label("learner"), ATTEMPTS.c.told
    count = func.count().label("count")
    return select(*said, count).where(ATTEMPTS.c.exercise == exercise).group_by(*said)


def _shift_us(since: date) -> int:
    """Return what to add to a time, so that a week begins on the weekday of a day; weeks count from 1970 then."""
    return -number_of(since) * DAY_US % WEEK_US


def done_of(rows: Iterable[Row], since: date) -> dict[str, SeasonDone]:
    """Return what everybody did from rows of `done_query`; week 0 begins on the same day."""
    first = (number_of(since) * DAY_US + _shift_us(since)) // WEEK_US
    weeks: dict[str, dict[int, Done]] = {}
    blocks: dict[str, set[str]] = {}
    for row in rows:
        mine, week = weeks.setdefault(row["learner"], {}), int(row["week"]) - first
        there = mine.get(week, Done())
        mine[week] = Done(there.answers + int(row["answers"]), there.blocks + 1)
        blocks.setdefault(row["learner"], set()).add(row["block"])
    return {
        learner: SeasonDone(Done(sum(done.answers for done in mine.values()), len(blocks[learner])), mine)
        for learner, mine in weeks.items()
    }


def said_of(rows: Iterable[Row]) -> dict[str, Said]:
    """Return what everybody said for what from rows of `said_query`."""
    counts: dict[str, tuple[_Counts, _Counts]] = {}
    for row in rows:
        mine = counts.setdefault(row["learner"], _nothing_counted())
        for told in told_from(json.loads(row["told"])):
            for one in mine:
                one.add(told, int(row["count"]))
    return {learner: Said(bands.confusions, ways.confusions) for learner, (bands, ways) in counts.items()}


class _Counts:
    """Counts of one thing that answers tell of: a row for what was true; the last column for what was not said."""

    def __init__(self, of: str, keys: tuple[Simple, ...]) -> None:
        self._of, self._keys = of, keys
        self._place: dict[Simple | None, int] = {key: number for number, key in enumerate(keys)}
        self._counts = [[0] * (len(keys) + 1) for _ in keys]

    def add(self, told: Mapping[str, Told], count: int) -> None:
        """Add so many answers; those that tell nothing of it are left out."""
        one = told.get(self._of)
        row = None if one is None else self._place.get(one.true)
        if one is not None and row is not None:
            self._counts[row][self._place.get(one.said, -1)] += count

    @property
    def confusions(self) -> Confusions:
        """The counts."""
        said, unsaid = (tuple(row[:-1]) for row in self._counts), (row[-1] for row in self._counts)
        return Confusions(self._of, self._keys, tuple(said), tuple(unsaid))


def _nothing_counted() -> tuple[_Counts, _Counts]:
    return _Counts(BAND, OCTAVE_SCALE.names_hz), _Counts(DIRECTION, LABELS[0])


NOTHING_SAID = Said(*(one.confusions for one in _nothing_counted()))
