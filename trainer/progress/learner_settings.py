"""Learners' settings: a value under a learner and a key, as JSON; the last one set holds."""

import json
from typing import Any

from sqlalchemy import Connection, delete, insert, select

from trainer.practice.values import Value
from trainer.progress.database import Database
from trainer.progress.rows import checked_text
from trainer.progress.schema import SETTINGS


class LearnerSettings:
    """The settings in a database, each a learner's own."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def get(self, learner: str, key: str, default: Value | None = None) -> Value | None:
        """Return a learner's own setting, or ``default`` where it was never set."""
        rows = self._database.read(select(SETTINGS.c.value).where(*_here(learner, key)))
        setting: Value | None = json.loads(rows[0]["value"]) if rows else default
        return setting

    def set(self, learner: str, key: str, value: Value) -> None:
        """Set a learner's own setting.

        Raises
        ------
        Refused
            If the learner, the key or the value holds text that cannot be written as UTF-8.
        """
        words = {"learner": checked_text("learner", learner), "key": checked_text("setting", key)}
        row = words | {"value": json.dumps(value, allow_nan=False)}

        def replace(connection: Connection) -> None:
            connection.execute(delete(SETTINGS).where(*_here(learner, key)))
            connection.execute(insert(SETTINGS).values(row))

        self._database.write(replace)


def _here(learner: str, key: str) -> tuple[Any, Any]:
    return SETTINGS.c.learner == learner, SETTINGS.c.key == key
