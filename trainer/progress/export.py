"""Export: all attempts as CSV for a spreadsheet or as JSON Lines for a program, and JSON Lines read back.

What was on offer stands in JSON Lines before the first attempt at it, as ``{"asked": {…}}``; records, where they are
wanted, stand behind the attempts, each as ``{"record": {…}}``. Lines of version 0.1.0 are read as well.

CSV (RFC 4180) is UTF-8 with a byte order mark, because spreadsheets take a file without one for the
machine's old encoding; a cell that a spreadsheet would run as a formula gets an apostrophe in front. JSON
Lines is UTF-8 without a mark, as its readers expect, and loses nothing.
"""

import csv
import json
from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import datetime
from pathlib import Path
from typing import Any

from trainer.practice.attempt import Attempt
from trainer.practice.question_text import asked_from
from trainer.progress.files import replacing
from trainer.progress.from_0_1_0 import OLD_MAPPINGS, texts_of
from trainer.progress.records import Record, record_of
from trainer.progress.rows import (
    ASKED,
    COLUMNS,
    MAPPINGS,
    QUESTION,
    from_row,
    iso_of,
    microseconds,
    time_of,
    to_row,
)
from trainer.refusal import Refused

FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "\0", "＝", "＋", "－", "＠")
"""What a cell of text must not begin with: OWASP, CSV injection; NUL by OWASP ASVS 5.0, 1.2.10; the wide ones because
spreadsheets set to Japanese take them for the narrow ones (from memory)."""
MARK = "'"
"""What makes a cell text, whatever it begins with."""

RECORD = "record"
"""The only key of a line that is a record."""
ASKED_LINE = "asked"
"""The only key of a line that says what was on offer: its digest, and the fields."""

FIELDS = tuple("at" if column == "at_us" else column for column in COLUMNS)


def export_attempts(attempts: Iterable[Attempt], path: Path) -> int:
    """Write the attempts to a file, ``.csv`` or ``.jsonl``; return how many there were.

    Raises
    ------
    Refused
        If the file's name ends otherwise, or it cannot be written.
    """
    write = WRITERS.get(path.suffix.lower())
    if write is None:
        raise Refused(f"an export ends in {' or '.join(WRITERS)}, not {path.name!r}")
    return write(attempts, path)


def write_csv(attempts: Iterable[Attempt], path: Path) -> int:
    """Write the attempts as CSV, whole or not at all; return how many there were."""
    count = 0
    with replacing(path) as beside, beside.open("w", encoding="utf-8-sig", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(FIELDS)
        for count, attempt in enumerate(attempts, 1):  # noqa: B007 - the last number is the count
            writer.writerow([safe_cell(value) for value in _cells(attempt)])
    return count


def write_jsonl(attempts: Iterable[Attempt], path: Path, records: Iterable[Record] = ()) -> int:
    """Write attempts, then records, as JSON Lines, whole or not at all; return how many attempts there were."""
    count = 0
    with replacing(path) as beside, beside.open("w", encoding="utf-8", newline="\n") as file:
        known: set[str] = set()
        for count, attempt in enumerate(attempts, 1):  # noqa: B007 - the last number is the count
            row = to_row(attempt)
            if row[QUESTION] not in known:
                known.add(row[QUESTION])
                file.write(
                    _line({ASKED_LINE: {"digest": row[QUESTION], "fields": json.loads(attempt.asked)}})
                )
            file.write(_line(_plain(row)))
        file.writelines(_line({RECORD: _plain_record(record)}) for record in records)
    return count


def read_jsonl(path: Path) -> Iterator[Attempt]:
    """Yield the attempts of a JSON Lines file.

    Raises
    ------
    Refused
        If the file cannot be read, or a line of it is neither an attempt nor a record; it says which line.
    """
    return (one for one in read_lines(path) if isinstance(one, Attempt))


def read_lines(path: Path) -> Iterator[Attempt | Record]:
    """Yield the attempts and the records of a JSON Lines file, line by line; refuses what `read_jsonl` does."""
    try:
        asked: dict[str, str] = {}
        with path.open(encoding="utf-8") as file:
            for number, line in enumerate(file, 1):
                found = _read(line, asked, where=f"{path}, line {number}")
                if found is not None:
                    yield found
    except UnicodeDecodeError as error:
        raise Refused(f"{path} is not UTF-8 text; was it saved by a spreadsheet?") from error
    except OSError as error:
        raise Refused(f"{path} cannot be read: {error.strerror}") from error


def safe_cell(value: object) -> str:
    """Return a cell that no spreadsheet runs as a formula; numbers stay numbers."""
    text = str(value)
    return f"{MARK}{text}" if isinstance(value, str) and _is_formula(text) else text


def plain_text(cell: str) -> str:
    """Return the text that `safe_cell` made a cell of."""
    return cell.removeprefix(MARK) if _is_formula(cell) else cell


def _is_formula(text: str) -> bool:
    """Return whether text begins like a formula, behind any marks it was given before."""
    return text.lstrip(MARK).startswith(FORMULA_STARTS)


def _cells(attempt: Attempt) -> list[Any]:
    row = to_row(attempt)
    row["at_us"] = iso_of(row["at_us"])
    return [row[column] for column in COLUMNS]


def _plain(row: Mapping[str, Any]) -> dict[str, Any]:
    plain = dict(row) | {name: json.loads(row[name]) for name in MAPPINGS}
    plain["at_us"] = iso_of(plain["at_us"])
    return {field: plain[column] for field, column in zip(FIELDS, COLUMNS, strict=True)}


def _plain_record(record: Record) -> dict[str, Any]:
    at = iso_of(microseconds(record.at))
    return {"kind": record.kind, "key": record.key, "at": at, "body": json.loads(record.body)}


def _line(plain: dict[str, Any]) -> str:
    return json.dumps(plain, ensure_ascii=False, allow_nan=False) + "\n"


def _read(line: str, asked: dict[str, str], *, where: str) -> Attempt | Record | None:
    """Return what a line holds; of what was on offer nothing, it is kept in ``asked`` by its digest."""
    what = "attempt"
    try:
        plain = json.loads(line)
        if isinstance(plain, dict) and set(plain) == {RECORD}:
            what = "record"
            return _record_from(plain[RECORD])
        if isinstance(plain, dict) and set(plain) == {ASKED_LINE}:
            what = "list of what was on offer"
            asked[str(plain[ASKED_LINE]["digest"])] = asked_from(plain[ASKED_LINE]["fields"])
            return None
        return _attempt_from(plain, asked)
    except KeyError as error:
        raise Refused(f"{where} is no {what}: it has no {error}") from error
    except (ValueError, TypeError, AttributeError, RecursionError) as error:
        raise Refused(f"{where} is no {what}: {error}") from error


def _attempt_from(plain: Mapping[str, Any], asked: Mapping[str, str]) -> Attempt:
    row = dict(plain) | {"at_us": microseconds(datetime.fromisoformat(plain["at"]))}
    if "options" in plain:
        old = {name: json.dumps(plain[name]) for name in OLD_MAPPINGS}
        row |= old | texts_of(row | old)
    else:
        row |= {name: json.dumps(plain[name]) for name in MAPPINGS} | {ASKED: asked[plain[QUESTION]]}
    attempt = from_row(row)
    to_row(attempt)
    return attempt


def _record_from(plain: Mapping[str, Any]) -> Record:
    body, at = plain["body"], datetime.fromisoformat(plain["at"])
    if not isinstance(body, dict):
        raise TypeError(f"its body is an object of JSON, not {type(body).__name__}")
    return record_of(plain["kind"], plain["key"], body, at=time_of(microseconds(at)))


WRITERS: dict[str, Callable[[Iterable[Attempt], Path], int]] = {".csv": write_csv, ".jsonl": write_jsonl}
