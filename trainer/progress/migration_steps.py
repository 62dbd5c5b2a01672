"""The steps of migrations that no statement does; each frozen with the migration it belongs to.

They read and write by the columns of their day and call nothing that may change.
"""

import hashlib
import json
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from sqlalchemy import Connection, text

from trainer.progress.from_0_1_0 import texts_of

DAY_US = 86_400_000_000
PAGE = 2000
"""How many rows are changed at a time."""

Row = Mapping[str, Any]
Weights = Iterable[tuple[float, float]]


def tally_what_is_there(connection: Connection) -> None:
    """Add up the attempts of a store from before there were tallies (migration 4): whole answers, by their bands."""
    found = connection.execute(text('SELECT learner, at_us, exercise, bands, "right" FROM attempts'))
    sums: dict[tuple[Any, ...], list[float]] = {}
    for row in map(dict, found.mappings()):
        weights = ((float(hz), weight) for hz, weight in json.loads(row["bands"]).items())
        _add(sums, row, weights, is_right=bool(row["right"]))
    _keep(connection, sums)


def say_what_attempts_say(connection: Connection) -> None:
    """Write the evidence of attempts beside them, and what was on offer once for all (migration 7)."""
    columns = (
        "uid, exercise, target, unit, size, quiz_item, bands, right_answer, given_answer, options, marks"
    )
    changed = text(
        "UPDATE attempts SET evidence = :evidence, told = :told, question = :question WHERE uid = :its_uid"
    )
    known: dict[str, str] = {}
    for page in _pages(
        connection, f"SELECT {columns} FROM attempts WHERE uid > :after ORDER BY uid LIMIT {PAGE}"
    ):
        rows = []
        for row in page:
            texts = texts_of(row)
            asked = texts.pop("asked")
            digest = hashlib.blake2b(asked.encode("utf-8"), digest_size=16).hexdigest()
            known[digest] = asked
            rows.append(texts | {"question": digest, "its_uid": row["uid"]})
        connection.execute(changed, rows)
    if known:
        insert = text("INSERT INTO questions (digest, asked) VALUES (:digest, :asked)")
        connection.execute(insert, [{"digest": digest, "asked": asked} for digest, asked in known.items()])


def tally_by_evidence(connection: Connection) -> None:
    """Add up what attempts say, by the bands it belongs to (migration 7)."""
    columns = "uid, learner, at_us, exercise, evidence"
    sums: dict[tuple[Any, ...], list[float]] = {}
    for page in _pages(
        connection, f"SELECT {columns} FROM attempts WHERE uid > :after ORDER BY uid LIMIT {PAGE}"
    ):
        for row in page:
            for one in json.loads(row["evidence"]):
                _add(sums, row, one["bands"], is_right=one["named"])
    _keep(connection, sums)


def _pages(connection: Connection, statement: str) -> Iterator[list[dict[str, Any]]]:
    """Yield the rows of a statement page by page, in the order of their uid."""
    after = ""
    while page := [dict(row) for row in connection.execute(text(statement), {"after": after}).mappings()]:
        yield page
        after = page[-1]["uid"]


def _add(sums: dict[tuple[Any, ...], list[float]], row: Row, weights: Weights, *, is_right: bool) -> None:
    for band_hz, weight in weights:
        key = (row["learner"], row["at_us"] // DAY_US, row["exercise"], band_hz)
        asked_right = sums.setdefault(key, [0.0, 0.0])
        asked_right[0] += weight
        asked_right[1] += weight if is_right else 0.0


def _keep(connection: Connection, sums: Mapping[tuple[Any, ...], list[float]]) -> None:
    names = ("learner", "day", "exercise", "band_hz", "asked", "was_right")
    insert = text(
        'INSERT INTO tallies (learner, day, exercise, band_hz, asked, "right") '
        "VALUES (:learner, :day, :exercise, :band_hz, :asked, :was_right)"
    )
    if sums:
        rows = [dict(zip(names, (*key, *both), strict=True)) for key, both in sums.items()]
        connection.execute(insert, rows)
