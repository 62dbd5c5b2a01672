"""Kept days: what ears were like at the end of days gone by, beside the attempts they are derived from.

Attempts added for a day gone by take away what was kept from that day on, in the same transaction.
"""

from collections.abc import Iterable, Sequence
from datetime import date, datetime

from sqlalchemy import Connection, bindparam, delete, func, insert, select

from trainer.progress.database import Database, Row
from trainer.progress.rows import EPOCH, microseconds
from trainer.progress.running_tallies import DAY_US
from trainer.progress.schema import ATTEMPTS, EAR_DAYS

_FORGET = delete(EAR_DAYS).where(
    EAR_DAYS.c.learner == bindparam("its_learner"), EAR_DAYS.c.day >= bindparam("its_day")
)


class KeptEars:
    """What was kept of ears in a database: states as text, each of a learner and a day."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def kept(self, learner: str, *, made_by: str, before: date, only_last: bool = False) -> tuple[str, ...]:
        """Return what was kept of a learner's ear on the days before one, in order; or on the last alone."""
        is_wanted = (EAR_DAYS.c.made_by == made_by, EAR_DAYS.c.day < number_of(before))
        here = select(EAR_DAYS.c.state).where(EAR_DAYS.c.learner == learner, *is_wanted)
        latest_first = here.order_by(EAR_DAYS.c.day.desc()).limit(1)
        rows = self._database.read(latest_first if only_last else here.order_by(EAR_DAYS.c.day))
        return tuple(row["state"] for row in rows)

    def keep(
        self, learner: str, states: Sequence[tuple[date, str]], *, made_by: str, seen: int, before: datetime
    ) -> bool:
        """Keep what a learner's ear was like at the end of some days, if the log is still that long; say whether it is.

        Parameters
        ----------
        seen
            How many attempts the last of them has seen: those of the learner before ``before``.
        """
        of_log = ATTEMPTS.c.learner == learner, ATTEMPTS.c.at_us < microseconds(before)

        def keep(connection: Connection) -> bool:
            is_same = connection.execute(select(func.count()).where(*of_log)).scalar_one() == seen
            if is_same:
                _replace(connection, learner, states, made_by=made_by)
            return is_same

        return self._database.write(keep)


def number_of(day: date) -> int:
    """Return how many days after 1 January 1970 a day is."""
    return (day - EPOCH.date()).days


def _replace(
    connection: Connection, learner: str, states: Sequence[tuple[date, str]], *, made_by: str
) -> None:
    """Put states in the place of what was kept of their days, and of all that was made by something else."""
    numbers = [number_of(day) for day, _ in states]
    mine = EAR_DAYS.c.learner == learner
    connection.execute(delete(EAR_DAYS).where(mine, EAR_DAYS.c.made_by != made_by))
    connection.execute(delete(EAR_DAYS).where(mine, EAR_DAYS.c.day.in_(numbers)))
    rows = [
        {"learner": learner, "day": number, "made_by": made_by, "state": state}
        for number, (_, state) in zip(numbers, states, strict=True)
    ]
    connection.execute(insert(EAR_DAYS), rows)


def forget_from(connection: Connection, rows: Iterable[Row]) -> None:
    """Take away what was kept of the days, and later ones, that rows of attempts were added to."""
    first: dict[str, int] = {}
    for row in rows:
        day = row["at_us"] // DAY_US
        first[row["learner"]] = min(day, first.get(row["learner"], day))
    if first:
        rest = [{"its_learner": learner, "its_day": day} for learner, day in first.items()]
        connection.execute(_FORGET, rest)
