"""How an answer sheet's fields are laid out: as words to circle, as numbers with a legend, or as lines to write on."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

from trainer.reports.print.text import balanced, width_of
from trainer.season.pages import SHEET_NUMBER, SheetBlank, SheetChoice, SheetField, SheetItem, SheetRows
from trainer.season.sheet import SheetNumbers

Form = Literal["words", "numbers", "write"]

SIZE = 7.5
QUESTION_SIZE = 7.0
RING_PAD, RING_GAP, FIELD_GAP = 4.0, 2.5, 13.0
LEAST_RING = 17.0
SHORT = 24.0
"""Options no wider than this are circled and written as they are: a number would take as much room, and mislead."""
WRITE_LINE, LONGEST_WRITE_LINE = 46.0, 96.0
MANY = 10
"""More long options than this are circled as numbers; more short ones are never written on a line instead."""


@dataclass(frozen=True, slots=True)
class Ring:
    """One option to circle, or a line to write on (``words`` empty), ``left`` from where options begin."""

    words: str
    left: float
    width: float
    line: int


@dataclass(frozen=True, slots=True)
class Named:
    """Words beside what is circled or written: a field's name, a row's number, a unit."""

    words: str
    left: float
    line: int


@dataclass(frozen=True, slots=True)
class ItemLayout:
    """An item: its question in lines, and its options placed in lines; ``has_rows`` where rows are written by hand."""

    number: int
    question: tuple[str, ...]
    rings: tuple[Ring, ...]
    names: tuple[Named, ...]
    has_rows: bool = False

    @property
    def lines(self) -> int:
        """How many lines its options take."""
        return max((ring.line for ring in self.rings), default=0) + 1


Forms = Mapping[str, Form]


@dataclass(frozen=True, slots=True)
class _Piece:
    """A name (``is_name``), an option to circle, or a line to write on, with the gap after it."""

    words: str
    width: float
    gap: float
    is_name: bool = False


@dataclass(slots=True)
class _Cursor:
    """Where the next piece goes, and what has been placed."""

    width: float
    left: float = 0.0
    line: int = 0
    rings: list[Ring] = field(default_factory=list)
    names: list[Named] = field(default_factory=list)

    def new_line(self) -> None:
        """Go on at the next line."""
        self.left, self.line = 0.0, self.line + 1

    def place(self, pieces: Sequence[_Piece], *, on_new_line: bool) -> None:
        """Place pieces that belong together: on one line where they fit on one."""
        whole = sum(piece.width + piece.gap for piece in pieces) - pieces[-1].gap
        if self.left and (on_new_line or self.left + whole > self.width):
            self.new_line()
        for piece in pieces:
            if self.left and self.left + piece.width > self.width:
                self.new_line()
            if piece.is_name:
                self.names.append(Named(piece.words, self.left, self.line))
            else:
                self.rings.append(Ring(piece.words, self.left, piece.width, self.line))
            self.left += piece.width + piece.gap
        self.left += FIELD_GAP


def forms_of(items: Sequence[SheetItem]) -> dict[str, tuple[Form, ...]]:
    """Return the forms that each field may take, the roomiest first."""
    found: dict[str, tuple[Form, ...]] = {}
    for key, lists in _options_by_key(items).items():
        most = max(map(len, lists))
        if all(_is_short(options) for options in lists):
            found[key] = ("words", "write") if most <= MANY else ("words",)
        else:
            found[key] = ("words", "numbers", "write") if most <= MANY else ("numbers", "write")
    return found | {_key(rows): ("words", "write") for rows in _all_rows(items)}


def first_forms(items: Sequence[SheetItem]) -> dict[str, Form]:
    """Return every field in the roomiest form it may take."""
    return {key: forms[0] for key, forms in forms_of(items).items()}


def smaller(forms: Forms, items: Sequence[SheetItem]) -> list[dict[str, Form]]:
    """Return the forms with one field made smaller, each field in turn."""
    found: list[dict[str, Form]] = []
    for key, may_take in forms_of(items).items():
        further = may_take[may_take.index(forms[key]) + 1 :]
        found += [{**forms, key: form} for form in further[:1]]
    return found


def item_layout(
    item: SheetItem, forms: Forms, numbers: SheetNumbers, *, width: float, question_width: float
) -> ItemLayout:
    """Return an item's options in lines no wider than ``width``."""
    cursor, has_rows = _Cursor(width), False
    for one in item.fields:
        is_circled_rows = isinstance(one, SheetRows) and forms[_key(one)] == "words"
        has_rows = has_rows or (isinstance(one, SheetRows) and not is_circled_rows)
        for pieces in _groups(one, forms, numbers):
            cursor.place(pieces, on_new_line=is_circled_rows and pieces[0].is_name)
    question = balanced(item.question, question_width, size=QUESTION_SIZE) if question_width else ()
    return ItemLayout(item.number, question, tuple(cursor.rings), tuple(cursor.names), has_rows)


def legend_of(items: Sequence[SheetItem], forms: Forms, numbers: SheetNumbers) -> list[tuple[str, list[str]]]:
    """Return what is explained at the foot: what numbers mean, and what can be written on lines."""
    found: dict[str, dict[str, None]] = {}
    for key, lists in _options_by_key(items).items():
        if forms[key] != "words":
            options = sorted(
                {option for one in lists for option in one}, key=lambda option: numbers[key][option]
            )
            is_plain = _is_short(options)
            said = [option if is_plain else f"{_number(key, option, numbers)} {option}" for option in options]
            found.setdefault(key, {}).update(dict.fromkeys(said))
    for rows in _all_rows(items):
        for column in rows.columns if forms[_key(rows)] == "write" else ():
            found.setdefault(column.title, {}).update(dict.fromkeys(column.options))
    return [(title, list(meanings)) for title, meanings in found.items()]


def _key(one: SheetChoice | SheetRows) -> str:
    """Return what a field's form is found by: its title; of rows, what is filled in in each."""
    return one.title if isinstance(one, SheetChoice) else " / ".join(column.title for column in one.columns)


def _options_by_key(items: Sequence[SheetItem]) -> dict[str, list[tuple[str, ...]]]:
    found: dict[str, list[tuple[str, ...]]] = {}
    for item in items:
        for one in item.fields:
            if isinstance(one, SheetChoice):
                found.setdefault(_key(one), []).append(one.options)
    return found


def _all_rows(items: Sequence[SheetItem]) -> list[SheetRows]:
    return [one for item in items for one in item.fields if isinstance(one, SheetRows)]


def _is_short(options: Sequence[str]) -> bool:
    return all(width_of(option, size=SIZE) <= SHORT for option in options)


def _groups(one: SheetField, forms: Forms, numbers: SheetNumbers) -> Iterator[list[_Piece]]:
    """Yield what belongs together in a field, group by group."""
    if isinstance(one, SheetBlank):
        yield [_name(one.title), _line(WRITE_LINE), _name(f"{one.unit} ({one.travel})")]
    elif isinstance(one, SheetChoice):
        yield _choice(one, forms[_key(one)], numbers)
    else:
        yield from _rows(one, forms[_key(one)])


def _choice(one: SheetChoice, form: Form, numbers: SheetNumbers) -> list[_Piece]:
    if form == "write":
        return [_name(one.title), _line(WRITE_LINE)]
    if form == "numbers":
        return [_name(one.title), *(_ring(_number(_key(one), option, numbers)) for option in one.options)]
    return [_ring(option) for option in one.options]


def _number(key: str, option: str, numbers: SheetNumbers) -> str:
    return f"{SHEET_NUMBER}{numbers[key][option]}"


def _rows(one: SheetRows, form: Form) -> Iterator[list[_Piece]]:
    """Yield the rows to fill in, then what is circled where there is none."""
    if form == "write":
        yield [_name(_key(one))]
    for number in range(1, one.rows + 1):
        row = [_name(str(number))]
        for column in one.columns:
            row += [_line(_written_width(column))] if form == "write" else _choice(column, "words", {})
            row[-1] = _Piece(row[-1].words, row[-1].width, RING_PAD + RING_GAP)
        yield row
    yield [_ring(one.nothing)]


def _written_width(column: SheetChoice) -> float:
    widest = max(width_of(option, size=SIZE) for option in column.options)
    return min(max(WRITE_LINE, 1.4 * widest), LONGEST_WRITE_LINE)


def _name(words: str) -> _Piece:
    return _Piece(words, width_of(words, size=SIZE), RING_PAD, is_name=True)


def _ring(words: str) -> _Piece:
    return _Piece(words, max(LEAST_RING, width_of(words, size=SIZE) + 2 * RING_PAD), RING_GAP)


def _line(width: float) -> _Piece:
    return _Piece("", width, RING_GAP)
