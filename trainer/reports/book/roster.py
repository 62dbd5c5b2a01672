"""The roster's pages: everybody's ten bands in one table, as many pages as it takes."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from trainer.progress.figures.smallest_changes import LARGEST_DB, SmallestChange
from trainer.reports.book.frame import BOTTOM, LEFT, RIGHT, TOP, Leaf
from trainer.reports.book.heat import heat_cell
from trainer.reports.book.words import band_name, count_words, counted, day_words
from trainer.reports.print.surface import BODY, DIM, INK, SMALL, Surface
from trainer.reports.print.text import Paragraph, fitted, fitting_size, paragraph
from trainer.season.pages import RosterPage, RosterRow

TITLE = "Roster"
HOW = (
    "Number: the smallest change named right 3 times in 4 (T75), in dB. Darker and a longer bar: a larger change is "
    "needed. – too early to tell. Last: the last day with answers."
)
CELLS_LEFT, CELL = LEFT + 132.0, 33.0
ANSWERS_RIGHT, LAST_LEFT, STANDING_LEFT = LEFT + 505.0, LEFT + 513.0, LEFT + 578.0
STANDING_WIDTH, STANDING_SIZE = RIGHT - STANDING_LEFT, 7.0
TABLE_TOP = TOP + 30.0
LEAST_ROW = 23.0


@dataclass(frozen=True, slots=True)
class Row:
    """A line of the table, and how high it is."""

    row: RosterRow
    standing: Paragraph

    @property
    def height(self) -> float:
        """Its height, by the lines of its standing."""
        return max(LEAST_ROW, self.standing.height + 5.0)


def roster_leaves(roster: RosterPage, keys: Mapping[str, str]) -> Iterator[Leaf]:
    """Yield the roster's pages; ``keys`` are those of the learners' pages, by name."""
    for number, rows in enumerate(_pages(roster.rows)):

        def draw(paper: Surface, rows: Sequence[Row] = rows) -> None:
            draw_rows(paper, rows, keys)

        entry = "" if number else "Roster: everybody’s ten bands"
        beside = f"{counted(len(roster.rows), 'learner')}, ten octave bands"
        yield Leaf(
            TITLE if not number else f"{TITLE}, continued", beside, f"roster-{number + 1}", entry, draw
        )


def _pages(rows: Sequence[RosterRow]) -> list[list[Row]]:
    """Return the lines page by page; one page without lines where nobody is there."""
    pages: list[list[Row]] = [[]]
    top = TABLE_TOP
    for row in rows:
        standing = paragraph(row.standing, width=STANDING_WIDTH, size=STANDING_SIZE, height=44.0)
        made = Row(row, standing)
        if pages[-1] and top + made.height > BOTTOM:
            pages.append([])
            top = TABLE_TOP
        pages[-1].append(made)
        top += made.height
    return pages


def draw_rows(paper: Surface, rows: Sequence[Row], keys: Mapping[str, str]) -> None:
    """Draw the lines of one page."""
    paragraph(HOW, width=RIGHT - LEFT, size=SMALL).draw(paper, (LEFT, TOP - 10.0))
    if not rows:
        paper.words((LEFT, TABLE_TOP), "Nobody is on the roster yet.")
        return
    _heads(paper, rows[0].row.ear.bands)
    top = TABLE_TOP
    for row in rows:
        _row(paper, row, top, keys.get(row.row.name, ""))
        top += row.height
        paper.line((LEFT, top), (RIGHT, top), width=0.4)


def _heads(paper: Surface, bands: Sequence[SmallestChange]) -> None:
    base = TABLE_TOP - 6.0
    for place, change in enumerate(bands):
        middle = CELLS_LEFT + (place + 0.5) * CELL
        paper.words((middle, base), band_name(change.band_hz), bold=True, anchor="middle")
    paper.words((LEFT, base), "name", size=SMALL, colour=DIM)
    paper.words((CELLS_LEFT - 3.0, base), "Hz", size=SMALL, colour=DIM, anchor="end")
    paper.words((ANSWERS_RIGHT, base), "answers", size=SMALL, colour=DIM, anchor="end")
    paper.words((LAST_LEFT, base), "last", size=SMALL, colour=DIM)
    paper.words((STANDING_LEFT, base), "this week’s aims", size=SMALL, colour=DIM)
    paper.line((LEFT, TABLE_TOP), (RIGHT, TABLE_TOP), colour=INK, width=0.8)


def _row(paper: Surface, row: Row, top: float, key: str) -> None:
    person, room = row.row, CELLS_LEFT - LEFT - 10.0
    beside = " · ".join(part for part in (person.role, person.section) if part)
    base = top + row.height / 2 + (-1.0 if beside else 3.2)
    size = fitting_size(person.name, room, size=BODY, bold=True)
    name = fitted(person.name, room, size=size, bold=True)
    paper.words((LEFT, base), name, size=size, bold=True, link=key)
    paper.words((LEFT, base + 9.0), fitted(beside, room, size=SMALL), size=SMALL, colour=DIM)
    for place, change in enumerate(person.ear.bands):
        corner = (CELLS_LEFT + place * CELL, top)
        heat_cell(paper, corner, (CELL, row.height), cell_words(change), cell_share(change))
    middle = top + row.height / 2 + 3.0
    paper.words((ANSWERS_RIGHT, middle), count_words(person.answers), size=BODY - 1.0, anchor="end")
    paper.words((LAST_LEFT, middle), day_words(person.last_day), size=BODY - 1.0)
    if row.standing.lines:
        first = top + (row.height - row.standing.height) / 2 - 0.5
        row.standing.draw(paper, (STANDING_LEFT, first))
    else:
        paper.words((STANDING_LEFT, middle), "–", size=BODY - 1.0, colour=DIM)


def cell_words(change: SmallestChange) -> str:
    """Return T75 for a small cell."""
    if change.is_early:
        return "–"
    return f">{LARGEST_DB:g}" if change.is_beyond else f"{change.t75_db:.1f}"


def cell_share(change: SmallestChange) -> float | None:
    """Return T75 as a share of the largest change that is asked."""
    return None if change.is_early else min(change.t75_db / LARGEST_DB, 1.0)
