"""Counts over a whole season, for everybody at once: read as sums, no attempt is looked at one by one."""

import json
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlalchemy import Select, func, select

from trainer.dsp.octave_bands import NOMINAL_HZ
from trainer.practice.attempt import Value
from trainer.progress.figures.confusions import Confusions
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


def band_confusions_of(rows: Iterable[Row]) -> dict[str, Confusions]:
    """Return everybody's confusions over the octave bands from rows of `said_query`."""
    place: dict[Value, int] = {band_hz: number for number, band_hz in enumerate(NOMINAL_HZ)}
    counts: dict[str, list[list[int]]] = {}
    for row in rows:
        true = place.get(json.loads(row["right_answer"]).get("band", 0.0))
        said = place.get(json.loads(row["given_answer"]).get("band", 0.0))
        if true is not None:
            mine = counts.setdefault(row["learner"], [[0] * (len(place) + 1) for _ in place])
            mine[true][len(place) if said is None else said] += row["count"]
    return {learner: _confusions(mine) for learner, mine in counts.items()}


def _confusions(counts: list[list[int]]) -> Confusions:
    said, unsaid = tuple(tuple(row[:-1]) for row in counts), tuple(row[-1] for row in counts)
    return Confusions("band", NOMINAL_HZ, said, unsaid)
