"""Counts over a whole season, for everybody at once: read as sums, no attempt is looked at one by one."""

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlalchemy import Select, func, select

from trainer.dsp.octave_bands import NOMINAL_HZ
from trainer.practice.attempt import Value
from trainer.progress.figures.confusions import Confusions
from trainer.progress.figures.direction_bias import LABELS
from trainer.progress.kept_days import number_of
from trainer.progress.running_tallies import DAY_US
from trainer.progress.schema import ATTEMPTS

WEEK_US = 7 * DAY_US
Row = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Done:
    """What a learner did in a week that begins ``week`` weeks after some day."""

    learner: str
    week: int
    answers: int
    blocks: int


@dataclass(frozen=True, slots=True)
class Said:
    """What a learner said for what, in one exercise: octave bands, and boosts and cuts."""

    bands: Confusions
    directions: Confusions


def done_query(since: date) -> Select[Any]:
    """Return the query for what everybody did, week by week from a day on."""
    week = ((ATTEMPTS.c.at_us - number_of(since) * DAY_US) // WEEK_US).label("week")
    counts = func.count().label("answers"), func.count(func.distinct(ATTEMPTS.c.block)).label("blocks")
    here = select(ATTEMPTS.c.learner, week, *counts).where(ATTEMPTS.c.at_us >= number_of(since) * DAY_US)
    return here.group_by(ATTEMPTS.c.learner, week).order_by(ATTEMPTS.c.learner, week)


def blocks_query() -> Select[Any]:
    """Return the query for how many answers and blocks everybody has."""
    counts = func.count().label("answers"), func.count(func.distinct(ATTEMPTS.c.block)).label("blocks")
    return select(ATTEMPTS.c.learner, *counts).group_by(ATTEMPTS.c.learner)


def said_query(exercise: str) -> Select[Any]:
    """Return the query for what everybody said for what, in one exercise."""
    said = ATTEMPTS.c.learner, ATTEMPTS.c.right_answer, ATTEMPTS.c.given_answer
    count = func.count().label("count")
    return select(*said, count).where(ATTEMPTS.c.exercise == exercise).group_by(*said)


def done_of(row: Row) -> Done:
    """Return what a row of `done_query` holds."""
    return Done(row["learner"], int(row["week"]), int(row["answers"]), int(row["blocks"]))


def said_of(rows: Iterable[Row]) -> dict[str, Said]:
    """Return what everybody said for what from rows of `said_query`."""
    counts: dict[str, tuple[_Counts, _Counts]] = {}
    for row in rows:
        mine = counts.setdefault(
            row["learner"], (_Counts("band", NOMINAL_HZ), _Counts("direction", LABELS[0]))
        )
        true, said = json.loads(row["right_answer"]), json.loads(row["given_answer"])
        for one in mine:
            one.add(true, said, int(row["count"]))
    return {learner: Said(bands.confusions, ways.confusions) for learner, (bands, ways) in counts.items()}


class _Counts:
    """Counts of one field of the answers: a row for what was true; the last column for what was not said."""

    def __init__(self, field: str, keys: tuple[Value, ...]) -> None:
        self._field, self._keys = field, keys
        self._place = {key: number for number, key in enumerate(keys)}
        self._counts = [[0] * (len(keys) + 1) for _ in keys]

    def add(self, true: Mapping[str, Value], said: Mapping[str, Value], count: int) -> None:
        """Add so many answers; a right answer without the field is left out."""
        row = self._place.get(true.get(self._field, ""))
        if row is not None:
            self._counts[row][self._place.get(said.get(self._field, ""), -1)] += count

    @property
    def confusions(self) -> Confusions:
        """The counts."""
        said, unsaid = (tuple(row[:-1]) for row in self._counts), (row[-1] for row in self._counts)
        return Confusions(self._field, self._keys, tuple(said), tuple(unsaid))


NOTHING_SAID = Said(_Counts("band", NOMINAL_HZ).confusions, _Counts("direction", LABELS[0]).confusions)
