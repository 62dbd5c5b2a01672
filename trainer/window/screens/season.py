"""The season: its weeks as the lines of a field from pre-season to finals, and this week's aims in the ten lanes."""

from collections.abc import Sequence
from datetime import date

from trainer.playback.sdl import pygame
from trainer.progress.ear_words import size_words, to_go_words
from trainer.progress.figures.reaching import Standing, standing_of
from trainer.progress.figures.smallest_changes import SmallestChange
from trainer.season.pages import Aim
from trainer.season.plan import WEEK_DAYS, SeasonPlan
from trainer.season.plan_words import season_words
from trainer.window.canvas import Canvas
from trainer.window.chalk import SCALE_DB, draw_marks, height_of, scale_words
from trainer.window.lanes import Field, draw_ground, draw_names, draw_scale, names_height
from trainer.window.season_desk import SeasonSight
from trainer.window.session import Session
from trainer.window.theme import Colour
from trainer.window.typeface import BODY, CARD, HEADING, SMALL

FIELD_HEIGHT = 148
LOOKING = "Looking up the season …"
NO_PLAN = "No season plan yet."
HOW = (
    "Staff make one in a terminal: yardline season new. This page then says which week it is, which show "
    "comes next, and what to aim for in each octave band."
)
LEGEND = (
    "chalk line: the smallest change you name · blur: its 90 % interval · double line: this week's aim · %: the chance "
    "that you are there"
)
LEGEND_SHORT = "chalk: what you name · double line: this week's aim · %: chance to be there"
WORDS: dict[Standing, str] = {"on track": "on track", "behind": "behind", "too close to tell": "too close"}
HASH = 8
TODAY = "today"
SURE = 0.99
FEWEST_LANE = 60
"""A season's week is at least so wide where its number stands, in logical pixels at 100 %."""


def draw(canvas: Canvas, body: pygame.Rect, session: Session) -> None:
    """Draw the page's body."""
    sight = session.season
    if sight is None or sight.plan is None:
        words = LOOKING if sight is None else NO_PLAN
        y = canvas.paragraph(words, body, HEADING, bold=sight is not None)
        if sight is not None:
            room = pygame.Rect(body.left, y + canvas.px(6), min(body.w, canvas.px(900)), body.bottom - y)
            y = canvas.paragraph(HOW, room, CARD, colour=canvas.theme.dim) + canvas.px(16)
        bottom = body.bottom - names_height(canvas, with_digits=False)
        empty = Field(pygame.Rect(body.left, y, body.w, bottom - y))
        draw_ground(canvas, empty)
        draw_names(canvas, empty)
        return
    today = session.now().date()
    y = canvas.paragraph(season_words(sight.plan, today), body, BODY, colour=canvas.theme.dim) + canvas.px(8)
    field = pygame.Rect(body.left, y, body.w, canvas.px(FIELD_HEIGHT))
    _draw_weeks(canvas, field, sight.plan, today)
    y = field.bottom + canvas.px(10)
    rest = pygame.Rect(body.left, y, body.w, body.bottom - y)
    y = canvas.paragraph(sight.words, rest, BODY) + canvas.px(2)
    _draw_lanes(canvas, pygame.Rect(body.left, y, body.w, body.bottom - y), sight)


def _draw_weeks(canvas: Canvas, rect: pygame.Rect, plan: SeasonPlan, today: date) -> None:
    """Draw the field: a line a week with its number, a hash a rehearsal, shows and today with their names."""
    numbers = canvas.line_height(SMALL) + canvas.px(4)
    field = Field(rect, count=plan.weeks)
    draw_ground(canvas, field)
    every = max(1, -(-round(FEWEST_LANE * canvas.unit * canvas.text_scale) * plan.weeks // rect.w))
    now = plan.week_of(today)
    for week in range(1, plan.weeks + 1):
        is_now = week == now
        if is_now or (week % every == 0 and (now is None or abs(week - now) >= every)):
            at = (field.lane(week - 1).centerx, rect.bottom - numbers)
            ink = canvas.theme.ink if is_now else canvas.theme.dim
            canvas.write(str(week), at, SMALL, bold=is_now, colour=ink, anchor="midtop")
    _draw_rehearsals(canvas, field, plan, rect.bottom - numbers)
    marks = [(show.on, show.name, canvas.theme.ink) for show in plan.shows]
    if now is not None:
        marks.insert(0, (today, TODAY, canvas.theme.focus))
    _draw_days(canvas, pygame.Rect(rect.left, rect.top, rect.w, rect.h - numbers), field, plan, marks)


def _draw_rehearsals(canvas: Canvas, field: Field, plan: SeasonPlan, bottom: int) -> None:
    high, thick = canvas.px(HASH), max(1, canvas.px(1.5))
    for number in range((plan.ends_on - plan.starts_on).days + 1):
        if (plan.starts_on.weekday() + number) % WEEK_DAYS in plan.rehearsals:
            x = _x(field, number)
            for top in (field.rect.top + canvas.px(2), bottom - high):
                canvas.bar(pygame.Rect(x, top, thick, high), canvas.theme.line)


def _x(field: Field, day: int) -> int:
    """Return where a day of the season stands: in the middle of its share of its week."""
    return field.rect.left + round((day + 0.5) / WEEK_DAYS * field.rect.w / field.count)


def _draw_days(
    canvas: Canvas,
    rect: pygame.Rect,
    field: Field,
    plan: SeasonPlan,
    marks: Sequence[tuple[date, str, Colour]],
) -> None:
    """Draw days as lines, each with its name where one still finds room beside its line."""
    step = canvas.line_height(SMALL) + canvas.px(2)
    top = rect.top + canvas.px(HASH + 6)
    rows = max(1, (rect.bottom - canvas.px(HASH + 4) - top) // step)
    room = pygame.Rect(rect.left, top, rect.w, rows * step)
    named: list[tuple[pygame.Rect, str, Colour]] = []
    for day, name, ink in marks:
        x, is_today = _x(field, (day - plan.starts_on).days), name == TODAY
        line = pygame.Rect(x, rect.top + canvas.px(4), max(2, canvas.px(3 if is_today else 2)), rect.h)
        canvas.bar(line, ink)
        canvas.sign("down" if is_today else "up", (line.centerx, line.top + canvas.px(5)), 11, ink)
        place = _free_place(canvas, name, line.centerx, room, [taken for taken, _, _ in named])
        if place is not None:
            named.append((place, name, ink))
    for place, name, ink in named:
        canvas.bar(place, canvas.theme.panel, share=0.85)
        canvas.write(name, place.center, SMALL, colour=ink, bold=name == TODAY, anchor="center")


def _free_place(
    canvas: Canvas, name: str, x: int, room: pygame.Rect, taken: list[pygame.Rect]
) -> pygame.Rect | None:
    """Return a place for a name beside its line that nothing else has, or None."""
    step = canvas.line_height(SMALL) + canvas.px(2)
    wide, gap = canvas.width_of(name, SMALL, bold=name == TODAY) + canvas.px(4), canvas.px(5)
    for top in range(room.top, room.bottom - step + 1, step):
        for left in (x + gap, x - gap - wide):
            place = pygame.Rect(left, top, wide, step)
            if room.contains(place) and place.collidelist(taken) < 0:
                return place
    return None


def _draw_lanes(canvas: Canvas, body: pygame.Rect, sight: SeasonSight) -> None:
    """Draw the ten lanes: what the learner names, what is aimed at, and how that stands."""
    legend = LEGEND_SHORT if canvas.has_big_text else LEGEND
    top = canvas.paragraph(legend, body, SMALL, colour=canvas.theme.dim) + canvas.px(6)
    left = body.left + canvas.width_of(scale_words(12.0), SMALL) + canvas.px(10)
    bottom = body.bottom - names_height(canvas, with_digits=False)
    whole = Field(pygame.Rect(left, top, body.right - left, bottom - top))
    draw_ground(canvas, whole)
    foot = 3 * canvas.line_height(SMALL) + canvas.px(6)
    chart = Field(pygame.Rect(left, top, whole.rect.w, whole.rect.h - foot))
    scale_db = SCALE_DB if chart.rect.h > len(SCALE_DB) * canvas.line_height(SMALL) else SCALE_DB[::2]
    draw_scale(canvas, chart, [(height_of(size_db), scale_words(size_db)) for size_db in scale_db])
    draw_names(canvas, whole)
    for number, (change, aim) in enumerate(zip(sight.changes, sight.aims, strict=True)):
        if not change.is_early:
            draw_marks(canvas, chart, number, change)
        _draw_aim(canvas, chart.lane(number), chart.y(height_of(aim.aim_db)))
        _draw_foot(canvas, chart.lane(number), chart.rect.bottom, change, aim)


def _draw_aim(canvas: Canvas, lane: pygame.Rect, y: int) -> None:
    """Draw the double line of an aim across a lane."""
    thick = max(1, canvas.px(1.5))
    for top in (y - canvas.px(3), y + canvas.px(3) - thick):
        canvas.bar(
            pygame.Rect(lane.left + canvas.px(2), top, lane.w - canvas.px(4), thick), canvas.theme.focus
        )


def _draw_foot(canvas: Canvas, lane: pygame.Rect, top: int, change: SmallestChange, aim: Aim) -> None:
    """Write what is named, what is aimed at, and how likely that is reached."""
    theme, step, room = canvas.theme, canvas.line_height(SMALL), lane.w - canvas.px(6)
    is_told = not change.is_early
    standing = standing_of(aim.chance)
    last = f"{WORDS[standing]}, {_chance(aim.chance)}" if is_told else to_go_words(change)
    tone = {"on track": theme.right, "behind": theme.wrong}.get(standing, theme.dim)
    for row, (words, ink, is_bold) in enumerate(
        (
            (size_words(change) if is_told else "too early", theme.ink if is_told else theme.dim, is_told),
            (f"aim {aim.aim_db:.1f}", theme.dim, False),
            (last, tone if is_told else theme.dim, False),
        )
    ):
        at = (lane.centerx, top + canvas.px(3) + row * step)
        canvas.write(words, at, SMALL, colour=ink, bold=is_bold, anchor="midtop", width=room)


def _chance(chance: float) -> str:
    if chance > SURE:
        return f"> {100 * SURE:.0f} %"
    return f"< {100 * (1.0 - SURE):.0f} %" if chance < 1.0 - SURE else f"{100 * chance:.0f} %"
