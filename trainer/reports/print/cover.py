"""The cover: whose season, when, and what is inside, with links."""

from collections.abc import Sequence

from trainer.reports.print.learner_page import counted, day_words
from trainer.reports.print.surface import (
    DIM,
    HEADING,
    HEIGHT_PT,
    INK,
    MARGIN_PT,
    TITLE,
    WIDTH_PT,
    Surface,
    fitted,
    paragraph,
)
from trainer.season.pages import Book

COLUMNS, ROWS, STEP_PT, SIZE = 4, 38, 10.6, 8.0
FEW, FEW_ROWS, FEW_STEP_PT, FEW_SIZE = 44, 22, 18.0, 11.0
"""So few titles are set larger, in columns of so many."""
FIRST = 154.0
CARE = (
    "What is measured is a trained skill of naming what is heard, on each learner's own headphones or loudspeakers. "
    "It rests on a model of how people answer that was tried on simulated learners only. It is no hearing test: "
    "for that, and for anything about listening levels, ask a hearing professional."
)


def draw_cover(surface: Surface, book: Book, contents: Sequence[tuple[str, str]], *, key: str) -> None:
    """Draw the cover; ``contents`` are titles and the keys of their pages."""
    surface.page(book.title, key=key)
    wide = WIDTH_PT - 2 * MARGIN_PT
    surface.words(
        (MARGIN_PT, 70), fitted(book.title, wide, size=1.4 * TITLE, bold=True), size=1.4 * TITLE, bold=True
    )
    surface.words((MARGIN_PT, 92), fitted(book.season, wide, size=HEADING), size=HEADING)
    made = f"Season book of {counted(len(book.learners), 'learner')}, made on {day_words(book.made_on)}"
    surface.words((MARGIN_PT, 110), made, colour=DIM)
    surface.line((MARGIN_PT, 124), (WIDTH_PT - MARGIN_PT, 124), colour=INK)
    surface.words((MARGIN_PT, 142), "Inside", size=HEADING, bold=True)
    rows, step, size = (FEW_ROWS, FEW_STEP_PT, FEW_SIZE) if len(contents) <= FEW else (ROWS, STEP_PT, SIZE)
    column = wide / (2 if len(contents) <= FEW else COLUMNS)
    for place, (title, page) in enumerate(contents[: COLUMNS * ROWS]):
        x, y = MARGIN_PT + (place // rows) * column, FIRST + (place % rows) * step
        surface.words((x, y + 10), fitted(title, column - 12, size=size), size=size, link=page)
    if len(contents) > COLUMNS * ROWS:
        more = f"and {len(contents) - COLUMNS * ROWS} more"
        surface.words((WIDTH_PT - MARGIN_PT, 142), more, colour=DIM, anchor="end")
    paragraph(surface, (MARGIN_PT, HEIGHT_PT - 30), CARE, width=wide, size=6.6, colour=DIM, most_lines=2)
