"""The store: what was added comes back, whatever happens to the process, the disk or the file."""

import sqlite3
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import Engine, event

from tests.progress.made_up import START, attempt, uid_of
from tests.progress.test_sums import assert_tallies_are_the_attempts
from trainer.progress.errors import StoreError
from trainer.progress.store import Store, open_store

ROOT = Path(__file__).parents[2]


WRITER = """
import sys
from datetime import UTC, datetime
from tests.progress.made_up import attempt
from trainer.progress.store import open_store
first, count, path = int(sys.argv[1]), int(sys.argv[2]), sys.argv[3]
store = open_store(path, now=datetime(2031, 2, 3, tzinfo=UTC))
for number in range(first, first + count):
    store.log.add(attempt(number))
    print(number, flush=True)
"""


def writer(path: Path, *, first: int, count: int) -> "subprocess.Popen[str]":
    command = [sys.executable, "-c", WRITER, str(first), str(count), str(path)]
    return subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True)


def test_merging_is_a_union_and_merging_twice_changes_nothing(store: Store, tmp_path: Path) -> None:
    store.log.add_all([attempt(1), attempt(2)])
    with open_store(tmp_path / "other.sqlite", now=START) as other:
        other.log.add_all([attempt(2), attempt(3)])
        assert store.merge(other) == 1
        assert store.merge(other) == 0
        assert list(other.log.attempts()) == [attempt(2), attempt(3)]
    assert list(store.log.attempts()) == [attempt(1), attempt(2), attempt(3)]


def test_an_attempt_survives_the_process_being_killed_at_once(path: Path) -> None:
    """SQLite's own promise (WAL, synchronous=FULL): a committed transaction survives the process."""
    with writer(path, first=1, count=10_000) as process:
        assert process.stdout is not None
        told = [int(process.stdout.readline()) for _ in range(5)]
        process.kill()
        told += [int(line) for line in process.stdout.read().split("\n")[:-1]]
    assert process.returncode != 0
    with open_store(path, now=START) as store:
        kept = {one.uid for one in store.log.attempts()}
        assert {uid_of(number) for number in told} <= kept
        assert len(kept) <= len(told) + 1
        store.check()
        store.log.add(attempt(20_000))


def test_two_processes_writing_at_once_lose_nothing(path: Path) -> None:
    """Both also add the same forty, so that they meet on the same rows."""
    with writer(path, first=1, count=120) as one, writer(path, first=81, count=120) as other:
        outputs = [process.communicate()[0].split() for process in (one, other)]
    assert [len(lines) for lines in outputs] == [120, 120]
    assert (one.returncode, other.returncode) == (0, 0)
    with open_store(path, now=START) as store:
        assert sorted(found.uid for found in store.log.attempts()) == [
            uid_of(number) for number in range(1, 201)
        ]
        assert_tallies_are_the_attempts(store)


def test_a_store_held_by_another_program_is_told_after_the_wait(path: Path) -> None:
    with open_store(path, now=START, wait_s=0.05, sleep=lambda _: None) as store:
        holder = sqlite3.connect(path, isolation_level=None)
        holder.execute("BEGIN IMMEDIATE")
        with pytest.raises(StoreError, match="in use by another program"):
            store.log.add(attempt())
        holder.execute("COMMIT")
        holder.close()
        assert store.log.add(attempt()) is True


def test_a_file_that_is_no_database_is_told_and_kept(tmp_path: Path) -> None:
    path = tmp_path / "yardline.sqlite"
    path.write_bytes(b"The tide comes in twice a day. " * 100)
    with pytest.raises(StoreError, match=r"yardline\.sqlite is damaged or is not a store .* move it aside"):
        open_store(path, now=START)
    assert path.read_bytes() == b"The tide comes in twice a day. " * 100


def test_a_store_damaged_in_the_middle_is_told_when_it_is_checked_or_read(path: Path) -> None:
    with open_store(path, now=START) as store:
        store.log.add_all(attempt(number) for number in range(1, 200))
        with store.database.engine.connect() as connection:
            connection.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)")
    whole = path.read_bytes()
    path.write_bytes(whole[:8192] + b"\xa5" * (len(whole) - 8192))
    with (
        pytest.raises(StoreError, match=r"damaged .* it was kept as it is"),
        open_store(path, now=START) as store,
    ):
        store.check()
    with pytest.raises(StoreError, match="damaged"), open_store(path, now=START) as store:
        list(store.log.attempts())


def test_another_programs_database_is_refused_untouched(tmp_path: Path) -> None:
    path = tmp_path / "other.sqlite"
    raw = sqlite3.connect(path)
    raw.execute("CREATE TABLE recipes (name TEXT)")
    raw.close()
    before = path.read_bytes()
    with pytest.raises(StoreError, match="another program's database"):
        open_store(path, now=START)
    assert path.read_bytes() == before


def test_a_folder_that_cannot_be_made_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way", encoding="utf-8")
    with pytest.raises(StoreError, match=r"the folder .* cannot be made"):
        open_store(tmp_path / "file" / "yardline.sqlite", now=START)


def test_a_place_that_is_a_folder_is_told(tmp_path: Path) -> None:
    with pytest.raises(StoreError, match="cannot be opened"):
        open_store(tmp_path, now=START)


def test_a_store_that_may_not_be_written_is_told(store: Store) -> None:
    """A connection told to only read stands for a read-only file: the super-user may write any file."""
    with store.database.engine.connect() as connection:
        connection.exec_driver_sql("PRAGMA query_only = ON")
    with pytest.raises(StoreError, match="cannot be written"):
        store.log.add(attempt())


def test_a_full_disk_is_told_and_nothing_half_written_is_kept(path: Path) -> None:
    """SQLite's max_page_count stands for the disk: it gives the same error, SQLITE_FULL."""

    def small_disk(raw: Any, _record: object) -> None:
        raw.execute("PRAGMA max_page_count = 40")

    with open_store(path, now=START) as store:
        store.log.add(attempt(1))
    event.listen(Engine, "connect", small_disk)
    try:
        with open_store(path, now=START) as store:
            with pytest.raises(StoreError, match="is full; make room"):
                store.log.add_all(attempt(number) for number in range(2, 400))
            assert list(store.log.attempts()) == [attempt(1)]
    finally:
        event.remove(Engine, "connect", small_disk)


@pytest.mark.parametrize(
    ("url", "told"),
    [
        ("nosuch://there", "is no database address"),
        ("://", "is no database address"),
    ],
)
def test_an_address_that_is_none_is_told(url: str, told: str) -> None:
    with pytest.raises(StoreError, match=told):
        open_store(url, now=START)


def test_a_sqlite_url_and_a_path_are_the_same_store(path: Path, store: Store) -> None:
    store.log.add(attempt())
    with open_store(f"sqlite:///{path}", now=START) as same:
        assert list(same.log.attempts()) == [attempt()]
        assert same.name == store.name
