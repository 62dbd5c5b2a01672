"""How an answer sheet's options are laid out: as words to ring, as numbers with a legend, or as a line to write on."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from trainer.reports.print.text import balanced, width_of
from trainer.season.pages import SheetItem

Form = Literal["words", "numbers", "write"]
NEXT_FORM: dict[Form, Form] = {"words": "numbers", "numbers": "write"}
"""What a field becomes where there is no room for it."""

SIZE = 7.5
QUESTION_SIZE = 7.0
RING_PAD, RING_GAP, FIELD_GAP = 4.0, 2.5, 13.0
LEAST_RING = 17.0
WRITE_LINE = 46.0
MOST_NUMBERS_IN_ROW = 20


@dataclass(frozen=True, slots=True)
class Ring:
    """One option to ring, or a line to write on (``words`` empty), ``left`` from where options begin."""

    words: str
    left: float
    width: float
    line: int


@dataclass(frozen=True, slots=True)
class Named:
    """A field's name before its numbers or its line to write on."""

    words: str
    left: float
    line: int


@dataclass(frozen=True, slots=True)
class ItemLayout:
    """An item: its question in lines, and its options placed in lines."""

    number: int
    question: tuple[str, ...]
    rings: tuple[Ring, ...]
    names: tuple[Named, ...]

    @property
    def lines(self) -> int:
        """How many lines its options take."""
        return max((ring.line for ring in self.rings), default=0) + 1


Forms = Mapping[str, Form]
Numbers = Mapping[str, Mapping[str, int]]


def first_forms(items: Sequence[SheetItem]) -> dict[str, Form]:
    """Return every field in words, or in numbers where it has many options."""
    return {
        title: "words" if max(map(len, lists)) <= MOST_NUMBERS_IN_ROW // 2 else "numbers"
        for title, lists in _by_title(items).items()
    }


def smaller(forms: Forms) -> list[dict[str, Form]]:
    """Return the forms with one field made smaller, each field in turn."""
    return [{**forms, title: NEXT_FORM[form]} for title, form in forms.items() if form in NEXT_FORM]


def numbers_of(items: Sequence[SheetItem]) -> dict[str, dict[str, int]]:
    """Return a number for every option of every field, over all items, in the order they come."""
    found: dict[str, dict[str, int]] = {}
    for title, lists in _by_title(items).items():
        words = dict.fromkeys(option for options in lists for option in options)
        found[title] = {option: number for number, option in enumerate(words, 1)}
    return found


def item_layout(
    item: SheetItem, forms: Forms, numbers: Numbers, *, width: float, question_width: float
) -> ItemLayout:
    """Return an item's options in lines no wider than ``width``."""
    rings: list[Ring] = []
    names: list[Named] = []
    left, line = 0.0, 0
    for title, options in item.fields:
        form = forms[title]
        whole = _field_width(title, options, form, numbers)
        if left and left + whole > width:
            left, line = 0.0, line + 1
        if form != "words":
            names.append(Named(title, left, line))
            left += width_of(title, size=SIZE) + RING_PAD
        for words, wide in _rings(title, options, form, numbers):
            if left and left + wide > width:
                left, line = 0.0, line + 1
            rings.append(Ring(words, left, wide, line))
            left += wide + RING_GAP
        left += FIELD_GAP
    question = balanced(item.question, question_width, size=QUESTION_SIZE) if question_width else ()
    return ItemLayout(item.number, question, tuple(rings), tuple(names))


def legend_of(items: Sequence[SheetItem], forms: Forms) -> list[tuple[str, list[str]]]:
    """Return, of the fields that are not in words, what their numbers mean."""
    numbers = numbers_of(items)
    return [
        (title, [f"{number} {option}" for option, number in numbers[title].items()])
        for title, form in forms.items()
        if form != "words"
    ]


def _by_title(items: Sequence[SheetItem]) -> dict[str, list[tuple[str, ...]]]:
    found: dict[str, list[tuple[str, ...]]] = {}
    for item in items:
        for title, options in item.fields:
            found.setdefault(title, []).append(options)
    return found


def _rings(title: str, options: Sequence[str], form: Form, numbers: Numbers) -> Iterator[tuple[str, float]]:
    if form == "write":
        yield "", WRITE_LINE
        return
    for option in options:
        words = option if form == "words" else str(numbers[title][option])
        yield words, max(LEAST_RING, width_of(words, size=SIZE) + 2 * RING_PAD)


def _field_width(title: str, options: Sequence[str], form: Form, numbers: Numbers) -> float:
    name = 0.0 if form == "words" else width_of(title, size=SIZE) + RING_PAD
    return name + sum(wide + RING_GAP for _, wide in _rings(title, options, form, numbers)) - RING_GAP
