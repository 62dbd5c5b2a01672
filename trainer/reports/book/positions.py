"""Console positions: the best ears for each, with how sure that is."""

from collections.abc import Iterator, Sequence

from trainer.progress.figures.smallest_changes import LARGEST_DB
from trainer.progress.improvement_words import bands_words
from trainer.reports.book.frame import LEFT, RIGHT, TOP, Leaf
from trainer.reports.book.words import percent
from trainer.reports.print.surface import (
    BODY,
    DIM,
    HEADING,
    INK,
    LINE,
    PAPER,
    SMALL,
    Point,
    Surface,
    mixed,
)
from trainer.reports.print.text import fitted, fitting_size, paragraph
from trainer.season.pages import Candidate, PositionPage

HOW = (
    "Mean T75 over the bands listened for at a position (common practice), in dB: the dot, in its 90 % interval. "
    "Lower is better. Who listens for what is the staff’s choice, and an ear is not all a position takes."
)
A_PAGE, COLUMNS = 6, 2
PANEL: Point = ((RIGHT - LEFT - 30.0) / 2, 146.0)
NAMES, PLOT = 98.0, 166.0
ROW = 19.0
TICKS_DB = (0.0, 5.0, 10.0, 15.0)


def position_leaves(positions: Sequence[PositionPage]) -> Iterator[Leaf]:
    """Yield the pages of console positions."""
    for first in range(0, len(positions), A_PAGE):

        def draw(paper: Surface, shown: Sequence[PositionPage] = positions[first : first + A_PAGE]) -> None:
            draw_positions(paper, shown)

        title = "Who hears what best" if not first else "Who hears what best, continued"
        yield Leaf(
            title,
            "console positions",
            f"positions-{first // A_PAGE + 1}",
            "" if first else "Console positions",
            draw,
        )


def draw_positions(paper: Surface, positions: Sequence[PositionPage]) -> None:
    """Draw the positions of one page, two beside each other."""
    paragraph(HOW, width=RIGHT - LEFT, size=SMALL).draw(paper, (LEFT, TOP - 10.0))
    for place, position in enumerate(positions):
        row, column = divmod(place, COLUMNS)
        corner = (LEFT + column * (PANEL[0] + 30.0), TOP + 30.0 + row * PANEL[1])
        _position(paper, position, corner)


def _position(paper: Surface, position: PositionPage, corner: Point) -> None:
    x, y = corner
    title = f"{position.title[:1].upper()}{position.title[1:]}"
    paper.words((x, y), fitted(title, PANEL[0], size=HEADING, bold=True), size=HEADING, bold=True)
    paper.words((x, y + 12.0), bands_words(position.bands_hz), size=SMALL, colour=DIM)
    top = y + 18.0
    if position.candidates:
        _axis(paper, x + NAMES, top, len(position.candidates))
    for place, candidate in enumerate(position.candidates):
        _candidate(paper, candidate, (x, top + (place + 0.5) * ROW))
    below = top + max(1, len(position.candidates)) * ROW + (12.0 if position.candidates else -14.0)
    paragraph(position.words, width=PANEL[0], height=28.0).draw(paper, (x, below + 2.0))


def _x(size_db: float) -> float:
    return min(size_db, LARGEST_DB) / LARGEST_DB * PLOT


def _axis(paper: Surface, left: float, top: float, rows: int) -> None:
    bottom = top + rows * ROW
    for tick_db in TICKS_DB:
        x = left + _x(tick_db)
        paper.line((x, top), (x, bottom), colour=DIM if not tick_db else LINE, width=0.5)
        words = f"{tick_db:g}" if tick_db < LARGEST_DB else f"{tick_db:g} dB"
        paper.words((x, bottom + 9.0), words, size=7.0, colour=DIM, anchor="middle")


def _candidate(paper: Surface, candidate: Candidate, at: Point) -> None:
    x, y = at
    size = fitting_size(candidate.name, NAMES - 8.0, size=BODY)
    paper.words((x, y + 3.0), fitted(candidate.name, NAMES - 8.0, size=size), size=size)
    left = x + NAMES
    low, high = left + _x(candidate.interval.low), left + _x(candidate.interval.high)
    if high > low:
        paper.rect((low, y - 4.0), (high - low, 8.0), fill=mixed(0.20))
    for end in (low, high):
        paper.line((end, y - 4.0), (end, y + 4.0), colour=DIM, width=0.8)
    if candidate.t75_db <= LARGEST_DB:
        paper.dot((left + _x(candidate.t75_db), y), 3.0, fill=INK, stroke=PAPER)
    paper.words((left + PLOT + 14.0, y - 0.5), size_words(candidate), size=SMALL)
    paper.words((left + PLOT + 14.0, y + 8.0), f"best: {chance_words(candidate)}", size=7.0, colour=DIM)


def size_words(candidate: Candidate) -> str:
    """Return a mean T75 with its interval."""
    interval = candidate.interval
    return f"{candidate.t75_db:.1f} dB ({interval.low:.1f}–{interval.high:.1f})"


def chance_words(candidate: Candidate) -> str:
    """Return the chance to be the best, never told as certain."""
    return f"chance {percent(min(max(candidate.chance_best, 0.01), 0.99))}"
