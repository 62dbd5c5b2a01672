"""Migrations: the ledger of steps from an empty database to today's schema, each applied once, in order.

A step is never edited once stores exist that took it; a change of mind is a new step. All pending steps
are taken in one transaction: a process that dies in the middle leaves the store as it was.
"""

from collections.abc import Callable
from datetime import datetime

from sqlalchemy import Connection, inspect, text

from trainer.progress.errors import StoreError
from trainer.progress.migration_steps import say_what_attempts_say, tally_by_evidence, tally_what_is_there
from trainer.progress.rows import microseconds

Step = str | Callable[[Connection], None]
"""A statement that SQLite and PostgreSQL both understand, or work that no statement does."""

LEDGER = "CREATE TABLE schema_version (version INTEGER PRIMARY KEY, applied_us BIGINT NOT NULL)"


MIGRATIONS: tuple[tuple[Step, ...], ...] = (
    (
        """CREATE TABLE attempts (
            uid VARCHAR(32) NOT NULL PRIMARY KEY, at_us BIGINT NOT NULL, learner TEXT NOT NULL,
            block TEXT NOT NULL, exercise TEXT NOT NULL, rep_code TEXT NOT NULL, show TEXT NOT NULL,
            seed TEXT NOT NULL, size DOUBLE PRECISION NOT NULL, unit TEXT NOT NULL, target TEXT NOT NULL,
            bands TEXT NOT NULL, right_answer TEXT NOT NULL, given_answer TEXT NOT NULL,
            options TEXT NOT NULL, marks TEXT NOT NULL, score DOUBLE PRECISION NOT NULL,
            "right" BOOLEAN NOT NULL, response_s DOUBLE PRECISION NOT NULL, flips INTEGER NOT NULL,
            version TEXT NOT NULL)""",
    ),
    (
        "ALTER TABLE attempts ADD COLUMN setup TEXT NOT NULL DEFAULT ''",
        "ALTER TABLE attempts ADD COLUMN quiz_item TEXT NOT NULL DEFAULT ''",
    ),
    (
        "CREATE INDEX attempts_by_time ON attempts (at_us, uid)",
        "CREATE INDEX attempts_by_learner ON attempts (learner, at_us, uid)",
        """CREATE TABLE settings (learner TEXT NOT NULL, key TEXT NOT NULL, value TEXT NOT NULL,
            PRIMARY KEY (learner, key))""",
    ),
    (
        """CREATE TABLE tallies (learner TEXT NOT NULL, day INTEGER NOT NULL, exercise TEXT NOT NULL,
            band_hz DOUBLE PRECISION NOT NULL, asked DOUBLE PRECISION NOT NULL,
            "right" DOUBLE PRECISION NOT NULL, PRIMARY KEY (learner, day, exercise, band_hz))""",
        tally_what_is_there,
    ),
    (
        """CREATE TABLE ear_days (learner TEXT NOT NULL, day INTEGER NOT NULL, made_by TEXT NOT NULL,
            state TEXT NOT NULL, PRIMARY KEY (learner, day))""",
    ),
    (
        """CREATE TABLE records (kind TEXT NOT NULL, key TEXT NOT NULL, at_us BIGINT NOT NULL,
            body TEXT NOT NULL, PRIMARY KEY (kind, key))""",
        "CREATE INDEX attempts_by_quiz ON attempts (quiz_item) WHERE quiz_item <> ''",
    ),
    (
        "CREATE TABLE questions (digest VARCHAR(32) NOT NULL PRIMARY KEY, asked TEXT NOT NULL)",
        "ALTER TABLE attempts ADD COLUMN evidence TEXT NOT NULL DEFAULT '[]'",
        "ALTER TABLE attempts ADD COLUMN told TEXT NOT NULL DEFAULT '[]'",
        "ALTER TABLE attempts ADD COLUMN question VARCHAR(32) NOT NULL DEFAULT ''",
        say_what_attempts_say,
        "ALTER TABLE attempts DROP COLUMN bands",
        "ALTER TABLE attempts DROP COLUMN options",
        "DELETE FROM ear_days",
        "DELETE FROM tallies",
        tally_by_evidence,
    ),
)
"""Step by step: what takes a store from version 0 (nothing) to 1, from 1 to 2, …"""

VERSION = len(MIGRATIONS)


def version_of(connection: Connection, *, where: str) -> int:
    """Return the schema version of the database, 0 for an empty one.

    Raises
    ------
    StoreError
        If it was made by a newer version of the program, or by another program.
    """
    tables = inspect(connection).get_table_names()
    if not tables:
        return 0
    if "schema_version" not in tables:
        raise StoreError(
            f"{where} is another program's database, not a store; choose another place for the store"
        )
    version = int(
        connection.execute(text("SELECT COALESCE(MAX(version), 0) FROM schema_version")).scalar_one()
    )
    if version > VERSION:
        raise StoreError(
            f"{where} was made by a newer version of this program (schema {version}, this one knows up to "
            f"{VERSION}); nothing was changed: update the program to open it"
        )
    return version


def migrate(connection: Connection, *, now: datetime, where: str) -> None:
    """Take the steps the database has not taken yet, inside the caller's transaction."""
    version = version_of(connection, where=where)
    if version == 0 and not inspect(connection).has_table("schema_version"):
        connection.execute(text(LEDGER))
    for number, steps in enumerate(MIGRATIONS[version:], version + 1):
        for step in steps:
            _take(step, connection)
        applied_us = microseconds(now)
        ledger = text("INSERT INTO schema_version (version, applied_us) VALUES (:version, :applied_us)")
        connection.execute(ledger, {"version": number, "applied_us": applied_us})


def _take(step: Step, connection: Connection) -> None:
    if isinstance(step, str):
        connection.execute(text(step))
    else:
        step(connection)
