"""Ten lanes, low to high, like the lines of a field: chalk, its blur, week 1, the weeks, and this week's aim."""

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

from trainer.progress.ear_figures import EarFigures
from trainer.progress.ear_words import weeks_shown
from trainer.progress.figures.smallest_changes import LARGEST_DB, SmallestChange
from trainer.reports.print.surface import (
    BOOST,
    DIM,
    INK,
    LANE,
    LINE,
    PAPER,
    SMALL,
    Point,
    Surface,
    mixed,
)
from trainer.reports.print.text import width_of
from trainer.season.pages import Aim

SCALE_DB = (0.0, 3.0, 6.0, 9.0, 12.0, 15.0)
HEADROOM = 10.0
"""Above the scale: for the sign that there is more."""
CHALK_SHARE, BLUR_SHARE, DASHES_SHARE, PAST_SHARE = 0.62, 0.46, 0.80, 0.72
"""How much of a lane's width each mark takes up."""
BLUR_STEPS = 14
FAINTEST, DENSEST = 0.10, 0.34
"""How much ink the blur has at the interval's ends and at the line."""
NOTCH = 5.0


@dataclass(frozen=True, slots=True)
class Field:
    """Where the lanes lie: their top left corner, how wide all are, how high 0 to 15 dB is."""

    left: float
    top: float
    width: float
    height: float
    lanes: int

    @property
    def lane(self) -> float:
        """How wide one lane is."""
        return self.width / self.lanes

    @property
    def zero(self) -> float:
        """Where 0 dB is."""
        return self.top + HEADROOM + self.height

    def y(self, size_db: float) -> float:
        """Return how high a size is; the largest that is asked at most."""
        return self.zero - min(size_db, LARGEST_DB) / LARGEST_DB * self.height

    def x(self, place: int, share: float = 0.5) -> float:
        """Return how far along a lane is; ``share`` 0 is its left edge."""
        return self.left + (place + share) * self.lane


def draw_ground(paper: Surface, field: Field) -> None:
    """Draw the lanes, the lines across, and the scale from 0."""
    bottom = field.zero
    for place in range(1, field.lanes, 2):
        paper.rect((field.x(place, 0.0), field.top), (field.lane, bottom - field.top), fill=LANE)
    for size_db in SCALE_DB:
        y = field.y(size_db)
        if size_db:
            paper.line((field.left, y), (field.left + field.width, y), dashes=(1.0, 3.0), width=0.5)
        paper.words((field.left - 6.0, y + 2.7), f"{size_db:g} dB", size=SMALL, colour=DIM, anchor="end")
        for edge in range(field.lanes + 1):
            x = field.x(edge, 0.0)
            ends = (max(x - 4.0, field.left), min(x + 4.0, field.left + field.width))
            paper.line((ends[0], y), (ends[1], y), width=0.9)
    paper.rect((field.left, field.top), (field.width, bottom - field.top), stroke=LINE, width=0.8)
    paper.line((field.left, bottom), (field.left + field.width, bottom), colour=DIM, width=0.9)


def draw_lanes(paper: Surface, field: Field, ear: EarFigures, aims: Sequence[Aim] = ()) -> None:
    """Draw a learner's ten lanes."""
    draw_ground(paper, field)
    aimed = {aim.band_hz: aim.aim_db for aim in aims}
    for place, change in enumerate(ear.bands):
        if change.is_early:
            _too_early(paper, field, place)
        else:
            _blur(paper, field, place, change)
            _week_1(paper, field, place, change)
            _past(paper, field, place, ear)
            _chalk(paper, field, place, change)
        if change.band_hz in aimed:
            aim_mark(paper, field, place, aimed[change.band_hz])


def _too_early(paper: Surface, field: Field, place: int) -> None:
    middle = field.y(LARGEST_DB / 2) + 2.7
    paper.words((field.x(place), middle), "too early", size=SMALL, colour=DIM, anchor="middle")


def _blur(paper: Surface, field: Field, place: int, change: SmallestChange) -> None:
    """Chalk rubbed with a thumb: denser towards the line, ended by hairlines where the interval ends."""
    low, high = min(change.interval.low, LARGEST_DB), min(change.interval.high, LARGEST_DB)
    now = min(max(change.t75_db, low), high)
    if low >= high:
        return
    half = field.lane * BLUR_SHARE / 2
    ground = LANE if place % 2 else PAPER
    for step in range(BLUR_STEPS):
        part = step / BLUR_STEPS
        top, bottom = field.y(high + part * (now - high)), field.y(low + part * (now - low))
        ink = FAINTEST + (DENSEST - FAINTEST) * part
        corner = (field.x(place) - half, top)
        paper.rect(corner, (2 * half, bottom - top), fill=mixed(ink, light=ground))
    for size_db in (low, high):
        if size_db < LARGEST_DB:
            y = field.y(size_db)
            paper.line((field.x(place) - half, y), (field.x(place) + half, y), colour=DIM, width=0.7)


def _week_1(paper: Surface, field: Field, place: int, change: SmallestChange) -> None:
    if change.week_1_db is None or change.week_1_db > LARGEST_DB:
        return
    half, y = field.lane * DASHES_SHARE / 2, field.y(change.week_1_db)
    dashes_mark(paper, (field.x(place) - half, y), 2 * half)


def _past(paper: Surface, field: Field, place: int, ear: EarFigures) -> None:
    sizes = {week.week: week.t75_db[place] for week in ear.trend}
    shown = [week for week in weeks_shown(list(sizes)) if sizes[week] <= LARGEST_DB]
    inset = (1.0 - PAST_SHARE) / 2
    points = [
        (field.x(place, inset + (week - 0.5) / max(sizes) * PAST_SHARE), field.y(sizes[week]))
        for week in shown
    ]
    for start, end in itertools.pairwise(points):
        paper.line(start, end, colour=DIM, width=0.6)
    for point in points:
        paper.dot(point, 1.5, fill=PAPER, stroke=DIM)


def _chalk(paper: Surface, field: Field, place: int, change: SmallestChange) -> None:
    half, x = field.lane * CHALK_SHARE / 2, field.x(place)
    if change.is_beyond or change.interval.high > LARGEST_DB:
        y = field.top + 2.0
        paper.polygon([(x, y), (x - 4.0, y + 6.5), (x + 4.0, y + 6.5)], fill=INK)
    if not change.is_beyond:
        chalk_mark(paper, (x - half, field.y(change.t75_db)), 2 * half)


def chalk_mark(paper: Surface, start: Point, width: float) -> None:
    """Draw the chalk line."""
    paper.line(start, (start[0] + width, start[1]), colour=INK, width=2.2)


def dashes_mark(paper: Surface, start: Point, width: float) -> None:
    """Draw week 1's dashes."""
    paper.line(start, (start[0] + width, start[1]), colour=DIM, width=1.1, dashes=(3.2, 2.2))


def aim_mark(paper: Surface, field: Field, place: int, aim_db: float) -> None:
    """Draw this week's aim: a notch in either edge of the lane."""
    y = field.y(aim_db)
    for edge, way in ((field.x(place, 0.0) + 0.8, 1.0), (field.x(place, 1.0) - 0.8, -1.0)):
        notch(paper, (edge, y), way)


def notch(paper: Surface, edge: Point, way: float) -> None:
    """Draw one notch, its tip pointing right (1) or left (-1)."""
    x, y = edge
    paper.polygon([(x, y - 3.4), (x + way * NOTCH, y), (x, y + 3.4)], fill=BOOST)


def legend(paper: Surface, x: float, y: float, *, has_aims: bool) -> None:
    """Say what the marks are, each beside its words."""
    for draw, width, words in _SIGNS[: None if has_aims else -1]:
        draw(paper, (x, y - 2.7))
        paper.words((x + width + 4.0, y), words, size=SMALL, colour=DIM)
        x += width + 4.0 + width_of(words, size=SMALL) + 15.0


def _sign_blur(paper: Surface, at: Point) -> None:
    for step in range(BLUR_STEPS):
        inset = 4.0 * step / BLUR_STEPS
        ink = FAINTEST + (DENSEST - FAINTEST) * step / BLUR_STEPS
        paper.rect((at[0], at[1] - 4.5 + inset), (16.0, 9.0 - 2 * inset), fill=mixed(ink))
    for y in (at[1] - 4.5, at[1] + 4.5):
        paper.line((at[0], y), (at[0] + 16.0, y), colour=DIM, width=0.7)


def _sign_weeks(paper: Surface, at: Point) -> None:
    points = [(at[0] + 2.0, at[1] - 2.5), (at[0] + 9.0, at[1] + 1.0), (at[0] + 16.0, at[1] + 2.0)]
    for start, end in itertools.pairwise(points):
        paper.line(start, end, colour=DIM, width=0.6)
    for point in points:
        paper.dot(point, 1.5, fill=PAPER, stroke=DIM)


def _sign_aim(paper: Surface, at: Point) -> None:
    notch(paper, (at[0], at[1]), 1.0)
    notch(paper, (at[0] + 16.0, at[1]), -1.0)


_SIGNS = (
    (lambda paper, at: chalk_mark(paper, at, 18.0), 18.0, "now: named right 3 times in 4"),
    (_sign_blur, 16.0, "90 % interval"),
    (lambda paper, at: dashes_mark(paper, at, 18.0), 18.0, "week 1"),
    (_sign_weeks, 18.0, "the weeks, left to right"),
    (_sign_aim, 16.0, "this week’s aim"),
)
