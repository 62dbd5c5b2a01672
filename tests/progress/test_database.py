"""The database: a write is begun again where two writers meet, and what else goes wrong is told at once."""

from collections.abc import Callable, Iterator
from pathlib import Path
from sqlite3 import IntegrityError as RawIntegrityError
from sqlite3 import OperationalError as RawOperationalError

import pytest
from sqlalchemy import Connection, text
from sqlalchemy.exc import DBAPIError, IntegrityError, OperationalError

from trainer.progress.database import TRIES, Database
from trainer.progress.engine import address_of, make_engine
from trainer.progress.errors import StoreError

MET = IntegrityError("", {}, RawIntegrityError("UNIQUE constraint failed"))
LOCKED = OperationalError("", {}, RawOperationalError("database is locked"))
GONE = OperationalError("", {}, RawOperationalError("no such table: attempts"))


@pytest.fixture
def slept_s() -> list[float]:
    return []


@pytest.fixture
def database(tmp_path: Path, slept_s: list[float]) -> Iterator[Database]:
    engine = make_engine(address_of(tmp_path / "store.sqlite"), wait_s=0.0)
    opened = Database(engine, name="the store", sleep=slept_s.append)
    yield opened
    opened.close()


def failing(error: DBAPIError, times: int) -> Callable[[Connection], int]:
    """Return work that fails so often, and then returns how often it was done."""
    done = []

    def work(_: Connection) -> int:
        done.append(1)
        if len(done) <= times:
            raise error
        return len(done)

    return work


@pytest.mark.parametrize("error", [MET, LOCKED])
def test_a_write_that_meets_another_is_begun_again_after_longer_and_longer_waits(
    database: Database, slept_s: list[float], error: DBAPIError
) -> None:
    assert database.write(failing(error, 2)) == 3
    assert slept_s == [0.02, 0.04]


def test_a_write_that_meets_others_every_time_is_told_in_the_end(
    database: Database, slept_s: list[float]
) -> None:
    with pytest.raises(StoreError, match="in use by another program"):
        database.write(failing(LOCKED, TRIES))
    assert len(slept_s) == TRIES - 1
    assert database.write(failing(LOCKED, TRIES - 1)) == TRIES


def test_what_trying_again_does_not_mend_is_told_at_once(database: Database, slept_s: list[float]) -> None:
    with pytest.raises(StoreError, match="lacks a table"):
        database.write(failing(GONE, 1))
    assert slept_s == []


def test_a_write_that_fails_leaves_nothing_behind(database: Database) -> None:
    database.write(lambda connection: connection.execute(text("CREATE TABLE notes (pitch INTEGER)")))

    def half(connection: Connection) -> None:
        connection.execute(text("INSERT INTO notes VALUES (60)"))
        raise ValueError("in the middle")

    with pytest.raises(ValueError, match="in the middle"):
        database.write(half)
    count = text("SELECT count(*) FROM notes")
    assert database.look(lambda connection: connection.execute(count).scalar_one()) == 0
