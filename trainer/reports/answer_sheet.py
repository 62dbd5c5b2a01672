"""The answer sheet of a quiz: one upright A4 page, whatever its items ask."""

from datetime import date
from pathlib import Path

from trainer.reports.print.pdf import PdfSurface
from trainer.reports.print.surface import DIM, HEADING, INK, LINE, SMALL, Surface, fitted, paragraph, width_of
from trainer.season.pages import AnswerSheet, SheetItem

WIDE_PT, HIGH_PT, MARGIN = 595.28, 841.89, 34.0
FIRST = 150.0
SIZE = 8.0
LEAST_GAP, MOST_GAP = 9.0, 30.0
BOXED_UP_TO = 12
"""A field with more options is written in by its number; the options are listed at the foot."""
HOW = (
    "You hear each item's number (long low pips count tens, short high pips ones), then plain, changed, plain, "
    "changed. Circle what you hear in every row, or write the number of your answer on its line. Nothing is taken off "
    "for a guess."
)
ListKey = tuple[str, ...]


def answer_sheet_pdf(sheet: AnswerSheet, path: Path) -> None:
    """Write the sheet as a PDF of one page."""
    surface = PdfSurface(sheet.title, made_on=date(2000, 1, 1), is_upright=True)
    surface.page(sheet.title, key="sheet")
    surface.words((MARGIN, 52), fitted(sheet.title, 400, size=16, bold=True), size=16, bold=True)
    surface.words((WIDE_PT - MARGIN, 52), f"quiz {sheet.code}", colour=DIM, anchor="end")
    for x, words, wide in ((MARGIN, "Name", 300.0), (MARGIN + 330, "Date", 196.0)):
        surface.words((x, 84), words)
        surface.line((x + 34, 86), (x + wide, 86), colour=INK)
    paragraph(surface, (MARGIN, 108), HOW, width=WIDE_PT - 2 * MARGIN, size=SMALL + 0.5, colour=DIM)
    lists = _lists(sheet)
    foot = _foot_height(lists)
    gap = _gap(sheet, lists)
    step = min(30.0, (HIGH_PT - MARGIN - foot - FIRST) / max(1, len(sheet.items)))
    for number, item in enumerate(sheet.items):
        _item(surface, item, FIRST + number * step, step, lists, gap)
    _foot(surface, lists, HIGH_PT - MARGIN - foot)
    surface.save(path)


def _lists(sheet: AnswerSheet) -> dict[ListKey, str]:
    """Return the long lists of options, each with the letter it is referred to by."""
    found: dict[ListKey, str] = {}
    for item in sheet.items:
        for _, labels in item.fields:
            if len(labels) > BOXED_UP_TO or _row_width(labels) > 330:
                found.setdefault(labels, chr(ord("A") + len(found)))
    return found


def _row_width(labels: ListKey) -> float:
    return sum(width_of(label, size=SIZE) + LEAST_GAP for label in labels)


def _gap(sheet: AnswerSheet, lists: dict[ListKey, str]) -> float:
    """Return the gap between options that lets the fullest row take up the page."""
    gaps = [MOST_GAP]
    for item in sheet.items:
        labels = [label for _, options in item.fields if options not in lists for label in options]
        taken = sum(width_of(label, size=SIZE) for label in labels)
        taken += sum(130.0 for _, options in item.fields if options in lists)
        gaps.append((WIDE_PT - 2 * MARGIN - 28 - taken) / (len(labels) + 2 * len(item.fields)))
    return max(LEAST_GAP, min(gaps))


def _item(
    surface: Surface, item: SheetItem, y: float, step: float, lists: dict[ListKey, str], gap: float
) -> None:
    size = min(SIZE, 0.62 * step)
    middle = y + 0.5 * step
    surface.words(
        (MARGIN + 16, middle + 0.36 * size), str(item.number), size=size + 1, bold=True, anchor="end"
    )
    x = MARGIN + 28
    for title, labels in item.fields:
        if labels in lists:
            words = f"{title} (list {lists[labels]})"
            surface.words((x, middle + 0.36 * size), words, size=size, colour=DIM)
            x += width_of(words, size=size) + 4
            surface.line((x, middle + 4), (x + 30, middle + 4), colour=INK)
            x += 44
            continue
        for label in labels:
            surface.words((x, middle + 0.36 * size), label, size=size)
            x += width_of(label, size=size) + gap
        x += 1.5 * gap
    surface.line((MARGIN, y + step), (WIDE_PT - MARGIN, y + step), colour=LINE, width=0.3)


COLUMNS, LIST_SIZE = 4, 7.2


def _foot_height(lists: dict[ListKey, str]) -> float:
    return sum(16 + 10 * -(-len(labels) // COLUMNS) for labels in lists)


def _foot(surface: Surface, lists: dict[ListKey, str], y: float) -> None:
    column = (WIDE_PT - 2 * MARGIN) / COLUMNS
    for labels, letter in lists.items():
        surface.words((MARGIN, y + 12), f"List {letter}", size=HEADING - 2, bold=True)
        for number, label in enumerate(labels):
            at = (MARGIN + (number % COLUMNS) * column, y + 22 + 10 * (number // COLUMNS))
            surface.words(at, fitted(f"{number + 1} {label}", column - 6, size=LIST_SIZE), size=LIST_SIZE)
        y += 16 + 10 * -(-len(labels) // COLUMNS)
