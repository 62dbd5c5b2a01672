"""What every page of the book has: a head, a foot, headings, and marks with their words beside them."""

from collections.abc import Callable
from dataclasses import dataclass

from trainer.reports.print.surface import (
    BODY,
    DIM,
    HEADING,
    INK,
    LINE,
    LYING_PT,
    MARGIN_PT,
    SMALL,
    TITLE,
    Surface,
)
from trainer.reports.print.text import fitted, fitting_size, width_of

WIDTH, HEIGHT = LYING_PT
LEFT, RIGHT = MARGIN_PT, WIDTH - MARGIN_PT
TOP, BOTTOM = 76.0, HEIGHT - 40.0
"""Where the body of a page lies, below its head and above its foot."""
CONTENTS = "contents"


@dataclass(frozen=True, slots=True)
class Leaf:
    """One page to draw.

    Attributes
    ----------
    title, beside
        What its head says: left in large type, and right in small.
    key
        What links lead to.
    entry
        What the contents say of it; empty where it goes on from the page before.
    draw
        Draws its body.
    """

    title: str
    beside: str
    key: str
    entry: str
    draw: Callable[[Surface], None]


def head(paper: Surface, title: str, beside: str) -> None:
    """Write a page's title, and what it is about on the right."""
    right = fitted(beside, 360.0, size=BODY)
    room = RIGHT - LEFT - width_of(right, size=BODY) - 20.0
    size = fitting_size(title, room, size=TITLE, least=12.0, bold=True)
    paper.words((LEFT, 50.0), fitted(title, room, size=size, bold=True), size=size, bold=True)
    paper.words((RIGHT, 50.0), right, colour=DIM, anchor="end")
    paper.line((LEFT, 60.0), (RIGHT, 60.0), colour=INK, width=1.2)


def foot(paper: Surface, words: str, number: int, count: int) -> None:
    """Write the book's title, the way back to the contents, and the page's number."""
    base = HEIGHT - 22.0
    paper.line((LEFT, base - 11.0), (RIGHT, base - 11.0), colour=LINE)
    paper.words((LEFT, base), fitted(words, 560.0, size=SMALL), size=SMALL, colour=DIM)
    paper.words((RIGHT - 60.0, base), "contents", size=SMALL, colour=DIM, anchor="end", link=CONTENTS)
    paper.words((RIGHT, base), f"{number} of {count}", size=SMALL, colour=DIM, anchor="end")


def heading(paper: Surface, x: float, y: float, words: str, *, beside: str = "") -> None:
    """Write a heading, and in small type after it what it counts or how it is read."""
    paper.words((x, y), words, size=HEADING, bold=True)
    if beside:
        after = x + width_of(words, size=HEADING, bold=True) + 8.0
        paper.words((after, y), beside, size=SMALL, colour=DIM)
