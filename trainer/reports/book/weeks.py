"""Answers and blocks, week by week: bars with their numbers, and idle weeks to be seen."""

from collections.abc import Sequence

from trainer.reports.book.frame import heading
from trainer.reports.book.words import counted
from trainer.reports.print.surface import CUT, DIM, LINE, SMALL, Point, Surface, mixed
from trainer.reports.print.text import width_of
from trainer.season.pages import WeekDone

LEAST_SIZE = 7.0
BAR_INKS = (mixed(0.66), mixed(0.74, dark=CUT))
"""Of answers and of blocks; they are apart in place and words too."""
ANSWERS_HEIGHT, BLOCKS_HEIGHT, BETWEEN = 68.0, 26.0, 22.0
MOST_BAR = 20.0


def draw_weeks(paper: Surface, corner: Point, width: float, weeks: Sequence[WeekDone]) -> None:
    """Draw what was done, a column a week of the season."""
    x, y = corner
    idle = sum(not week.answers for week in weeks)
    said = f"{counted(len(weeks), 'week')}, {idle} idle" if weeks else ""
    heading(paper, x, y, "Week by week", beside=said)
    if not weeks:
        paper.words((x, y + 18.0), "The season has not begun.", colour=DIM)
        return
    left = x + 38.0
    step = min((width - 38.0) / len(weeks), 34.0)
    base = y + 20.0 + ANSWERS_HEIGHT
    _bars(paper, left, base, step, ANSWERS_HEIGHT, [week.answers for week in weeks], BAR_INKS[0])
    paper.words((x, base - 2.0), "answers", size=SMALL, colour=DIM)
    below = base + BETWEEN + BLOCKS_HEIGHT
    _bars(paper, left, below, step, BLOCKS_HEIGHT, [week.blocks for week in weeks], BAR_INKS[1])
    paper.words((x, below - 2.0), "blocks", size=SMALL, colour=DIM)
    paper.words((x, below + 10.0), "week", size=SMALL, colour=DIM)
    shown = _shown([str(week.week) for week in weeks], step)
    for place, week in enumerate(weeks):
        if place in shown:
            at = (left + (place + 0.5) * step, below + 10.0)
            paper.words(at, str(week.week), size=LEAST_SIZE, colour=DIM, anchor="middle")


def _bars(
    paper: Surface, left: float, base: float, step: float, height: float, counts: Sequence[int], ink: str
) -> None:
    """Draw bars from 0, each with its number on it; a ring on the line for none."""
    most = max(counts, default=0) or 1
    bar = min(step * 0.72, MOST_BAR)
    shown = _shown([str(count) for count in counts], step)
    paper.line((left, base), (left + step * len(counts), base), colour=LINE, width=0.8)
    for place, count in enumerate(counts):
        middle = left + (place + 0.5) * step
        high = (height - 10.0) * count / most
        if count:
            paper.rect((middle - bar / 2, base - high), (bar, high), fill=ink)
        else:
            paper.dot((middle, base), min(1.8, step * 0.35), fill="#ffffff", stroke=DIM)
        if place in shown:
            at = (middle, base - max(high, 1.5) - 2.5)
            paper.words(at, str(count), size=LEAST_SIZE, anchor="middle")


def _shown(words: Sequence[str], step: float) -> set[int]:
    """Return which columns have room for their words: all, or every second, third … and the last."""
    widest = max((width_of(one, size=LEAST_SIZE) for one in words), default=0.0) + 2.0
    every = max(1, -(-int(widest * 10) // max(1, int(step * 10))))
    return set(range(len(words) - 1, -1, -every))
