"""The engine: a database opened so that what it says is written is on the disk, and writers take turns."""

from pathlib import Path
from typing import Any

from sqlalchemy import URL, Connection, Engine, create_engine, event, make_url

from trainer.progress.errors import StoreError

WRITES = {"writes": True}
"""The execution option of a connection that is going to write: it takes its turn at the start."""


def address_of(place: Path | str) -> URL:
    """Return the database address of a file's path or of a URL."""
    if isinstance(place, str) and "://" in place:
        return make_url(place)
    return URL.create("sqlite", database=str(Path(place).absolute()))


def name_of(url: URL) -> str:
    """Return the words for a database: its file, or its address without the password."""
    is_file = url.get_backend_name() == "sqlite" and url.database
    return f"the store {url.database}" if is_file else f"the store {url.render_as_string(hide_password=True)}"


def make_engine(url: URL, *, wait_s: float) -> Engine:
    """Return the engine for a database; on SQLite a writer waits up to ``wait_s`` for the others."""
    engine = create_engine(url)
    if url.get_backend_name() == "sqlite":
        make_folder_of(url)
        _settle_sqlite(engine, wait_s=wait_s)
    return engine


def make_folder_of(url: URL) -> None:
    """Make the folder of a SQLite file."""
    folder = Path(str(url.database)).parent
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise StoreError(f"the folder {folder} for the store cannot be made: {error.strerror}") from error


def _settle_sqlite(engine: Engine, *, wait_s: float) -> None:
    """Full sync, and our own BEGIN, so that a writer queues at the start instead of failing in the middle."""

    @event.listens_for(engine, "connect")
    def on_connect(raw: Any, _record: object) -> None:
        raw.isolation_level = None
        raw.execute(f"PRAGMA busy_timeout = {round(1000 * wait_s)}")
        raw.execute("PRAGMA synchronous = FULL")

    @event.listens_for(engine, "begin")
    def on_begin(connection: Connection) -> None:
        writes = connection.get_execution_options().get("writes", False)
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")
