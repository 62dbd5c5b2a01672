"""The learner's lanes: a chalk line for how much is named right, its interval as blur, week 1 as dashes."""

from trainer.playback.sdl import pygame
from trainer.progress.figures import BandFigure, WeekFigures
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
from trainer.window.standing import Standing, percent
from trainer.window.typeface import SMALL

SCALE = ((0.0, "0 %"), (0.25, "25 %"), (0.5, "50 %"), (0.75, "75 %"), (1.0, "100 %"))
TITLE = "Named right, by octave band"
LEGEND = "chalk line: share named right · blur: its 90 % interval · dashes: week 1"
LEGEND_WITH_DOTS = f"{LEGEND} · dots: the weeks since"
HEADROOM = 0.06
"""How much of a lane stays free above 100 %."""


def draw_standing(
    canvas: Canvas, body: pygame.Rect, standing: Standing | None, *, with_weeks: bool = False
) -> None:
    """Draw the ten lanes of a learner with title, legend, scale and names; empty while nothing is known."""
    below = title(canvas, body, TITLE)
    legend = LEGEND_WITH_DOTS if with_weeks else LEGEND
    top = canvas.paragraph(legend, below, SMALL, colour=canvas.theme.dim) + canvas.px(8)
    left = body.left + canvas.width_of("100 %", SMALL) + canvas.px(10)
    foot = 2 * canvas.line_height(SMALL) + canvas.px(6)
    height = body.bottom - top - names_height(canvas, with_digits=False)
    whole = Field(pygame.Rect(left, top, body.right - left, height))
    draw_ground(canvas, whole)
    chart = Field(pygame.Rect(left, top, whole.rect.w, height - foot))
    draw_scale(canvas, chart, [(_height(share), words) for share, words in SCALE])
    draw_names(canvas, whole)
    if standing is not None:
        for number, figure in enumerate(standing.bands):
            _draw_lane(canvas, chart, number, figure, standing.weeks, with_weeks=with_weeks)


def _height(share: float) -> float:
    return share * (1.0 - HEADROOM)


def _draw_lane(
    canvas: Canvas,
    chart: Field,
    number: int,
    figure: BandFigure,
    weeks: tuple[WeekFigures, ...],
    *,
    with_weeks: bool,
) -> None:
    lane = chart.lane(number)
    history = [(week.week, week.bands[number].accuracy) for week in weeks]
    known = [(week, accuracy) for week, accuracy in history if accuracy is not None]
    last = max((week for week, _ in history), default=1)
    if figure.accuracy is not None and figure.interval is not None:
        top, middle, bottom = (
            chart.y(_height(share)) for share in (figure.interval.high, figure.accuracy, figure.interval.low)
        )
        draw_blur(canvas, lane, top, middle, bottom)
    if last > 1 and known and known[0][0] == 1:
        draw_dashes(canvas, lane, chart.y(_height(known[0][1])))
    if with_weeks:
        _draw_weeks(canvas, chart, lane, [one for one in known if one[0] > 1], last)
    if figure.accuracy is not None:
        draw_chalk(canvas, lane, chart.y(_height(figure.accuracy)))
    _draw_foot(canvas, lane, chart.rect.bottom, figure)


def _draw_weeks(
    canvas: Canvas, chart: Field, lane: pygame.Rect, known: list[tuple[int, float]], last: int
) -> None:
    room = 0.78 * lane.w
    for week, accuracy in known:
        x = lane.centerx - room / 2 + room * (week - 0.5) / last
        at = (round(x), chart.y(_height(accuracy)))
        canvas.sign("dot", at, 7, canvas.theme.dim)
        canvas.sign("dot", at, 4, canvas.theme.panel)


def _draw_foot(canvas: Canvas, lane: pygame.Rect, top: int, figure: BandFigure) -> None:
    room, y = lane.w - canvas.px(6), top + canvas.px(3)
    is_known = figure.accuracy is not None
    share = percent(figure.accuracy) if figure.accuracy is not None else "too few"
    basis = f"{figure.right:.0f} of {figure.asked:.0f}" if is_known else f"{figure.missing} to go"
    if canvas.has_big_text:
        basis = basis.replace(" of ", "/").replace(" to go", "")
    ink = canvas.theme.ink if is_known else canvas.theme.dim
    canvas.write(share, (lane.centerx, y), SMALL, bold=is_known, colour=ink, anchor="midtop", width=room)
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
