"""The store: all that is remembered, in parts – the log of attempts, sums of it, ears, settings, staff's records."""

import time
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from types import TracebackType
from typing import Self

from trainer.progress.database import Database
from trainer.progress.engine import address_of, make_engine, name_of
from trainer.progress.errors import told_clearly
from trainer.progress.kept_days import KeptEars
from trainer.progress.learner_settings import LearnerSettings
from trainer.progress.log import Log
from trainer.progress.migrations import VERSION, migrate, version_of
from trainer.progress.records import Records
from trainer.progress.sums import Sums


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
        store = Store(Database(make_engine(url, wait_s=wait_s), name=name, sleep=sleep))
        try:
            store.bring_up_to_date(now=now)
        except BaseException:
            store.close()
            raise
    return store


class Store:
    """An open store; a context manager that closes it.

    Attributes
    ----------
    log
        Every attempt ever made, append-only.
    sums
        Sums over the log, for which no attempt is looked at one by one.
    ears
        What ears were like at the end of days gone by, as the log tells it.
    settings
        The learners' own settings.
    records
        What staff keep: members, the plan, quizzes.
    """

    def __init__(self, database: Database) -> None:
        self.database = database
        self.log = Log(database)
        self.sums = Sums(database)
        self.ears = KeptEars(database)
        self.settings = LearnerSettings(database)
        self.records = Records(database)

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    @property
    def name(self) -> str:
        """What it is called in what is said of it."""
        return self.database.name

    @property
    def address(self) -> str:
        """Where it can be opened again, by another process too."""
        return self.database.address

    def close(self) -> None:
        """Let go of the database; what was added is already on the disk."""
        self.database.close()

    def bring_up_to_date(self, *, now: datetime) -> None:
        """Take the pending migrations, all or none; a store from a newer version is refused untouched."""
        version = self.database.look(lambda connection: version_of(connection, where=self.name))
        if version < VERSION:
            self.database.write(lambda connection: migrate(connection, now=now, where=self.name))
        self.database.keep_a_write_ahead_log()

    def check(self) -> None:
        """Read the whole store and raise `StoreError` if anything in it is damaged (takes a while)."""
        self.database.check()

    def merge(self, other: "Store") -> int:
        """Add every attempt and record of another store, which stays as it is; return how many attempts were new."""
        self.records.put(other.records.all())
        return self.log.add_all(other.log.attempts())
