"""Backup: whole and of one moment while others write, standing by itself, never over another file."""

import sqlite3
from contextlib import closing
from datetime import timedelta
from pathlib import Path

import pytest

from tests.progress.made_up import START, attempt
from tests.progress.test_migrations import ROW, VERSION_2, old_store
from tests.progress.test_store import writer
from trainer.progress.backup import back_up, backup_path, looked_through
from trainer.progress.store import open_store
from trainer.refusal import Refused


def filled(path: Path, count: int) -> Path:
    with open_store(path, now=START) as store:
        store.log.add_all(attempt(number) for number in range(1, count + 1))
    return path


def test_a_copy_holds_what_the_store_holds_and_stands_by_itself(tmp_path: Path) -> None:
    """SQLite's own integrity_check, by Python's sqlite3; a file in another journal mode would need others beside."""
    path = filled(tmp_path / "yardline.sqlite", 7)
    with open_store(path, now=START) as store:
        done = back_up(path, tmp_path / "copy.sqlite")
        assert (done.path, done.attempts) == (tmp_path / "copy.sqlite", 7)
        assert list(store.log.attempts())
    with closing(sqlite3.connect(f"{done.path.as_uri()}?mode=ro", uri=True)) as raw:
        assert raw.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        assert raw.execute("PRAGMA journal_mode").fetchall() == [("delete",)]
    assert sorted(file.name for file in tmp_path.iterdir()) == ["copy.sqlite", "yardline.sqlite"]
    with open_store(done.path, now=START) as copy:
        assert list(copy.log.attempts()) == [attempt(number) for number in range(1, 8)]


def test_a_copy_made_while_another_process_writes_is_of_one_moment(tmp_path: Path) -> None:
    """The writer tells each number once it is kept: what was told before is there, and nothing with a gap."""
    path = filled(tmp_path / "yardline.sqlite", 1)
    with writer(path, first=2, count=100_000) as process:
        assert process.stdout is not None
        counts = []
        for number in range(3):
            told = int([process.stdout.readline() for _ in range(10)][-1])
            done = back_up(path, tmp_path / f"{number}.sqlite")
            assert done.attempts >= told
            counts.append(done.attempts)
        process.kill()
    assert counts == sorted(set(counts))
    for number, count in enumerate(counts):
        with open_store(tmp_path / f"{number}.sqlite", now=START) as copy:
            assert list(copy.log.attempts()) == [attempt(one) for one in range(1, count + 1)]
            assert sum(tally.asked for tally in copy.sums.tallies(learner="Heron")) == count


def test_an_older_store_is_copied_as_it_is(tmp_path: Path) -> None:
    path = old_store(tmp_path / "yardline.sqlite", VERSION_2 + ROW)
    assert back_up(path, tmp_path / "copy.sqlite").attempts == 1
    with closing(sqlite3.connect(tmp_path / "copy.sqlite")) as raw:
        assert raw.execute("SELECT MAX(version) FROM schema_version").fetchall() == [(2,)]


def test_a_file_that_is_there_is_never_replaced(tmp_path: Path) -> None:
    path = filled(tmp_path / "yardline.sqlite", 1)
    (tmp_path / "kept.sqlite").write_text("dear to somebody")
    for there in (tmp_path / "kept.sqlite", path):
        with pytest.raises(Refused, match=r"is there already; a backup never replaces a file: name another"):
            back_up(path, there)
    assert (tmp_path / "kept.sqlite").read_text() == "dear to somebody"


def test_a_damaged_store_gives_no_copy(tmp_path: Path) -> None:
    path = filled(tmp_path / "yardline.sqlite", 200)
    whole = path.read_bytes()
    path.write_bytes(whole[:8192] + b"\xa5" * (len(whole) - 8192))
    with pytest.raises(Refused, match="is damaged"):
        back_up(path, tmp_path / "copy.sqlite")
    (tmp_path / "song.sqlite").write_bytes(b"la " * 1000)
    with pytest.raises(Refused, match="damaged or is not a store"):
        back_up(tmp_path / "song.sqlite", tmp_path / "copy.sqlite")
    assert sorted(file.name for file in tmp_path.iterdir()) == ["song.sqlite", "yardline.sqlite"]


def test_what_cannot_be_backed_up_here_is_told(tmp_path: Path) -> None:
    with pytest.raises(Refused, match=r"nothing to back up: .* is not there yet"):
        back_up(tmp_path / "yardline.sqlite", tmp_path / "copy.sqlite")
    with pytest.raises(
        Refused, match=r"a postgresql database .* use its own tools \(for PostgreSQL, pg_dump\)"
    ):
        back_up("postgresql://heron@there/yardline", tmp_path / "copy.sqlite")
    path = filled(tmp_path / "yardline.sqlite", 1)
    with pytest.raises(Refused, match=r"cannot be (written|opened)"):
        back_up(path, tmp_path / "nowhere" / "copy.sqlite")


def test_a_copy_is_named_after_its_time_in_a_folder_beside_the_store(tmp_path: Path) -> None:
    one, other = (backup_path(tmp_path / "yardline.sqlite", now=START + timedelta(seconds=s)) for s in (0, 1))
    assert one.parent == tmp_path / "backups"
    assert one.name == f"yardline-{START.astimezone():%Y-%m-%d-%H%M%S}.sqlite"
    assert one != other


def test_looking_through_finds_what_sqlite_finds(tmp_path: Path) -> None:
    path = filled(tmp_path / "yardline.sqlite", 3)
    assert looked_through(path, called="it") == 3
