"""The learner's lanes: a chalk line at the smallest change named, its interval as blur, week 1 as dashes."""

from collections.abc import Mapping, Sequence

from trainer.playback.sdl import pygame
from trainer.progress.ear_figures import WeekTrend
from trainer.progress.ear_words import range_words, size_words, to_go_words, weeks_shown
from trainer.progress.figures.smallest_changes import LARGEST_DB, SmallestChange
from trainer.progress.improvement_words import improvement_words
from trainer.window.canvas import Canvas
from trainer.window.lanes import (
    Field,
    draw_blur,
    draw_chalk,
    draw_dashes,
    draw_ground,
    draw_names,
    draw_scale,
    names_height,
)
from trainer.window.page import title
from trainer.window.standing import Standing
from trainer.window.typeface import SMALL

SCALE_DB = (0.0, 3.0, 6.0, 9.0, 12.0, LARGEST_DB)
TITLE = "The smallest change you name"
LEGEND = "chalk line: named right 3 times in 4 · blur: its 90 % interval"
DASHES = " · dashes: week 1"
DOTS = " · dots: the weeks, revised as more answers arrive"
HEADROOM = 0.06
"""How much of a lane stays free above the scale: there a sign says that a figure goes on."""
DOTS_SHARE = 0.78


def draw_standing(
    canvas: Canvas, body: pygame.Rect, standing: Standing | None, *, with_weeks: bool = False
) -> None:
    """Draw the ten lanes of a learner with title, legend, scale and names; empty while nothing is known."""
    below = title(canvas, body, TITLE)
    legend = _legend(standing, with_weeks=with_weeks)
    top = canvas.paragraph(legend, below, SMALL, colour=canvas.theme.dim) + canvas.px(8)
    bottom = _draw_change(canvas, body, standing) - names_height(canvas, with_digits=False)
    left = body.left + canvas.width_of(scale_words(12.0), SMALL) + canvas.px(10)
    foot = 2 * canvas.line_height(SMALL) + canvas.px(6)
    whole = Field(pygame.Rect(left, top, body.right - left, bottom - top))
    draw_ground(canvas, whole)
    chart = Field(pygame.Rect(left, top, whole.rect.w, whole.rect.h - foot))
    draw_scale(canvas, chart, [(height_of(size_db), scale_words(size_db)) for size_db in SCALE_DB])
    draw_names(canvas, whole)
    if standing is not None:
        for number, change in enumerate(standing.ear.bands):
            if not change.is_early:
                draw_marks(canvas, chart, number, change, standing.ear.trend if with_weeks else ())
            _draw_foot(canvas, chart.lane(number), chart.rect.bottom, change)


def _draw_change(canvas: Canvas, body: pygame.Rect, standing: Standing | None) -> int:
    """Write what changed since week 1 at the foot of a room; return where that begins."""
    if standing is None or not standing.answers:
        return body.bottom
    words = improvement_words(standing.ear.improvement)
    room = pygame.Rect(body.left, 0, body.w, canvas.height_of(words, body.w, SMALL))
    room.bottom = body.bottom
    canvas.paragraph(words, room, SMALL)
    return room.top - canvas.px(6)


def _legend(standing: Standing | None, *, with_weeks: bool) -> str:
    """Return what the marks mean, of those that there are."""
    told = [change for change in standing.ear.bands if not change.is_early] if standing is not None else []
    has_week_1 = any(change.week_1_db is not None for change in told)
    has_dots = with_weeks and bool(told and standing is not None and standing.ear.trend)
    return LEGEND + DASHES * has_week_1 + DOTS * has_dots


def scale_words(size_db: float) -> str:
    """Return a size as it stands at the scale."""
    return f"{size_db:g} dB"


def height_of(size_db: float) -> float:
    """Return how high a size stands in a lane; all beyond the scale at its top."""
    return min(size_db, LARGEST_DB) / LARGEST_DB * (1.0 - HEADROOM)


def draw_marks(
    canvas: Canvas, chart: Field, number: int, change: SmallestChange, trend: Sequence[WeekTrend] = ()
) -> None:
    """Draw a band's blur, week 1, weeks and chalk line in its lane."""
    lane = chart.lane(number)
    low, high = change.interval.low, change.interval.high
    top, middle, bottom = (chart.y(height_of(size_db)) for size_db in (high, change.t75_db, low))
    if low < LARGEST_DB:
        draw_blur(canvas, lane, top, middle, bottom)
    if high > LARGEST_DB:
        canvas.sign("up", (lane.centerx, (chart.rect.top + top) // 2), 11, canvas.theme.ink)
    if change.week_1_db is not None and change.week_1_db <= LARGEST_DB:
        draw_dashes(canvas, lane, chart.y(height_of(change.week_1_db)))
    _draw_weeks(canvas, chart, lane, {week.week: week.t75_db[number] for week in trend})
    if not change.is_beyond:
        draw_chalk(canvas, lane, middle)


def _draw_weeks(canvas: Canvas, chart: Field, lane: pygame.Rect, sizes_db: Mapping[int, float]) -> None:
    for week in weeks_shown(list(sizes_db)):
        x = lane.centerx + DOTS_SHARE * lane.w * ((week - 0.5) / max(sizes_db) - 0.5)
        at = (round(x), chart.y(height_of(sizes_db[week])))
        if sizes_db[week] <= LARGEST_DB:
            canvas.sign("dot", at, 7, canvas.theme.dim)
            canvas.sign("dot", at, 4, canvas.theme.panel)


def _draw_foot(canvas: Canvas, lane: pygame.Rect, top: int, change: SmallestChange) -> None:
    room, y = lane.w - canvas.px(6), top + canvas.px(3)
    is_known = not change.is_early
    figure = size_words(change) if is_known else "too early"
    basis = range_words(change, unit="") if is_known else to_go_words(change)
    ink = canvas.theme.ink if is_known else canvas.theme.dim
    canvas.write(figure, (lane.centerx, y), SMALL, bold=is_known, colour=ink, anchor="midtop", width=room)
    below = (lane.centerx, y + canvas.line_height(SMALL))
    canvas.write(basis, below, SMALL, colour=canvas.theme.dim, anchor="midtop", width=room)


def draw_fortnight(canvas: Canvas, rect: pygame.Rect, days: list[tuple[str, bool]]) -> None:
    """Draw days as cells, a tick in those with answers, their letters below."""
    gap = canvas.px(4)
    wide = min(canvas.px(22), (rect.w - gap * (len(days) - 1)) // len(days))
    high = min(canvas.px(30), max(wide, rect.h - canvas.line_height(SMALL)))
    for number, (letter, is_done) in enumerate(days):
        cell = pygame.Rect(rect.left + number * (wide + gap), rect.top, wide, high)
        canvas.panel(cell, fill=canvas.theme.right if is_done else None, edge=canvas.theme.line, radius=4)
        if is_done:
            canvas.sign("right", cell.center, 12, canvas.theme.panel)
        at = (cell.centerx, cell.bottom + canvas.px(2))
        canvas.write(letter, at, SMALL, colour=canvas.theme.dim, anchor="midtop", width=wide + gap)
