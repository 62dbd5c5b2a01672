"""Export: all attempts as CSV for a spreadsheet or as JSON Lines for a program, and JSON Lines read back.

CSV (RFC 4180) is UTF-8 with a byte order mark, because spreadsheets take a file without one for the
machine's old encoding; a cell that a spreadsheet would run as a formula gets an apostrophe in front. JSON
Lines is UTF-8 without a mark, as its readers expect, and loses nothing.
"""

import csv
import json
from collections.abc import Callable, Iterable, Iterator
from datetime import datetime
from pathlib import Path
from typing import Any

from trainer.practice.attempt import Attempt
from trainer.progress.files import replacing
from trainer.progress.rows import COLUMNS, MAPPINGS, from_row, iso_of, microseconds, to_row
from trainer.refusal import Refused

FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "\0", "＝", "＋", "－", "＠")
"""What a cell of text must not begin with: OWASP, CSV injection; NUL by OWASP ASVS 5.0, 1.2.10; the wide ones because
spreadsheets set to Japanese take them for the narrow ones (from memory)."""
MARK = "'"
"""What makes a cell text, whatever it begins with."""

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


def write_jsonl(attempts: Iterable[Attempt], path: Path) -> int:
    """Write the attempts as JSON Lines, whole or not at all; return how many there were."""
    count = 0
    with replacing(path) as beside, beside.open("w", encoding="utf-8", newline="\n") as file:
        for count, attempt in enumerate(attempts, 1):  # noqa: B007 - the last number is the count
            file.write(json.dumps(_record(attempt), ensure_ascii=False, allow_nan=False) + "\n")
    return count


def read_jsonl(path: Path) -> Iterator[Attempt]:
    """Yield the attempts of a JSON Lines file.

    Raises
    ------
    Refused
        If the file cannot be read, or a line of it is no attempt; it says which line.
    """
    try:
        with path.open(encoding="utf-8") as file:
            for number, line in enumerate(file, 1):
                yield _attempt(line, where=f"{path}, line {number}")
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


def _record(attempt: Attempt) -> dict[str, Any]:
    row = to_row(attempt)
    row |= {name: json.loads(row[name]) for name in MAPPINGS}
    row["at_us"] = iso_of(row["at_us"])
    return {field: row[column] for field, column in zip(FIELDS, COLUMNS, strict=True)}


def _attempt(line: str, *, where: str) -> Attempt:
    try:
        record = json.loads(line)
        row = {column: record[field] for field, column in zip(FIELDS, COLUMNS, strict=True)}
        row |= {name: json.dumps(row[name]) for name in MAPPINGS}
        row["at_us"] = microseconds(datetime.fromisoformat(row["at_us"]))
        attempt = from_row(row)
        to_row(attempt)
    except KeyError as error:
        raise Refused(f"{where} is no attempt: it has no {error}") from error
    except (ValueError, TypeError, AttributeError) as error:
        raise Refused(f"{where} is no attempt: {error}") from error
    return attempt


WRITERS: dict[str, Callable[[Iterable[Attempt], Path], int]] = {".csv": write_csv, ".jsonl": write_jsonl}
