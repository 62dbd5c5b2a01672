"""Kept days: what ears were like at the end of days gone by, beside the attempts they are derived from.

Attempts added for a day gone by take away what was kept from that day on, in the same transaction.
"""

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any

from sqlalchemy import Connection, Select, bindparam, delete, func, insert, select

from trainer.progress.rows import EPOCH
from trainer.progress.running_tallies import DAY_US
from trainer.progress.schema import ATTEMPTS, EAR_DAYS

Row = dict[str, Any]

_FORGET = delete(EAR_DAYS).where(
    EAR_DAYS.c.learner == bindparam("its_learner"), EAR_DAYS.c.day >= bindparam("its_day")
)


def query_of(learner: str, *, made_by: str, before: date, only_last: bool) -> Select[Any]:
    """Return the query for a learner's kept states of the days before one, in order; or for the last alone."""
    is_wanted = (EAR_DAYS.c.made_by == made_by, EAR_DAYS.c.day < number_of(before))
    here = select(EAR_DAYS.c.state).where(EAR_DAYS.c.learner == learner, *is_wanted)
    return here.order_by(EAR_DAYS.c.day.desc()).limit(1) if only_last else here.order_by(EAR_DAYS.c.day)


def number_of(day: date) -> int:
    """Return how many days after 1 January 1970 a day is."""
    return (day - EPOCH.date()).days


def keep_days(
    connection: Connection,
    learner: str,
    states: Sequence[tuple[date, str]],
    *,
    made_by: str,
    seen: int,
    before_us: int,
) -> bool:
    """Keep the states of some days if they are still those of the log; say whether they are.

    Parameters
    ----------
    seen
        How many attempts the last of them has seen: those of the learner before ``before_us``.
    """
    log = select(func.count()).where(ATTEMPTS.c.learner == learner, ATTEMPTS.c.at_us < before_us)
    if connection.execute(log).scalar_one() != seen:
        return False
    numbers = [number_of(day) for day, _ in states]
    mine = EAR_DAYS.c.learner == learner
    connection.execute(delete(EAR_DAYS).where(mine, EAR_DAYS.c.made_by != made_by))
    connection.execute(delete(EAR_DAYS).where(mine, EAR_DAYS.c.day.in_(numbers)))
    rows = [
        {"learner": learner, "day": number, "made_by": made_by, "state": state}
        for number, (_, state) in zip(numbers, states, strict=True)
    ]
    connection.execute(insert(EAR_DAYS), rows)
    return True


def forget_from(connection: Connection, rows: Iterable[Row]) -> None:
    """Take away what was kept of the days, and later ones, that rows of attempts were added to."""
    first: dict[str, int] = {}
    for row in rows:
        day = row["at_us"] // DAY_US
        first[row["learner"]] = min(day, first.get(row["learner"], day))
    if first:
        rest = [{"its_learner": learner, "its_day": day} for learner, day in first.items()]
        connection.execute(_FORGET, rest)
