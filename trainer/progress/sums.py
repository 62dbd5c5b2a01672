"""Sums over the log: tallies kept beside it, and counts of a whole season; no attempt is looked at one by one."""

from datetime import date

from sqlalchemy import select

from trainer.progress.database import Database
from trainer.progress.running_tallies import tally_of
from trainer.progress.schema import TALLIES
from trainer.progress.season_counts import Said, SeasonDone, done_of, done_query, said_of, said_query
from trainer.progress.tallies import Tally


class Sums:
    """The sums over the log in a database."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def tallies(self, *, learner: str) -> tuple[Tally, ...]:
        """Return a learner's tallies by day, exercise and band, without reading a single attempt."""
        query = select(TALLIES).where(TALLIES.c.learner == learner)
        rows = self._database.read(query.order_by(TALLIES.c.day, TALLIES.c.exercise, TALLIES.c.band_hz))
        return tuple(map(tally_of, rows))

    def done(self, *, since: date) -> dict[str, SeasonDone]:
        """Return how much everybody did, in all and week by week; week 0 begins on a day."""
        return done_of(self._database.read(done_query(since)), since)

    def said(self, *, exercise: str) -> dict[str, Said]:
        """Return what everybody said for what, in one exercise."""
        return said_of(self._database.read(said_query(exercise)))
