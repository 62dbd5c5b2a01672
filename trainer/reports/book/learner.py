"""A learner's page: ten lanes with their figures below, the weeks, what was confused, the aims, and advice."""

from collections.abc import Callable

from trainer.progress.ear_words import hole_words
from trainer.progress.improvement_words import improvement_words
from trainer.reports.book.frame import BOTTOM, LEFT, RIGHT, TOP, Leaf, heading
from trainer.reports.book.lanes import Field, draw_lanes, legend
from trainer.reports.book.matrix import draw_confusions
from trainer.reports.book.weeks import draw_weeks
from trainer.reports.book.words import (
    band_name,
    chance_words,
    counted,
    day_words,
    first_words,
    interval_words,
    now_words,
)
from trainer.reports.print.surface import BODY, DIM, INK, LINE, SMALL, Surface
from trainer.reports.print.text import paragraph, width_of
from trainer.season.pages import Aim, LearnerPage

LANES_LEFT = LEFT + 66.0
PLOT_HEIGHT = 160.0
ROW = 11.5
PANELS_TOP = 406.0
WEEKS_WIDTH, MATRIX_LEFT, CELL = 226.0, LEFT + 246.0, (19.0, 11.6)
NO_AIMS = "No season plan: nothing is aimed at this week."
NO_ANSWERS = "No answers yet that could be held against an aim."
ADVICE_LEFT = LEFT + 532.0


def learner_leaf(page: LearnerPage, key: str) -> Leaf:
    """Return a learner's page."""
    beside = " · ".join(part for part in (page.role, page.section) if part)
    return Leaf(page.name, beside, key, page.name, lambda paper: draw_learner(paper, page))


def draw_learner(paper: Surface, page: LearnerPage) -> None:
    """Draw the body of a learner's page."""
    paper.words((LEFT, TOP - 1.0), basis_words(page), colour=DIM)
    legend(paper, LANES_LEFT, TOP + 18.0, has_aims=bool(page.aims))
    field = Field(LANES_LEFT, TOP + 28.0, RIGHT - LANES_LEFT, PLOT_HEIGHT, len(page.ear.bands))
    draw_lanes(paper, field, page.ear, page.aims)
    bottom = _figures(paper, field, page)
    told = " ".join((improvement_words(page.ear.improvement), *map(hole_words, page.ear.holes)))
    room = PANELS_TOP - 16.0 - bottom
    paragraph(told, width=RIGHT - LEFT, height=room).draw(paper, (LEFT, bottom + 4.0))
    draw_weeks(paper, (LEFT, PANELS_TOP), WEEKS_WIDTH, page.weeks)
    draw_confusions(paper, (MATRIX_LEFT, PANELS_TOP), page.confusions, cell=CELL)
    _advice(paper, page)


def basis_words(page: LearnerPage) -> str:
    """Return what a page rests on, as a line."""
    if not page.answers:
        return "No answers yet."
    done = (
        f"{counted(page.answers, 'answer')} in {counted(page.blocks, 'block')} on {counted(page.days, 'day')}"
    )
    if page.first_day == page.last_day:
        return f"{done}, {day_words(page.last_day)}"
    return f"{done}, {day_words(page.first_day)} to {day_words(page.last_day)}"


def rows_of(page: LearnerPage) -> list[tuple[str, list[str]]]:
    """Return the lines of figures below the lanes: their name, and a word or two a band."""
    bands = page.ear.bands
    rows: list[tuple[str, list[str]]] = [
        ("octave band, Hz", [band_name(change.band_hz) for change in bands]),
        ("now", [now_words(change) for change in bands]),
        ("90 %, dB", [interval_words(change) for change in bands]),
        ("week 1", [first_words(change) for change in bands]),
    ]
    if page.aims:
        aims = {aim.band_hz: aim for aim in page.aims}
        early = {change.band_hz for change in bands if change.is_early}

        def of_each(words: Callable[[Aim], str]) -> list[str]:
            return [words(aims[one.band_hz]) if one.band_hz in aims else "–" for one in bands]

        rows.append(("aim", of_each(lambda aim: f"{aim.aim_db:.1f} dB")))
        rows.append(("reached", of_each(lambda aim: "–" if aim.band_hz in early else chance_words(aim))))
    return rows


def _figures(paper: Surface, field: Field, page: LearnerPage) -> float:
    """Write the figures below the lanes; return where they end."""
    base = field.zero + 12.0
    for number, (name, cells) in enumerate(rows_of(page)):
        is_strong = number < 2
        colour = INK if is_strong else DIM
        label = paragraph(name, width=LANES_LEFT - LEFT - 6.0, size=SMALL).lines
        paper.words((LEFT, base), " ".join(label) if len(label) == 1 else "Hz", size=SMALL, colour=DIM)
        for place, words in enumerate(cells):
            is_early = page.ear.bands[place].is_early and number == 1
            paper.words(
                (field.x(place), base),
                words,
                size=BODY if is_strong and not is_early else SMALL + 0.5,
                bold=is_strong and not is_early,
                colour=DIM if is_early else colour,
                anchor="middle",
            )
        if number == 0:
            paper.line((field.left, base + 3.4), (RIGHT, base + 3.4), colour=LINE, width=0.5)
        base += ROW + (2.0 if number == 0 else 0.0)
    return base - ROW + 4.0


def _advice(paper: Surface, page: LearnerPage) -> None:
    width = RIGHT - ADVICE_LEFT
    heading(paper, ADVICE_LEFT, PANELS_TOP, "This week’s aims")
    standing = page.standing or (NO_AIMS if page.answers else NO_ANSWERS)
    signs = "✓ on track · ✗ behind · ≈ too close to tell"
    if page.aims and width_of(signs, size=SMALL) <= width:
        paper.words((ADVICE_LEFT, PANELS_TOP + 13.0), signs, size=SMALL, colour=DIM)
    top = PANELS_TOP + (17.0 if page.aims else 5.0)
    top = paragraph(standing, width=width, height=52.0).draw(paper, (ADVICE_LEFT, top))
    heading(paper, ADVICE_LEFT, top + 18.0, "What to drill next")
    words = paragraph(page.advice, width=width, height=BOTTOM - top - 25.0)
    words.draw(paper, (ADVICE_LEFT, top + 23.0))
