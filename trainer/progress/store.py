"""The store: every attempt ever made, append-only, on the disk before `add` returns."""

import json
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import date, datetime
from functools import partial
from itertools import islice
from pathlib import Path
from types import TracebackType
from typing import Any, Self, TypeVar

from sqlalchemy import Connection, Engine, and_, delete, func, insert, or_, select
from sqlalchemy.exc import IntegrityError, OperationalError

from trainer.practice.attempt import Attempt
from trainer.practice.values import Value
from trainer.progress.engine import WRITES, address_of, make_engine, name_of
from trainer.progress.errors import CORRUPT, StoreError, told_clearly
from trainer.progress.kept_days import forget_from, keep_days, query_of
from trainer.progress.migrations import VERSION, migrate, version_of
from trainer.progress.records import Record, put_records, record_from
from trainer.progress.rows import checked_text, from_row, microseconds, time_of, to_row
from trainer.progress.running_tallies import add_to_tallies, tally_of
from trainer.progress.schema import ANY_LEARNER, ATTEMPTS, RECORDS, SETTINGS, TALLIES
from trainer.progress.season_counts import (
    Said,
    SeasonDone,
    done_of,
    done_query,
    said_of,
    said_query,
)
from trainer.progress.tallies import Tally

T = TypeVar("T")
Row = dict[str, Any]

PAGE = 500
"""How many attempts are read or written at a time."""

LONG_PAGE = 5000
"""How many are read at a time where only a few columns are."""

TRIES = 5
"""How often a write is begun again when the database asks for it."""


def open_store(
    place: Path | str,
    *,
    now: datetime,
    wait_s: float = 10.0,
    sleep: Callable[[float], None] = time.sleep,
    called: str = "",
) -> "Store":
    """Open the store, making it where there is none and bringing an older one up to date.

    Parameters
    ----------
    place
        The path of a file, or a database URL.
    now
        The time written beside each migration taken.
    wait_s
        How long a writer waits for other programs writing to the same store.
    sleep
        Waits so many seconds.
    called
        What it is called in what is said of it, where that is not its place.

    Raises
    ------
    StoreError
        If it was made by a newer version, is damaged, is locked, or cannot be read or written.
    """
    with told_clearly(f"the store {place}"):
        url = address_of(place)
    name = called or name_of(url)
    with told_clearly(name):
        store = Store(make_engine(url, wait_s=wait_s), name=name, sleep=sleep)
        try:
            store.bring_up_to_date(now=now)
        except BaseException:
            store.close()
            raise
    return store


class Store:
    """An open store; a context manager that closes it."""

    def __init__(self, engine: Engine, *, name: str, sleep: Callable[[float], None]) -> None:
        self.name = name
        self._engine = engine
        self._sleep = sleep

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the database; what was added is already on the disk."""
        self._engine.dispose()

    def bring_up_to_date(self, *, now: datetime) -> None:
        """Take the pending migrations, all or none; a store from a newer version is refused untouched."""
        with told_clearly(self.name), self._engine.connect() as connection:
            version = version_of(connection, where=self.name)
        if version < VERSION:
            self._write(lambda connection: migrate(connection, now=now, where=self.name))
        if self._is_sqlite:
            with told_clearly(self.name):
                self._again(self._keep_a_write_ahead_log)

    def check(self) -> None:
        """Read the whole store and raise `StoreError` if anything in it is damaged (takes a while)."""
        if not self._is_sqlite:
            return
        with told_clearly(self.name), self._engine.connect() as connection:
            said = str(connection.exec_driver_sql("PRAGMA integrity_check").scalar_one())
        if said != "ok":
            raise StoreError(CORRUPT.format(where=self.name, said=said.splitlines()[0]))

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
            new += self._write(partial(self._insert, page))
        return new

    def merge(self, other: "Store") -> int:
        """Add every attempt and record of another store, which stays as it is; return how many attempts were new."""
        self.put(other.records())
        return self.add_all(other.attempts())

    def unlike(self, attempts: Iterable[Attempt]) -> Attempt | None:
        """Return the first attempt under whose ``uid`` something else is remembered; None if there is none."""
        rows = map(to_row, attempts)
        while page := list(islice(rows, PAGE)):
            wanted = {row["uid"]: row for row in page}
            for kept in self._read(select(ATTEMPTS).where(ATTEMPTS.c.uid.in_(wanted))):
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
        query = select(ATTEMPTS).order_by(ATTEMPTS.c.at_us, ATTEMPTS.c.uid).limit(PAGE)
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
        page = self._read(query)
        while page:
            yield from map(from_row, page)
            page = self._read(query.where(_after(page[-1])))

    def latest(self, *, learner: str, since: datetime, most: int) -> list[Attempt]:
        """Return a learner's latest attempts, so many at most, in their order in time."""
        mine = ATTEMPTS.c.learner == learner, ATTEMPTS.c.at_us >= microseconds(since)
        newest_first = ATTEMPTS.c.at_us.desc(), ATTEMPTS.c.uid.desc()
        rows = self._read(select(ATTEMPTS).where(*mine).order_by(*newest_first).limit(most))
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
        page = self._read_plain(query)
        while page:
            for row in page:
                yield row[:-2]
            page = self._read_plain(query.where(_after({"at_us": page[-1][-2], "uid": page[-1][-1]})))

    def tallies(self, *, learner: str) -> tuple[Tally, ...]:
        """Return a learner's tallies by day, exercise and band, without reading a single attempt."""
        query = select(TALLIES).where(TALLIES.c.learner == learner)
        rows = self._read(query.order_by(TALLIES.c.day, TALLIES.c.exercise, TALLIES.c.band_hz))
        return tuple(map(tally_of, rows))

    def done(self, *, since: date) -> dict[str, SeasonDone]:
        """Return how much everybody did, in all and week by week; week 0 begins on a day."""
        return done_of(self._read(done_query(since)), since)

    def said(self, *, exercise: str) -> dict[str, Said]:
        """Return what everybody said for what, in one exercise."""
        return said_of(self._read(said_query(exercise)))

    def kept_days(
        self, learner: str, *, made_by: str, before: date, only_last: bool = False
    ) -> tuple[str, ...]:
        """Return what was kept of a learner's ear on the days before one, in order; or on the last alone."""
        rows = self._read(query_of(learner, made_by=made_by, before=before, only_last=only_last))
        return tuple(row["state"] for row in rows)

    @property
    def address(self) -> str:
        """Where it can be opened again, by another process too."""
        return self._engine.url.render_as_string(hide_password=False)

    def keep_days(
        self, learner: str, states: Sequence[tuple[date, str]], *, made_by: str, seen: int, before: datetime
    ) -> bool:
        """Keep what a learner's ear was like at the end of some days, if the log is still that long."""
        before_us = microseconds(before)
        return self._write(
            lambda connection: keep_days(
                connection, learner, states, made_by=made_by, seen=seen, before_us=before_us
            )
        )

    def learners(self) -> tuple[str, ...]:
        """Return everyone who has an attempt in the store, by name."""
        first = select(func.min(ATTEMPTS.c.learner).label("name"))
        names: list[str] = []
        found = self._read(first)[0]["name"]
        while found is not None:
            names.append(found)
            found = self._read(first.where(ATTEMPTS.c.learner > found))[0]["name"]
        return tuple(names)

    def first_answer(self, learner: str) -> datetime | None:
        """Return when somebody answered first; None where they never did."""
        first_us = self._read(
            select(func.min(ATTEMPTS.c.at_us).label("us")).where(ATTEMPTS.c.learner == learner)
        )
        return None if first_us[0]["us"] is None else time_of(first_us[0]["us"])

    def count(self) -> int:
        """Return how many attempts there are."""
        return int(self._read(select(func.count().label("number")).select_from(ATTEMPTS))[0]["number"])

    def get_setting(self, learner: str, key: str, default: Value | None = None) -> Value | None:
        """Return a learner's own setting, or ``default`` where it was never set."""
        rows = self._read(select(SETTINGS.c.value).where(*_setting(learner, key)))
        setting: Value | None = json.loads(rows[0]["value"]) if rows else default
        return setting

    def set_setting(self, learner: str, key: str, value: Value) -> None:
        """Set a learner's own setting."""
        words = {"learner": checked_text("learner", learner), "key": checked_text("setting", key)}
        row = words | {"value": json.dumps(value, allow_nan=False)}

        def replace(connection: Connection) -> None:
            connection.execute(delete(SETTINGS).where(*_setting(learner, key)))
            connection.execute(insert(SETTINGS).values(row))

        self._write(replace)

    def records(self, kind: str | None = None) -> tuple[Record, ...]:
        """Return what is kept of a kind, or of all kinds, by kind and key."""
        query = select(RECORDS).order_by(RECORDS.c.kind, RECORDS.c.key)
        rows = self._read(query if kind is None else query.where(RECORDS.c.kind == kind))
        return tuple(map(record_from, rows))

    def put(self, records: Iterable[Record]) -> int:
        """Keep each record unless a later one of its kind and key is there; return how many were kept."""
        chosen = list(records)
        return self._write(lambda connection: put_records(connection, chosen))

    @property
    def _is_sqlite(self) -> bool:
        return self._engine.dialect.name == "sqlite"

    def _keep_a_write_ahead_log(self) -> None:
        raw = self._engine.raw_connection()
        try:
            raw.cursor().execute("PRAGMA journal_mode = WAL")
        finally:
            raw.close()

    def _read(self, query: Any) -> list[Row]:
        with told_clearly(self.name), self._engine.connect() as connection:
            result = connection.execute(query)
            names = tuple(result.keys())
            return [dict(zip(names, row, strict=True)) for row in result.all()]

    def _read_plain(self, query: Any) -> Sequence[Sequence[Any]]:
        with told_clearly(self.name), self._engine.connect() as connection:
            return connection.execute(query).all()

    def _write(self, work: Callable[[Connection], T]) -> T:
        def once() -> T:
            with self._engine.connect().execution_options(**WRITES) as connection, connection.begin():
                return work(connection)

        with told_clearly(self.name):
            return self._again(once)

    def _again(self, work: Callable[[], T]) -> T:
        """Do it, and again if two writers met where the database does not queue them."""
        for tried in range(1, TRIES):
            try:
                return work()
            except (IntegrityError, OperationalError) as error:
                if isinstance(error, OperationalError) and "locked" not in str(error.orig):
                    raise
                self._sleep(0.02 * tried)
        return work()

    def _insert(self, page: list[Row], connection: Connection) -> int:
        wanted = {row["uid"]: row for row in page}
        found = connection.execute(select(ATTEMPTS).where(ATTEMPTS.c.uid.in_(wanted))).mappings()
        for row in map(dict, found):
            mine = wanted.pop(row["uid"])
            if mine != row and from_row(mine) != from_row(row):
                raise StoreError(
                    f"{self.name} remembers another attempt under {row['uid']}; attempts are never changed, "
                    "so the one already there was kept and nothing was added"
                )
        if wanted:
            connection.execute(insert(ATTEMPTS), list(wanted.values()))
            add_to_tallies(connection, wanted.values())
            forget_from(connection, wanted.values())
        return len(wanted)


def _after(last: Row) -> Any:
    """Return what comes after a row; said twice, so that the database goes there at once and not from the start."""
    at_us, uid = last["at_us"], last["uid"]
    later = or_(ATTEMPTS.c.at_us > at_us, and_(ATTEMPTS.c.at_us == at_us, ATTEMPTS.c.uid > uid))
    return and_(ATTEMPTS.c.at_us >= at_us, later)


def _setting(learner: str, key: str) -> tuple[Any, Any]:
    return SETTINGS.c.learner == learner, SETTINGS.c.key == key
