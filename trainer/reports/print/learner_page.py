"""A learner's page: the lanes, what was said for what, what was done week by week, what to drill next."""

from datetime import date

from trainer.progress.improvement_words import improvement_words
from trainer.reports.print.lanes import LANE_PT, LEGEND, draw_lanes, early_words
from trainer.reports.print.matrix import draw_matrix
from trainer.reports.print.surface import (
    DIM,
    HEADING,
    INK,
    MARGIN_PT,
    SHADE,
    SMALL,
    TITLE,
    WIDTH_PT,
    Surface,
    fitted,
    paragraph,
    width_of,
)
from trainer.season.pages import LearnerPage, WeekDone

LEFT = 66.0
LANES_TOP, LANES_HEIGHT = 104.0, 214.0
WEEKS_TOP, WEEKS_HEIGHT = 404.0, 56.0
RIGHT_COLUMN, RIGHT_WIDE = 562.0, WIDTH_PT - MARGIN_PT - 562.0
MATRIX_CELL = 19.6


def draw_learner(surface: Surface, page: LearnerPage, *, key: str) -> None:
    """Draw a learner's page."""
    surface.page(page.name, key=key)
    _head(surface, page)
    surface.words((MARGIN_PT, 84), LEGEND, size=SMALL, colour=DIM)
    draw_lanes(surface, page.ear, page.aims, left=LEFT, top=LANES_TOP, height=LANES_HEIGHT)
    surface.words((LEFT - 6, LANES_TOP + LANES_HEIGHT + 39), "Hz", size=SMALL, colour=DIM, anchor="end")
    draw_weeks(surface, page.weeks, left=LEFT, top=WEEKS_TOP, width=10 * LANE_PT, height=WEEKS_HEIGHT)
    surface.words((RIGHT_COLUMN, 104), "What was said for what", size=HEADING, bold=True)
    explained = "octave tone: a row for what it was, a column for what was said"
    surface.words((RIGHT_COLUMN, 116), explained, size=SMALL, colour=DIM)
    draw_matrix(surface, page.confusions, left=RIGHT_COLUMN + 26, top=138, cell=MATRIX_CELL)
    y = 358.0
    for words in (improvement_words(page.ear.improvement), page.standing, early_words(page.ear)):
        if words:
            y = paragraph(surface, (RIGHT_COLUMN, y), words, width=RIGHT_WIDE, most_lines=5) + 5
    surface.words((MARGIN_PT, 512), "What to drill next", size=HEADING, bold=True)
    paragraph(surface, (MARGIN_PT, 527), page.advice, width=WIDTH_PT - 2 * MARGIN_PT, most_lines=4)


def _head(surface: Surface, page: LearnerPage) -> None:
    figures = (
        f"{counted(page.answers, 'answer')} in {counted(page.blocks, 'block')} on {counted(page.days, 'day')}"
    )
    room = WIDTH_PT - 2 * MARGIN_PT - width_of(figures) - 20
    surface.words((MARGIN_PT, 52), fitted(page.name, room, size=TITLE, bold=True), size=TITLE, bold=True)
    who = " · ".join(part for part in (page.role, page.section) if part)
    surface.words((MARGIN_PT, 68), fitted(who, room), colour=DIM)
    surface.words((WIDTH_PT - MARGIN_PT, 52), figures, anchor="end")
    if page.first_day is not None and page.last_day is not None:
        span = f"{day_words(page.first_day)} to {day_words(page.last_day)}"
        surface.words((WIDTH_PT - MARGIN_PT, 68), span, colour=DIM, anchor="end")


def draw_weeks(
    surface: Surface, weeks: tuple[WeekDone, ...], *, left: float, top: float, width: float, height: float
) -> None:
    """Draw what was done week by week: bars of answers from 0, their number above, blocks and weeks below."""
    surface.words((left, top - 12), "Answers and blocks, week by week", size=HEADING, bold=True)
    most = max((week.answers for week in weeks), default=0)
    if not most:
        surface.words((left, top + 14), "Nothing was drilled in this season yet.", colour=DIM)
        return
    step, zero = width / len(weeks), top + height
    size = min(SMALL, 0.30 * step)
    every = max(1, round(12.0 / step))
    for place, week in enumerate(weeks):
        x, high = left + place * step, (height - 12) * week.answers / most
        surface.rect((x + 0.15 * step, zero - high), (0.7 * step, high), fill=SHADE)
        if place % every == 0:
            middle = x + 0.5 * step
            surface.words((middle, zero - high - 2), str(week.answers), size=size, anchor="middle")
            surface.words((middle, zero + 9), str(week.blocks), size=size, colour=DIM, anchor="middle")
            surface.words((middle, zero + 19), str(week.week), size=size, bold=True, anchor="middle")
    surface.line((left, zero), (left + width, zero), colour=INK)
    for y, words in ((zero - 2, "answers"), (zero + 9, "blocks"), (zero + 19, "week")):
        surface.words((left - 4, y), words, size=SMALL - 1, colour=DIM, anchor="end")


def counted(count: float, word: str) -> str:
    """Return a count with its word: "1 answer", "1 508 answers"."""
    return f"{count:,.0f} {word}{'' if count == 1 else 's'}".replace(",", "\u202f")


def day_words(day: date) -> str:
    """Return a day in words: 3 March 2031."""
    return f"{day.day} {day:%B %Y}"
