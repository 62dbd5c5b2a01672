"""The database under a store: looked at, written, and begun again where writers meet; errors told in one sentence."""

from collections.abc import Callable, Sequence
from typing import Any, TypeVar

from sqlalchemy import Connection, Engine, Select
from sqlalchemy.exc import IntegrityError, OperationalError

from trainer.progress.engine import WRITES
from trainer.progress.errors import CORRUPT, StoreError, told_clearly

T = TypeVar("T")
Row = dict[str, Any]

TRIES = 5
"""How often a write is begun again when the database asks for it."""


class Database:
    """An open database; ``name`` is what it is called where something is said of it.

    Whatever goes wrong in it is raised as a `StoreError`.
    """

    def __init__(self, engine: Engine, *, name: str, sleep: Callable[[float], None]) -> None:
        self.engine, self.name = engine, name
        self._sleep = sleep

    @property
    def address(self) -> str:
        """Where it can be opened again, by another process too."""
        return self.engine.url.render_as_string(hide_password=False)

    def close(self) -> None:
        """Let go of it."""
        self.engine.dispose()

    def look(self, work: Callable[[Connection], T]) -> T:
        """Return what some work finds that writes nothing."""
        with told_clearly(self.name), self.engine.connect() as connection:
            return work(connection)

    def read(self, query: Select[Any]) -> list[Row]:
        """Return the rows of a query by the names of their columns."""

        def rows(connection: Connection) -> list[Row]:
            result = connection.execute(query)
            names = tuple(result.keys())
            return [dict(zip(names, row, strict=True)) for row in result.all()]

        return self.look(rows)

    def read_plain(self, query: Select[Any]) -> Sequence[Sequence[Any]]:
        """Return the rows of a query, each in the order of its columns."""
        return self.look(lambda connection: connection.execute(query).all())

    def write(self, work: Callable[[Connection], T]) -> T:
        """Do some work in a transaction of its own and return what came of it; it is on the disk then."""

        def once() -> T:
            with self.engine.connect().execution_options(**WRITES) as connection, connection.begin():
                return work(connection)

        with told_clearly(self.name):
            return self._again(once)

    def keep_a_write_ahead_log(self) -> None:
        """Let SQLite be read while it is written."""
        if self._is_sqlite:
            with told_clearly(self.name):
                self._again(self._begin_write_ahead_log)

    def check(self) -> None:
        """Read all of it and raise `StoreError` if anything is damaged (takes a while)."""
        if not self._is_sqlite:
            return
        said = self.look(lambda one: str(one.exec_driver_sql("PRAGMA integrity_check").scalar_one()))
        if said != "ok":
            raise StoreError(CORRUPT.format(where=self.name, said=said.splitlines()[0]))

    @property
    def _is_sqlite(self) -> bool:
        return self.engine.dialect.name == "sqlite"

    def _begin_write_ahead_log(self) -> None:
        raw = self.engine.raw_connection()
        try:
            raw.cursor().execute("PRAGMA journal_mode = WAL")
        finally:
            raw.close()

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
