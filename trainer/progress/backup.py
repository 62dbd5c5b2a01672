"""Backup: a store copied whole while others write to it (SQLite's online backup), and the copy looked through."""

import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from trainer.progress.engine import address_of
from trainer.progress.errors import StoreError, sentence_for
from trainer.progress.files import replacing
from trainer.refusal import Refused

FOLDER = "backups"
SHARED = "-shm"
"""What stands beside a store that somebody has open, or had when they died."""
BESIDE = ("-wal", "-journal")
"""What stands beside a store with what is not in its own file yet."""
BUSY_S = 10.0


@dataclass(frozen=True, slots=True)
class Backup:
    """A copy that was looked through: where it is, and how many attempts are in it."""

    path: Path
    attempts: int


def backup_path(store: Path, *, now: datetime) -> Path:
    """Return where a copy of a store goes where nobody said: a folder beside it, under the local time."""
    return store.parent / FOLDER / f"{store.stem}-{now.astimezone():%Y-%m-%d-%H%M%S}.sqlite"


def back_up(place: Path | str, path: Path) -> Backup:
    """Copy a store, as it is at one moment, to a file that is not there yet, and look through the copy.

    Raises
    ------
    Refused
        If there is no store, it is no file (PostgreSQL), the copy's file is there, or it cannot be written; or if
        the copy is damaged: it is not kept then.
    """
    url = address_of(place)
    if url.get_backend_name() != "sqlite":
        raise Refused(
            f"a {url.get_backend_name()} database is not copied here: use its own tools (for PostgreSQL, pg_dump)"
        )
    store = Path(str(url.database))
    if not store.is_file():
        raise Refused(f"there is nothing to back up: {store} is not there yet")
    if path.exists():
        raise Refused(f"{path} is there already; a backup never replaces a file: name another")
    with replacing(path) as beside:
        copy_open_store(store, beside, mode="rw")
        attempts = looked_through(beside, called=f"the copy of {store}")
        if path.exists():
            raise Refused(f"{path} is there already; a backup never replaces a file: name another")
    return Backup(path, attempts)


def copy_store(store: Path, path: Path) -> None:
    """Copy a store without touching it or its folder, whether or not somebody has it open.

    Nothing is opened that nobody else has open: SQLite leaves files beside what it opens, even to read.
    """
    if not _beside(store, SHARED).exists():
        shutil.copyfile(store, path)
        for end in BESIDE:
            if _beside(store, end).exists():
                shutil.copyfile(_beside(store, end), _beside(path, end))
    if _beside(store, SHARED).exists():  # from before, or opened by somebody meanwhile
        for end in ("", *BESIDE):
            _beside(path, end).unlink(missing_ok=True)
        copy_open_store(store, path)


def copy_open_store(store: Path, path: Path, *, mode: str = "ro") -> None:
    """Copy a store that others may be writing to, as it is at one moment, to a file that stands by itself.

    ``mode`` is how it is opened: ``rw`` for our own, beside which nothing is to be left.
    """
    with _told(store), closing(_connected(store, mode)) as live, closing(_connected(path, "rwc")) as copy:
        live.backup(copy)
        copy.execute("PRAGMA journal_mode = DELETE")


def looked_through(path: Path, *, called: str) -> int:
    """Return how many attempts a store holds, after SQLite has read all of it and found it whole."""
    with _told(path), closing(_connected(path, "ro")) as raw:
        said = raw.execute("PRAGMA integrity_check").fetchone()[0]
        if said != "ok":
            raise StoreError(f"{called} is damaged ({said.splitlines()[0]}) and was not kept")
        return int(raw.execute("SELECT COUNT(*) FROM attempts").fetchone()[0])


def _connected(path: Path, mode: str) -> sqlite3.Connection:
    return sqlite3.connect(f"{path.absolute().as_uri()}?mode={mode}", uri=True, timeout=BUSY_S)


def _beside(path: Path, end: str) -> Path:
    return path.with_name(path.name + end)


@contextmanager
def _told(path: Path) -> Iterator[None]:
    try:
        yield
    except sqlite3.Error as error:
        raise StoreError(sentence_for(str(error), where=f"the store {path}")) from error
