"""The printed answer sheet of a quiz: one upright A4 page a class can write on."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from trainer.reports.print.pdf import PdfSurface
from trainer.reports.print.surface import DIM, INK, LANE, LINE, PAPER, UPRIGHT_PT, Point, Surface
from trainer.reports.print.text import fitted, fitting_size, paragraph, width_of
from trainer.reports.sheet_layout import (
    QUESTION_SIZE,
    SIZE,
    Forms,
    ItemLayout,
    first_forms,
    item_layout,
    legend_of,
    smaller,
)
from trainer.season.pages import AnswerSheet, SheetBlank, SheetItem, SheetRows
from trainer.season.sheet import SheetNumbers, sheet_numbers

MARGIN = 30.0
WIDTH, HEIGHT = UPRIGHT_PT
RIGHT = WIDTH - MARGIN
NUMBER_WIDTH = 20.0
QUESTION_WIDTHS = (260.0, 230.0, 200.0, 170.0, 140.0, 110.0)
"""So wide the questions are tried, where they differ; the widest that makes the page lowest is taken."""
HEAD_TO, FOOT_FROM = 116.0, HEIGHT - 34.0
RING_HEIGHT, TIGHT, WIDE = 10.5, 12.0, 17.0
"""How high what is circled is, and how far one line is from the next: at the tightest and at the widest."""
QUESTION_LEADING, ITEM_PAD = 8.2, 2.5
LEGEND_LEADING, LEGEND_GAP = 10.0, 9.0
ITEMS_A_PAGE = (40, 30, 20, 10, 5)
"""So many items are tried on a page; fewer only where their fields need the room."""

WRITTEN_TIGHT = 15.0
"""How far one line is from the next at the tightest where rows are written by hand."""

HOW = (
    "You hear every item four times: plain, changed, plain, changed. Circle one answer in each group. Don't leave "
    "blanks; guess."
)
HOW_TO_WRITE = "On a line, write one of the answers at the foot of the page, or its number (#)."
HOW_TO_SET = "Before a unit, write a number."
HOW_TO_LIST = "In a list, fill in a row for each thing you hear, in any order."


@dataclass(frozen=True, slots=True)
class Leaf:
    """One page of the sheet: its items laid out, and what numbers mean."""

    items: tuple[ItemLayout, ...]
    question: str
    options_from: float
    legend: tuple[tuple[str, ...], ...]
    how: str

    @property
    def room(self) -> float:
        """From below the head to above the legend."""
        legend = len(self.legend) * LEGEND_LEADING + (10.0 if self.legend else 0.0)
        return FOOT_FROM - HEAD_TO - legend - (12.0 if self.question else 0.0)

    def height(self, pitch: float) -> float:
        """How high all items are with so much from line to line."""
        return sum(_item_height(item, pitch) for item in self.items)


def answer_sheet_pdf(sheet: AnswerSheet, path: Path) -> None:
    """Write a quiz's answer sheet as a PDF: one page for up to 40 items.

    Raises
    ------
    Refused
        If it cannot be written.
    """
    paper = PdfSurface(f"{sheet.title}: answer sheet", is_upright=True)
    draw_answer_sheet(paper, sheet)
    paper.save(path)


def draw_answer_sheet(paper: Surface, sheet: AnswerSheet) -> None:
    """Draw a quiz's answer sheet, a page after another."""
    leaves = leaves_of(sheet.items)
    for number, leaf in enumerate(leaves, 1):
        paper.page(sheet.title, key=f"sheet-{number}")
        _head(paper, sheet, leaf, number, len(leaves))
        _items(paper, leaf)
        _legend(paper, leaf)


def leaves_of(items: Sequence[SheetItem]) -> list[Leaf]:
    """Return the pages: as many items on each as there is room for."""
    numbers = sheet_numbers(items)
    for count in ITEMS_A_PAGE:
        leaves = [
            _leaf(items[first : first + count], numbers) for first in range(0, max(1, len(items)), count)
        ]
        if all(leaf.height(TIGHT) <= leaf.room for leaf in leaves):
            break
    return leaves


def _leaf(items: Sequence[SheetItem], numbers: SheetNumbers) -> Leaf:
    forms = first_forms(items)
    leaf = _laid_out(items, forms, numbers)
    while leaf.height(TIGHT) > leaf.room:
        tighter = [(_laid_out(items, one, numbers), one) for one in smaller(forms, items)]
        if not tighter:
            break
        leaf, forms = min(tighter, key=lambda pair: pair[0].height(TIGHT) - pair[0].room)
    return leaf


def _laid_out(items: Sequence[SheetItem], forms: Forms, numbers: SheetNumbers) -> Leaf:
    is_mixed = len({item.question for item in items}) > 1
    widths = QUESTION_WIDTHS if is_mixed else (0.0,)
    leaves = [_laid_out_at(items, forms, numbers, question_width=wide) for wide in widths]
    return min(leaves, key=lambda leaf: leaf.height(TIGHT))


def _laid_out_at(
    items: Sequence[SheetItem], forms: Forms, numbers: SheetNumbers, *, question_width: float
) -> Leaf:
    options_from = MARGIN + NUMBER_WIDTH + (question_width + 10.0 if question_width else 0.0)
    room = {"width": RIGHT - options_from, "question_width": question_width}
    alike = {(item.question, item.fields): item for item in items}
    laid = {key: item_layout(item, forms, numbers, **room) for key, item in alike.items()}
    return Leaf(
        tuple(replace(laid[item.question, item.fields], number=item.number) for item in items),
        question="" if question_width or not items else items[0].question,
        options_from=options_from,
        legend=tuple(
            line for title, meanings in legend_of(items, forms, numbers) for line in _flowed(title, meanings)
        ),
        how=_how(items, forms),
    )


def _how(items: Sequence[SheetItem], forms: Forms) -> str:
    """Return how the page is filled in, as far as it has the fields for it."""
    kinds = {type(one) for item in items for one in item.fields}
    said = (
        (True, HOW),
        ("write" in forms.values(), HOW_TO_WRITE),
        (SheetBlank in kinds, HOW_TO_SET),
        (SheetRows in kinds, HOW_TO_LIST),
    )
    return " ".join(words for is_said, words in said if is_said)


def _flowed(title: str, meanings: Sequence[str]) -> list[tuple[str, ...]]:
    """Return the lines of a field's legend; no option is broken."""
    lines: list[list[str]] = [[f"{title}:"]]
    left = 0.0
    for words in (f"{title}:", *meanings):
        wide = width_of(words, size=SIZE) + LEGEND_GAP
        if left + wide - LEGEND_GAP > RIGHT - MARGIN:
            lines.append([])
            left = 0.0
        if words in meanings:
            lines[-1].append(words)
        left += wide
    return [tuple(line) for line in lines]


def _item_height(item: ItemLayout, pitch: float) -> float:
    return max(item.lines * _pitch_of(item, pitch), len(item.question) * QUESTION_LEADING) + ITEM_PAD


def _pitch_of(item: ItemLayout, pitch: float) -> float:
    """Return how far an item's lines are from each other: further where rows are written by hand."""
    return max(pitch, WRITTEN_TIGHT) if item.has_rows else pitch


def _head(paper: Surface, sheet: AnswerSheet, leaf: Leaf, number: int, count: int) -> None:
    of = f" · page {number} of {count}" if count > 1 else ""
    code = f"quiz {sheet.code}{of}"
    code_from = RIGHT - width_of(code, size=9.0)
    size = fitting_size(sheet.title, code_from - MARGIN - 16.0, size=17.0, least=10.0, bold=True)
    title = fitted(sheet.title, code_from - MARGIN - 16.0, size=size, bold=True)
    paper.words((MARGIN, 46.0), title, size=size, bold=True)
    paper.words((RIGHT, 46.0), code, size=9.0, colour=DIM, anchor="end")
    for words, left, right in (("Name", MARGIN, 380.0), ("Date", 396.0, RIGHT)):
        paper.words((left, 74.0), words, size=9.0, bold=True)
        paper.line((left + 32.0, 75.5), (right, 75.5), colour=INK, width=0.7)
    bottom = paragraph(leaf.how, width=RIGHT - MARGIN, size=8.0, height=24.0).draw(paper, (MARGIN, 82.0))
    if leaf.question:
        asked = fitted(f"Every item: {leaf.question}", RIGHT - MARGIN, size=9.0, bold=True)
        paper.words((MARGIN, bottom + 14.0), asked, size=9.0, bold=True)


def _items(paper: Surface, leaf: Leaf) -> None:
    pitch = _pitch(leaf)
    top = HEAD_TO + (12.0 if leaf.question else 0.0)
    for place, item in enumerate(leaf.items):
        height = _item_height(item, pitch)
        if place % 2 == 0:
            paper.rect((MARGIN - 4.0, top), (RIGHT - MARGIN + 8.0, height), fill=LANE)
        _question(paper, item, top + height / 2)
        own = _pitch_of(item, pitch)
        _options(paper, item, (leaf.options_from, top + height / 2 - (item.lines - 1) * own / 2), own)
        top += height
    paper.line((MARGIN - 4.0, top), (RIGHT + 4.0, top), colour=LINE)


def _pitch(leaf: Leaf) -> float:
    """Return the widest distance of lines that leaves room for all."""
    pitch = WIDE
    while pitch > TIGHT and leaf.height(pitch) > leaf.room:
        pitch -= 0.25
    return pitch


def _question(paper: Surface, item: ItemLayout, middle: float) -> None:
    paper.words((MARGIN + 13.0, middle + 3.2), str(item.number), size=9.0, bold=True, anchor="end")
    first = middle - (len(item.question) - 1) * QUESTION_LEADING / 2 + 2.6
    for line, words in enumerate(item.question):
        paper.words((MARGIN + NUMBER_WIDTH, first + line * QUESTION_LEADING), words, size=QUESTION_SIZE)


def _options(paper: Surface, item: ItemLayout, first: Point, pitch: float) -> None:
    left, top = first
    for name in item.names:
        paper.words((left + name.left, top + name.line * pitch + 2.7), name.words, size=SIZE, colour=DIM)
    for ring in item.rings:
        x, y = left + ring.left, top + ring.line * pitch
        if not ring.words:
            paper.line((x, y + 4.0), (x + ring.width, y + 4.0), colour=INK)
            continue
        corner = (x, y - RING_HEIGHT / 2)
        paper.rect(corner, (ring.width, RING_HEIGHT), fill=PAPER, stroke=DIM, width=0.5, radius=3.0)
        paper.words((x + ring.width / 2, y + 2.7), ring.words, size=SIZE, anchor="middle")


def _legend(paper: Surface, leaf: Leaf) -> None:
    first = FOOT_FROM - (len(leaf.legend) - 1) * LEGEND_LEADING
    for line, meanings in enumerate(leaf.legend):
        left = MARGIN
        for words in meanings:
            colour = DIM if words.endswith(":") else INK
            paper.words((left, first + line * LEGEND_LEADING), words, size=SIZE, colour=colour)
            left += width_of(words, size=SIZE) + LEGEND_GAP
