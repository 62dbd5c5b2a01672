"""Running tallies: kept beside the attempts in the same transaction, so that accuracy is read without them.

They are derived: adding up the attempts again gives the same, to rounding.
"""

from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from typing import Any

from sqlalchemy import Connection, bindparam, insert, select, tuple_, update

from trainer.progress.rows import EPOCH, evidence_in
from trainer.progress.schema import TALLIES
from trainer.progress.tallies import Tally

DAY_US = 86_400_000_000

Row = dict[str, Any]
Key = tuple[str, int, str, float]

PAIRS = 400
"""How many learners' days are looked for in one query."""

_NAMES = ("learner", "day", "exercise", "band_hz", "asked", "right")
_ADD = (
    update(TALLIES)
    .where(*(TALLIES.c[name] == bindparam(f"its_{name}") for name in _NAMES[:4]))
    .values({name: TALLIES.c[name] + bindparam(f"its_{name}") for name in _NAMES[4:]})
)


def add_to_tallies(connection: Connection, rows: Iterable[Row]) -> None:
    """Add rows of attempts, new in this transaction, to the tallies."""
    sums = _sums(rows)
    here = _here(connection, sorted({key[:2] for key in sums}))
    added = [_bound(key, sums[key]) for key in sums if key in here]
    new = [dict(zip(_NAMES, (*key, *sums[key]), strict=True)) for key in sums if key not in here]
    if added:
        connection.execute(_ADD, added)
    if new:
        connection.execute(insert(TALLIES), new)


def _here(connection: Connection, learners_days: Sequence[tuple[str, int]]) -> set[Key]:
    """Return which tallies there are of some learners' days."""
    keys = [TALLIES.c[name] for name in _NAMES[:4]]
    found: set[Key] = set()
    for first in range(0, len(learners_days), PAIRS):
        wanted = tuple_(*keys[:2]).in_(learners_days[first : first + PAIRS])
        found.update(
            (row[0], row[1], row[2], row[3]) for row in connection.execute(select(*keys).where(wanted))
        )
    return found


def _bound(key: Key, sums: tuple[float, float]) -> dict[str, Any]:
    return {f"its_{name}": value for name, value in zip(_NAMES, (*key, *sums), strict=True)}


def tally_of(row: Row) -> Tally:
    """Return the tally a row of the table holds."""
    return Tally(day_of(row["day"]), row["exercise"], row["band_hz"], row["asked"], row["right"])


def day_of(number: int) -> date:
    """Return the day that is so many after 1 January 1970."""
    return EPOCH.date() + timedelta(days=number)


def _sums(rows: Iterable[Row]) -> dict[Key, tuple[float, float]]:
    sums: dict[Key, tuple[float, float]] = {}
    for row in rows:
        for evidence in evidence_in(row["evidence"]):
            for band_hz, weight in evidence.bands.items():
                key = (row["learner"], row["at_us"] // DAY_US, row["exercise"], band_hz)
                asked, right = sums.get(key, (0.0, 0.0))
                sums[key] = (asked + weight, right + (weight if evidence.named else 0.0))
    return sums
