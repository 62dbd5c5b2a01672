"""The log: every attempt ever made, append-only, on the disk before `add` returns."""

from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime
from functools import partial
from itertools import islice
from typing import Any

from sqlalchemy import Connection, and_, func, insert, or_, select

from trainer.practice.attempt import Attempt
from trainer.progress.database import Database, Row
from trainer.progress.errors import StoreError
from trainer.progress.kept_days import forget_from
from trainer.progress.rows import ASKED, QUESTION, from_row, microseconds, time_of, to_row
from trainer.progress.running_tallies import add_to_tallies
from trainer.progress.schema import ANY_LEARNER, ATTEMPTS, QUESTIONS

PAGE = 500
"""How many attempts are read or written at a time."""

WHOLE = select(ATTEMPTS, QUESTIONS.c.asked).join(QUESTIONS, QUESTIONS.c.digest == ATTEMPTS.c.question)
"""The query for attempts with what was on offer at each."""

LONG_PAGE = 5000
"""How many are read at a time where only a few columns are."""


class Log:
    """The log in a database; what is derived from it is kept up with it, in the same transaction."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def add(self, attempt: Attempt) -> bool:
        """Remember an attempt; it is on the disk when this returns. False if it was there already.

        Raises
        ------
        Refused
            If the attempt holds what cannot be remembered.
        StoreError
            If the store cannot be written, or remembers something else under the same ``uid``.
        """
        return self.add_all([attempt]) == 1

    def add_all(self, attempts: Iterable[Attempt]) -> int:
        """Remember attempts, page by page; return how many were new. Adding again changes nothing."""
        rows = map(to_row, attempts)
        new = 0
        while page := list(islice(rows, PAGE)):
            new += self._database.write(partial(self._insert, page))
        return new

    def unlike(self, attempts: Iterable[Attempt]) -> Attempt | None:
        """Return the first attempt under whose ``uid`` something else is remembered; None if there is none."""
        rows = map(to_row, attempts)
        while page := list(islice(rows, PAGE)):
            wanted = {row["uid"]: row for row in page}
            for kept in self._database.read(WHOLE.where(ATTEMPTS.c.uid.in_(wanted))):
                row = wanted[kept["uid"]]
                if row != kept and from_row(row) != from_row(kept):
                    return from_row(row)
        return None

    def attempts(
        self,
        *,
        learner: str | None = None,
        exercise: str | None = None,
        block: str | None = None,
        since: datetime | None = None,
        before: datetime | None = None,
        quiz: str | None = None,
        setup: str | None = None,
    ) -> Iterator[Attempt]:
        """Yield the attempts by time, then ``uid``; the store may be written meanwhile.

        A ``block`` alone is looked for in all attempts; with its learner and its time it is found at once.
        ``quiz`` is what the keys of its items begin with, up to the colon.
        """
        query = WHOLE.order_by(ATTEMPTS.c.at_us, ATTEMPTS.c.uid).limit(PAGE)
        if learner is not None:
            query = query.where(ATTEMPTS.c.learner == learner)
        if exercise is not None:
            query = query.where(ATTEMPTS.c.exercise == exercise)
        if block is not None:
            query = query.where(ATTEMPTS.c.block == block)
        if setup is not None:
            query = query.where(ATTEMPTS.c.setup == setup)
        if since is not None:
            query = query.where(ATTEMPTS.c.at_us >= microseconds(since))
        if before is not None:
            query = query.where(ATTEMPTS.c.at_us < microseconds(before))
        if quiz is not None:
            items = ATTEMPTS.c.quiz_item
            query = query.where(items != "", items.startswith(f"{quiz}:", autoescape=True))
        page = self._database.read(query)
        while page:
            yield from map(from_row, page)
            page = self._database.read(query.where(_after(page[-1])))

    def latest(self, *, learner: str, since: datetime, most: int) -> list[Attempt]:
        """Return a learner's latest attempts, so many at most, in their order in time."""
        mine = ATTEMPTS.c.learner == learner, ATTEMPTS.c.at_us >= microseconds(since)
        newest_first = ATTEMPTS.c.at_us.desc(), ATTEMPTS.c.uid.desc()
        rows = self._database.read(WHOLE.where(*mine).order_by(*newest_first).limit(most))
        return [from_row(row) for row in reversed(rows)]

    def columns(
        self,
        names: Sequence[str],
        *,
        learner: str | None = None,
        learners: Sequence[str] = (),
        since: datetime | None = None,
        before: datetime | None = None,
    ) -> Iterator[Sequence[Any]]:
        """Yield some columns of the attempts by time, then ``uid``, as they stand in the table.

        ``learners`` are many: all is looked through for theirs. One ``learner`` is found by name.
        """
        at_us, uid = ATTEMPTS.c.at_us, ATTEMPTS.c.uid
        chosen = [ATTEMPTS.c[name] for name in names]
        query = (
            select(*chosen, at_us.label("_at_us"), uid.label("_uid")).order_by(at_us, uid).limit(LONG_PAGE)
        )
        if learner is not None:
            query = query.where(ATTEMPTS.c.learner == learner)
        if learners:
            query = query.where(ANY_LEARNER.in_(learners))
        if since is not None:
            query = query.where(at_us >= microseconds(since))
        if before is not None:
            query = query.where(at_us < microseconds(before))
        page = self._database.read_plain(query)
        while page:
            for row in page:
                yield row[:-2]
            last = {"at_us": page[-1][-2], "uid": page[-1][-1]}
            page = self._database.read_plain(query.where(_after(last)))

    def learners(self) -> tuple[str, ...]:
        """Return everyone who has an attempt in the store, by name."""
        first = select(func.min(ATTEMPTS.c.learner).label("name"))
        names: list[str] = []
        found = self._database.read(first)[0]["name"]
        while found is not None:
            names.append(found)
            found = self._database.read(first.where(ATTEMPTS.c.learner > found))[0]["name"]
        return tuple(names)

    def first_answer(self, learner: str) -> datetime | None:
        """Return when somebody answered first; None where they never did."""
        first = select(func.min(ATTEMPTS.c.at_us).label("us")).where(ATTEMPTS.c.learner == learner)
        first_us = self._database.read(first)[0]["us"]
        return None if first_us is None else time_of(first_us)

    def count(self) -> int:
        """Return how many attempts there are."""
        query = select(func.count().label("number")).select_from(ATTEMPTS)
        return int(self._database.read(query)[0]["number"])

    def _insert(self, page: list[Row], connection: Connection) -> int:
        wanted = {row["uid"]: row for row in page}
        found = connection.execute(WHOLE.where(ATTEMPTS.c.uid.in_(wanted))).mappings()
        for row in map(dict, found):
            mine = wanted.pop(row["uid"])
            if mine != row and from_row(mine) != from_row(row):
                raise StoreError(
                    f"{self._database.name} remembers another attempt under {row['uid']}; attempts are never "
                    "changed, so the one already there was kept and nothing was added"
                )
        if wanted:
            _keep_questions(connection, wanted.values())
            connection.execute(insert(ATTEMPTS), [_without_asked(row) for row in wanted.values()])
            add_to_tallies(connection, wanted.values())
            forget_from(connection, wanted.values())
        return len(wanted)


def _keep_questions(connection: Connection, rows: Iterable[Row]) -> None:
    """Keep what was on offer where it is not kept yet."""
    new = {row[QUESTION]: row[ASKED] for row in rows}
    known = select(QUESTIONS.c.digest).where(QUESTIONS.c.digest.in_(new))
    for digest in connection.execute(known).scalars():
        del new[digest]
    if new:
        connection.execute(insert(QUESTIONS), [{"digest": key, "asked": asked} for key, asked in new.items()])


def _without_asked(row: Row) -> Row:
    return {name: value for name, value in row.items() if name != ASKED}


def _after(last: Row) -> Any:
    """Return what comes after a row; said twice, so that the database goes there at once and not from the start."""
    at_us, uid = last["at_us"], last["uid"]
    later = or_(ATTEMPTS.c.at_us > at_us, and_(ATTEMPTS.c.at_us == at_us, ATTEMPTS.c.uid > uid))
    return and_(ATTEMPTS.c.at_us >= at_us, later)
