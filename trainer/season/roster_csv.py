"""The roster as CSV (RFC 4180) for a spreadsheet, and back: what is written and read again is the same roster.

Written with a byte order mark, because spreadsheets take a file without one for the machine's old encoding. Read
with or without one, with commas or semicolons: spreadsheets write what the machine's language asks for.
"""

import csv
import io
import re
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import date, datetime
from difflib import get_close_matches
from pathlib import Path
from typing import TypeVar
from unicodedata import normalize

from trainer.progress.export import MARK, plain_text, safe_cell
from trainer.progress.files import replacing
from trainer.progress.names import folded, learner_name, one_line
from trainer.progress.store import Store
from trainer.refusal import Refused
from trainer.season.roster import Member, Roster, check_name, is_kept, put_members, role_of, roster_of

COLUMNS = ("name", "role", "section", "since", "archived", "learner")
DELIMITERS = (",", ";", "\t")
SAID = {True: ("yes", "true", "1", "x"), False: ("", "no", "false", "0")}
DAY = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})")

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Imported:
    """What an import did: how many were added, how many changed, how many were so already."""

    added: int
    changed: int
    unchanged: int


@dataclass(frozen=True, slots=True)
class Row:
    """A row of a file: where it stands, and its cells by column."""

    where: str
    cells: Mapping[str, str]

    def read(self, column: str, read: Callable[[str], T]) -> T:
        """Return what a cell says; a refusal names the line and the column."""
        with self.blaming(column):
            return read(self.cells[column])

    @contextmanager
    def blaming(self, column: str) -> Iterator[None]:
        """Let a refusal name the line and a column."""
        try:
            yield
        except Refused as why:
            raise Refused(f"{self.where}, column {column}: {why}; nothing was imported") from why


def write_roster(roster: Roster, path: Path) -> int:
    """Write everybody on the roster as CSV, whole or not at all; return how many there were."""
    with replacing(path) as beside, beside.open("w", encoding="utf-8-sig", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(COLUMNS)
        for member in roster.members:
            writer.writerow(_cells(member))
    return len(roster.members)


def import_roster(store: Store, path: Path, *, now: datetime) -> Imported:
    """Put everybody in a CSV file on the roster, all or none; who is there already is changed as it says.

    A row is about the member its ``learner`` names, or else its ``name``. What a file has no column for stays as
    it is; nobody is taken off.

    Raises
    ------
    Refused
        If the file or a row of it cannot be used; it says which line and column, and nothing is kept then.
    """
    roster = roster_of(store)
    rows: dict[str, Row] = {}
    members: dict[str, Member] = {}
    for row in read_rows(path):
        member = _member(row, roster, today=now.date())
        if member.learner in rows:
            with row.blaming("name"):
                raise Refused(f"{member.name} is in {rows[member.learner].where} already")
        rows[member.learner], members[member.learner] = row, member
    after = {member.learner: member for member in roster.members} | members
    for learner, member in members.items():
        with rows[learner].blaming("name"):
            check_name(member, after.values())
    new = [member for member in members.values() if member not in roster.members]
    added = sum(not is_kept(store, member.learner) for member in new)
    put_members(store, roster, new, now=now)
    return Imported(added, len(new) - added, len(members) - len(new))


def read_rows(path: Path) -> Iterator[Row]:
    """Yield the rows of a CSV file that are not empty; the first line names the columns."""
    text = _text(path)
    delimiter = max(DELIMITERS, key=lambda one: len(set(COLUMNS).intersection(_header(text, one))))
    columns = _header(text, delimiter)
    _check_columns(columns, f"{path.name}, line 1")
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    try:
        next(reader)
        for cells in reader:
            where = f"{path.name}, line {reader.line_num}"
            if len(cells) > len(columns) and any(cell.strip() for cell in cells[len(columns) :]):
                raise Refused(
                    f"{where}, column {len(columns) + 1}: there are {len(columns)} columns; a name with a "
                    f"{delimiter!r} in it stands in double quotes"
                )
            if any(cell.strip() for cell in cells):
                yield Row(where, dict(zip(columns, (text_of(cell.strip()) for cell in cells), strict=False)))
    except csv.Error as error:
        raise Refused(f"{path.name}, line {reader.line_num} is no line of a CSV file: {error}") from error


def _text(path: Path) -> str:
    try:
        return path.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise Refused(
            f"{path.name} is not UTF-8 text: in the spreadsheet choose 'CSV UTF-8' when saving"
        ) from error
    except OSError as error:
        raise Refused(f"{str(path)!r} cannot be read: {error.strerror or error}") from error


def _header(text: str, delimiter: str) -> list[str]:
    """Return the columns that the first line names, if these stand between them."""
    first = next(iter(io.StringIO(text, newline="")), "")
    return [cell.strip().casefold() for cell in next(csv.reader([first], delimiter=delimiter), [])]


def _check_columns(columns: list[str], where: str) -> None:
    if "name" not in columns:
        raise Refused(
            f"{where} names no column 'name': the first line says which of {', '.join(COLUMNS)} there are"
        )
    for number, column in enumerate(columns, 1):
        if columns.index(column) != number - 1:
            raise Refused(f"{where}, column {number}: there is a column {column!r} already")
        if column not in COLUMNS:
            near = get_close_matches(column, COLUMNS, n=1)
            hint = f"; did you mean {near[0]!r}?" if near else ""
            raise Refused(f"{where}, column {number}: {column!r} is none of {', '.join(COLUMNS)}{hint}")


def _member(row: Row, roster: Roster, *, today: date) -> Member:
    """Return the member a row is about, as it says they are."""
    name = row.read("name", learner_name)
    if row.cells.get("learner"):
        learner = row.read("learner", lambda cell: _learner(cell, roster))
    else:
        learner = row.read("name", roster.learner_of)
    here = next((member for member in roster.members if member.learner == learner), None)
    member = replace(here or Member(learner, name, "student", "", today), name=name)
    if row.cells.get("role"):
        member = replace(member, role=row.read("role", role_of))
    if "section" in row.cells:
        member = replace(member, section=row.read("section", lambda cell: one_line(cell, what="section")))
    if row.cells.get("since"):
        member = replace(member, since=row.read("since", _day))
    if "archived" in row.cells:
        member = replace(member, is_archived=row.read("archived", _is_said))
    return member


def _learner(cell: str, roster: Roster) -> str:
    """Return the name that answers are kept under; refused if it is only shown, for somebody else's."""
    if any(member.learner == cell for member in roster.members):
        return cell
    kept = learner_name(cell)
    found = roster.learner_of(kept)
    if found == kept:
        return cell
    if normalize("NFC", found) != kept:
        raise Refused(f"no answers are kept under {kept!r}: it is the name shown for {found!r}")
    return found


def _day(cell: str) -> date:
    found = DAY.fullmatch(cell)
    try:
        if found is None:
            raise ValueError
        return date(*map(int, found.groups()))
    except ValueError:
        raise Refused(
            f"a day is written year first, as in 2026-11-25 (ISO 8601), and there is such a day; not {cell!r}"
        ) from None


def _is_said(cell: str) -> bool:
    for said, words in SAID.items():
        if folded(cell) in words:
            return said
    raise Refused(f"archived is yes or no, not {cell!r}")


def cell_of(text: str) -> str:
    """Return a cell that a spreadsheet neither runs as a formula nor takes for a number or a day."""
    return f"{MARK}{text}" if _is_like_a_number(text) else safe_cell(text)


def text_of(cell: str) -> str:
    """Return the text that `cell_of` made a cell of."""
    return cell.removeprefix(MARK) if _is_like_a_number(cell) else plain_text(cell)


def _is_like_a_number(text: str) -> bool:
    return text.lstrip(MARK)[:1].isdigit()


def _cells(member: Member) -> tuple[str, ...]:
    since = "" if member.since is None else member.since.isoformat()
    archived = "yes" if member.is_archived else "no"
    about = (cell_of(member.name), member.role, cell_of(member.section))
    return (*about, since, archived, cell_of(member.learner))
