"""Running tallies: kept beside the attempts in the same transaction, so that accuracy is read without them.

They are derived: adding up the attempts again gives the same, to rounding.
"""

import json
from collections.abc import Iterable
from datetime import date, timedelta
from typing import Any

from sqlalchemy import Connection, insert, update

from trainer.progress.rows import EPOCH
from trainer.progress.schema import TALLIES
from trainer.progress.tallies import Tally

DAY_US = 86_400_000_000

Row = dict[str, Any]
Key = tuple[str, int, str, float]


def add_to_tallies(connection: Connection, rows: Iterable[Row]) -> None:
    """Add rows of attempts, new in this transaction, to the tallies."""
    for (learner, day, exercise, band_hz), (asked, right) in _sums(rows).items():
        key = {"learner": learner, "day": day, "exercise": exercise, "band_hz": band_hz}
        here = [TALLIES.c[name] == value for name, value in key.items()]
        more = {"asked": TALLIES.c.asked + asked, "right": TALLIES.c.right + right}
        if connection.execute(update(TALLIES).where(*here).values(more)).rowcount == 0:
            connection.execute(insert(TALLIES).values(**key, asked=asked, right=right))


def tally_of(row: Row) -> Tally:
    """Return the tally a row of the table holds."""
    return Tally(day_of(row["day"]), row["exercise"], row["band_hz"], row["asked"], row["right"])


def day_of(number: int) -> date:
    """Return the day that is so many after 1 January 1970."""
    return EPOCH.date() + timedelta(days=number)


def _sums(rows: Iterable[Row]) -> dict[Key, tuple[float, float]]:
    sums: dict[Key, tuple[float, float]] = {}
    for row in rows:
        for band_hz, weight in json.loads(row["bands"]).items():
            key = (row["learner"], row["at_us"] // DAY_US, row["exercise"], float(band_hz))
            asked, right = sums.get(key, (0.0, 0.0))
            sums[key] = (asked + weight, right + (weight if row["right"] else 0.0))
    return sums
