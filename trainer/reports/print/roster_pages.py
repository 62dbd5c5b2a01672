"""The roster's pages: everybody's T75 by octave band, then whom to sit where."""

from collections.abc import Iterator, Sequence

from trainer.dsp.octave_bands import NOMINAL_HZ
from trainer.progress.figures.smallest_changes import LARGEST_DB, SmallestChange
from trainer.progress.improvement_words import bands_words
from trainer.reports.lanes import label_of
from trainer.reports.print.learner_page import day_words
from trainer.reports.print.surface import (
    DIM,
    HEADING,
    INK,
    LINE,
    MARGIN_PT,
    SHADE,
    SMALL,
    TITLE,
    WIDTH_PT,
    Surface,
    fitted,
    paragraph,
)
from trainer.season.pages import PositionPage, RosterPage, RosterRow

ROWS_A_PAGE = 20
ROW_PT, FIRST_ROW = 21.0, 124.0
NAME_WIDE, CELL_PT, CELLS_AT = 128.0, 41.0, 168.0
AFTER_CELLS = CELLS_AT + 10 * CELL_PT + 8
EXPLAINED = (
    "the smallest boost or cut named right 3 times in 4, in dB, by octave band (Hz); bar: how large, to 15 dB; "
    "lower is better; –: too early to tell"
)


def draw_roster(surface: Surface, page: RosterPage, *, key: str) -> None:
    """Draw the whole roster, on as many pages as it takes, and the console positions."""
    chunks = list(_chunks(page.rows)) or [()]
    for number, rows in enumerate(chunks):
        title = "The roster" if len(chunks) == 1 else f"The roster, {number + 1} of {len(chunks)}"
        surface.page(title, key=key if number == 0 else f"{key}-{number + 1}")
        surface.words((MARGIN_PT, 52), title, size=TITLE, bold=True)
        surface.words((MARGIN_PT, 72), EXPLAINED, size=SMALL, colour=DIM)
        _table(surface, rows)
    _positions(surface, page.positions, key=f"{key}-positions")


def _chunks(rows: Sequence[RosterRow]) -> Iterator[Sequence[RosterRow]]:
    for start in range(0, len(rows), ROWS_A_PAGE):
        yield rows[start : start + ROWS_A_PAGE]


def _table(surface: Surface, rows: Sequence[RosterRow]) -> None:
    for place, band_hz in enumerate(NOMINAL_HZ):
        middle = CELLS_AT + (place + 0.5) * CELL_PT
        surface.words((middle, FIRST_ROW - 18), label_of(band_hz), size=HEADING, bold=True, anchor="middle")
    heads = (
        (MARGIN_PT, "name"),
        (AFTER_CELLS, "answers, last"),
        (AFTER_CELLS + 108, "with this week's aims"),
    )
    for x, words in heads:
        surface.words((x, FIRST_ROW - 18), words, size=SMALL, colour=DIM)
    surface.line((MARGIN_PT, FIRST_ROW - 12), (WIDTH_PT - MARGIN_PT, FIRST_ROW - 12), colour=INK)
    if not rows:
        surface.words((MARGIN_PT, FIRST_ROW + 10), "Nobody is on the roster yet.", colour=DIM)
    for number, row in enumerate(rows):
        _row(surface, row, FIRST_ROW + number * ROW_PT)


def _row(surface: Surface, row: RosterRow, y: float) -> None:
    surface.words((MARGIN_PT, y), fitted(row.name, NAME_WIDE, bold=True), bold=True)
    who = " · ".join(part for part in (row.role, row.section) if part)
    surface.words((MARGIN_PT, y + 8), fitted(who, NAME_WIDE, size=SMALL - 1), size=SMALL - 1, colour=DIM)
    for place, change in enumerate(row.ear.bands):
        _cell(surface, CELLS_AT + place * CELL_PT, y, change)
    last = "" if row.last_day is None else day_words(row.last_day)
    surface.words((AFTER_CELLS, y), f"{row.answers:,}".replace(",", "\u202f"), size=SMALL)
    surface.words((AFTER_CELLS, y + 8), last, size=SMALL - 1, colour=DIM)
    room = WIDTH_PT - MARGIN_PT - AFTER_CELLS - 108
    paragraph(surface, (AFTER_CELLS + 108, y - 2), _standing(row), width=room, size=6.4, most_lines=2)
    surface.line((MARGIN_PT, y + 11.5), (WIDTH_PT - MARGIN_PT, y + 11.5), width=0.3)


def _standing(row: RosterRow) -> str:
    """Return how it stands with the aims; without a plan, where the ear is at its best."""
    if row.standing:
        return row.standing
    known = [change for change in row.ear.bands if not change.is_early]
    if not known:
        return ""
    best = sorted(known, key=lambda change: change.t75_db)[:2]
    return f"Best at {bands_words(sorted(change.band_hz for change in best))}."


def _cell(surface: Surface, x: float, y: float, change: SmallestChange) -> None:
    middle = x + 0.5 * CELL_PT
    if change.is_early:
        surface.words((middle, y), "–", colour=DIM, anchor="middle")
        return
    text = f"> {LARGEST_DB:g}" if change.is_beyond else f"{change.t75_db:.1f}"
    surface.words((middle, y), text, anchor="middle")
    whole = CELL_PT - 8
    surface.rect((x + 4, y + 3.4), (whole, 3.6), fill="#f0ede2")
    surface.rect((x + 4, y + 3.4), (whole * min(change.t75_db, LARGEST_DB) / LARGEST_DB, 3.6), fill=DIM)


BOX_WIDE, BOX_HIGH = 376.0, 148.0


def _positions(surface: Surface, positions: Sequence[PositionPage], *, key: str) -> None:
    surface.page("Whom to sit where", key=key)
    surface.words((MARGIN_PT, 52), "Whom to sit where", size=TITLE, bold=True)
    explained = (
        "the three best ears for each console position: the mean smallest change over its octave bands, its 90 % "
        "interval, and the chance to be the best of all on the roster"
    )
    surface.words((MARGIN_PT, 72), explained, size=SMALL, colour=DIM)
    for place, position in enumerate(positions):
        x = MARGIN_PT + (place % 2) * (BOX_WIDE + 22)
        _position(surface, position, x, 100 + (place // 2) * (BOX_HIGH + 8))


def _position(surface: Surface, position: PositionPage, x: float, y: float) -> None:
    surface.rect((x, y), (BOX_WIDE, BOX_HIGH), stroke=LINE)
    surface.words((x + 12, y + 18), position.title.capitalize(), size=HEADING, bold=True)
    surface.words(
        (x + BOX_WIDE - 12, y + 18), bands_words(position.bands_hz), size=SMALL, colour=DIM, anchor="end"
    )
    zero, wide = x + 116, BOX_WIDE - 116 - 64
    for size_db in (0.0, 5.0, 10.0, LARGEST_DB):
        at = zero + wide * size_db / LARGEST_DB
        surface.line((at, y + 28), (at, y + 100), width=0.4)
        surface.words((at, y + 110), f"{size_db:g} dB", size=SMALL - 1, colour=DIM, anchor="middle")
    for number, one in enumerate(position.candidates):
        middle = y + 42 + number * 23
        ends = [
            zero + wide * min(end, LARGEST_DB) / LARGEST_DB for end in (one.interval.low, one.interval.high)
        ]
        surface.words((x + 12, middle + 3), fitted(one.name, 98, bold=number == 0), bold=number == 0)
        surface.rect((ends[0], middle - 4), (max(0.5, ends[1] - ends[0]), 8), fill=SHADE)
        at = zero + wide * min(one.t75_db, LARGEST_DB) / LARGEST_DB
        surface.line((at, middle - 6), (at, middle + 6), colour=INK, width=2.2)
        chance = f"{100 * one.chance_best:.0f} %"
        surface.words((x + BOX_WIDE - 12, middle + 3), chance, anchor="end")
    paragraph(surface, (x + 12, y + 130), position.words, width=BOX_WIDE - 24, most_lines=1)
