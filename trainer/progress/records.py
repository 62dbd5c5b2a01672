"""Records: what staff keep beside the answers – members, the plan, quizzes – each under a kind and a key.

Of two records of one kind and key the later holds, and of two of one time the one whose body sorts last: so
stores merge to the same in any order.
"""

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, Select, delete, insert, select

from trainer.progress.database import Database
from trainer.progress.rows import checked_text, microseconds, time_of
from trainer.progress.schema import RECORDS


@dataclass(frozen=True, slots=True)
class Record:
    """What is kept under a kind and a key since ``at`` (UTC); ``body`` is JSON with its keys sorted."""

    kind: str
    key: str
    at: datetime
    body: str


def record_of(kind: str, key: str, content: Mapping[str, Any], *, at: datetime) -> Record:
    """Return the record that keeps some content.

    Raises
    ------
    Refused
        If it holds text that cannot be written as UTF-8.
    """
    body = json.dumps(content, ensure_ascii=False, allow_nan=False, sort_keys=True)
    return Record(kind, checked_text(kind, key), at, checked_text(kind, body))


class Records:
    """The records in a database."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def all(self) -> tuple[Record, ...]:
        """Return what is kept, by kind and key."""
        return self._read(_BY_KIND_AND_KEY)

    def of_kind(self, kind: str) -> tuple[Record, ...]:
        """Return what is kept of a kind, by key."""
        return self._read(_BY_KIND_AND_KEY.where(RECORDS.c.kind == kind))

    def put(self, records: Iterable[Record]) -> int:
        """Keep each record unless a later one of its kind and key is there; return how many were kept."""
        chosen = list(records)
        return self._database.write(lambda connection: sum(_put(connection, record) for record in chosen))

    def _read(self, query: Select[Any]) -> tuple[Record, ...]:
        return tuple(map(_record_from, self._database.read(query)))


_BY_KIND_AND_KEY = select(RECORDS).order_by(RECORDS.c.kind, RECORDS.c.key)


def _put(connection: Connection, record: Record) -> bool:
    here = RECORDS.c.kind == record.kind, RECORDS.c.key == record.key
    found = connection.execute(select(RECORDS).where(*here)).mappings().one_or_none()
    row = {"kind": record.kind, "key": record.key, "at_us": microseconds(record.at), "body": record.body}
    if found is not None:
        if (found["at_us"], found["body"]) >= (row["at_us"], row["body"]):
            return False
        connection.execute(delete(RECORDS).where(*here))
    connection.execute(insert(RECORDS).values(row))
    return True


def _record_from(row: Mapping[str, Any]) -> Record:
    """Return the record that a row of the table holds."""
    return Record(row["kind"], row["key"], time_of(row["at_us"]), row["body"])
