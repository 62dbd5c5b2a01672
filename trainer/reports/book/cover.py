"""The cover: the book's title, the season, everybody's chalk lines in one field, and the contents."""

from collections.abc import Iterator, Sequence

from trainer.practice.band_scale import OCTAVE_SCALE
from trainer.progress.figures.smallest_changes import LARGEST_DB
from trainer.reports.book.frame import BOTTOM, CONTENTS, LEFT, RIGHT, Leaf
from trainer.reports.book.lanes import HEADROOM, Field, chalk_mark, draw_ground
from trainer.reports.book.words import band_name, counted
from trainer.reports.print.surface import BODY, DIM, HEADING, INK, LINE, SMALL, Point, Surface
from trainer.reports.print.text import fitted, fitting_size, paragraph, width_of
from trainer.season.pages import Book

Entry = tuple[str, str, int]
"""A line of the contents: its words, the key of its page, and the page's number."""
LIST_TOP, PITCH, COLUMNS_GAP = 330.0, 12.6, 26.0
MORE_TOP = 92.0
COLUMNS = 4
FIELD_TOP, BELOW_FIELD = 128.0, 58.0


def contents_pages(count: int) -> list[range]:
    """Return which lines of the contents stand on which page; the first has the cover above them."""
    pages = [range(min(count, COLUMNS * _rows(LIST_TOP)))]
    while pages[-1].stop < count:
        start = pages[-1].stop
        pages.append(range(start, min(count, start + COLUMNS * _rows(MORE_TOP))))
    return pages


def cover_leaves(book: Book, entries: Sequence[Entry]) -> Iterator[Leaf]:
    """Yield the cover, and further pages of contents where there are many lines."""
    for number, shown in enumerate(contents_pages(len(entries))):

        def draw(
            paper: Surface,
            lines: Sequence[Entry] = entries[shown.start : shown.stop],
            first: bool = not number,
        ) -> None:
            top = list_top(len(lines)) if first else MORE_TOP
            if first:
                _cover(paper, book, top)
            draw_entries(paper, lines, top)

        key = CONTENTS if not number else f"{CONTENTS}-{number + 1}"
        yield Leaf("" if not number else "Contents, continued", "", key, "", draw)


def list_top(count: int) -> float:
    """Return where the cover's contents begin: the fewer their lines, the higher the field above them."""
    return max(LIST_TOP, BOTTOM - max(3, -(-count // COLUMNS)) * PITCH - 10.0)


def _rows(top: float) -> int:
    return int((BOTTOM - top) / PITCH)


def _cover(paper: Surface, book: Book, top: float) -> None:
    day = f"{book.made_on.day} {book.made_on:%B %Y}"
    paper.words((LEFT, 52.0), "Season book", size=HEADING, colour=DIM)
    paper.words((RIGHT, 52.0), day, size=HEADING, colour=DIM, anchor="end")
    size = fitting_size(book.title, RIGHT - LEFT, size=32.0, least=14.0, bold=True)
    title = fitted(book.title, RIGHT - LEFT, size=size, bold=True)
    paper.words((LEFT, 86.0), title, size=size, bold=True)
    paragraph(book.season, width=RIGHT - LEFT, size=HEADING, height=16.0).draw(paper, (LEFT, 93.0))
    field = Field(
        LEFT + 44.0,
        FIELD_TOP,
        RIGHT - LEFT - 44.0,
        top - FIELD_TOP - HEADROOM - BELOW_FIELD - 16.0,
        len(OCTAVE_SCALE),
    )
    draw_ground(paper, field)
    known = _everybody(paper, field, book)
    told = (
        "Everybody’s smallest changes named right 3 times in 4: a chalk line a learner, in the order of the roster; "
        f"lower is better. Known in some band: {known} of {counted(len(book.learners), 'learner')}."
    )
    paper.words((LEFT, field.zero + 30.0), fitted(told, RIGHT - LEFT, size=SMALL), size=SMALL, colour=DIM)
    paper.words((LEFT, top - 16.0), "Contents", size=HEADING, bold=True)
    paper.line((LEFT, top - 11.0), (RIGHT, top - 11.0), colour=INK, width=1.2)


def _everybody(paper: Surface, field: Field, book: Book) -> int:
    """Draw everybody's chalk lines; return of how many there is one."""
    for place, band_hz in enumerate(OCTAVE_SCALE.names_hz):
        at = (field.x(place), field.zero + 13.0)
        paper.words(at, band_name(band_hz), bold=True, anchor="middle")
    paper.words((LEFT + 38.0, field.zero + 13.0), "Hz", size=SMALL, colour=DIM, anchor="end")
    known = 0
    for page in book.learners:
        told = [change for change in page.ear.bands if not change.is_early]
        known += bool(told)
    step = field.lane * 0.84 / max(1, len(book.learners))
    wide = max(2.0, min(12.0, 0.8 * step))
    for number, page in enumerate(book.learners):
        for place, change in enumerate(page.ear.bands):
            if change.is_early or change.t75_db > LARGEST_DB:
                continue
            x = field.x(place, 0.08) + (number + 0.5) * step
            chalk_mark(paper, (x - wide / 2, field.y(change.t75_db)), wide)
    return known


def draw_entries(paper: Surface, entries: Sequence[Entry], top: float) -> None:
    """Write the contents in columns: words, and the page's number."""
    rows = min(_rows(top), max(3, -(-len(entries) // COLUMNS)))
    wide = (RIGHT - LEFT - (COLUMNS - 1) * COLUMNS_GAP) / COLUMNS
    for place, entry in enumerate(entries):
        column, row = divmod(place, rows)
        _entry(paper, entry, (LEFT + column * (wide + COLUMNS_GAP), top + row * PITCH + BODY), wide)


def _entry(paper: Surface, entry: Entry, at: Point, wide: float) -> None:
    words, key, number = entry
    x, y = at
    size = fitting_size(words, wide - 26.0, size=BODY)
    shown = fitted(words, wide - 26.0, size=size)
    paper.words((x, y), shown, size=size, link=key)
    paper.words((x + wide, y), str(number), anchor="end", link=key)
    start = x + width_of(shown, size=size) + 5.0
    end = x + wide - width_of(str(number)) - 5.0
    if end > start:
        paper.line((start, y - 0.8), (end, y - 0.8), colour=LINE, width=0.5, dashes=(0.8, 2.6))
