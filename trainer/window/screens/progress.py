"""Progress: the lanes over the season, what was said for what, and what stands out in plain words."""

from datetime import date

from trainer.playback.sdl import pygame
from trainer.practice.band_scale import band_label
from trainer.progress.figures import Confusions
from trainer.window.canvas import Canvas
from trainer.window.chalk import draw_standing
from trainer.window.lanes import NAMES
from trainer.window.page import GAP, columns, title
from trainer.window.session import Session
from trainer.window.standing import Standing
from trainer.window.theme import FULLEST, mixed
from trainer.window.typeface import BODY, SMALL

LANES_SHARE = 0.58
FAINT_SHARES_UP = 0.6
NOTHING = "No answers yet. Drill a block, and the lanes begin to fill."
NOTHING_STANDS_OUT = (
    "Nothing stands out so far: no leaning towards boost or cut, or towards high or low, can be told."
)


def draw(canvas: Canvas, body: pygame.Rect, session: Session) -> None:
    """Draw the page's body."""
    left, right = columns(canvas, body, LANES_SHARE)
    standing = session.standing
    draw_standing(canvas, left, standing, with_weeks=True)
    if standing is None:
        return
    words = _words(standing)
    needed = min(right.h // 2, canvas.height_of(words, right.w, BODY) + canvas.px(4))
    room = pygame.Rect(right.left, right.bottom - needed, right.w, needed)
    canvas.paragraph(words, room, BODY)
    above = pygame.Rect(right.left, right.top, right.w, room.top - right.top - canvas.px(GAP))
    _draw_confusions(canvas, above, standing.confusions)


def _words(standing: Standing) -> str:
    if not standing.answers:
        return NOTHING
    said = [f"{standing.answers:.0f} answers{_since(standing.first_day)}."]
    known = [change for change in standing.ear.bands if not change.is_early]
    if len(known) > 1:
        best = min(known, key=lambda change: change.t75_db)
        worst = max(known, key=lambda change: change.t75_db)
        said.append(f"Smallest at {band_label(best.band_hz)}, largest at {band_label(worst.band_hz)}.")
    return " ".join([*said, *(standing.remarks or [NOTHING_STANDS_OUT])])


def _since(day: date | None) -> str:
    return f" since {day.day} {day:%B %Y}" if day else ""


def _draw_confusions(canvas: Canvas, body: pygame.Rect, confusions: Confusions) -> None:
    """Draw a row for what it was and a column for what was said; the more of a row, the more chalk."""
    below = title(canvas, body, "What you said for what it was")
    legend = "rows: what it was · columns: what you said · of late · framed: right"
    top = canvas.paragraph(legend, below, SMALL, colour=canvas.theme.dim) + canvas.px(6)
    names = [name.removesuffix(" Hz") for name in NAMES]
    label = max(canvas.width_of(name, SMALL) for name in names) + canvas.px(8)
    head = canvas.line_height(SMALL)
    count = len(names)
    wide = (body.w - label) / count
    high = min(wide, (body.bottom - top - head) / count)
    for place, name in enumerate(names):
        x = body.left + label + round((place + 0.5) * wide)
        y = top + head + round((place + 0.5) * high)
        canvas.write(
            name, (x, top), SMALL, colour=canvas.theme.dim, anchor="midtop", width=round(wide) - canvas.px(2)
        )
        at = (body.left + label - canvas.px(8), y)
        canvas.write(name, at, SMALL, colour=canvas.theme.dim, anchor="midright", width=label)
    for row in range(count):
        for column in range(count):
            x, y = body.left + label + round(column * wide), top + head + round(row * high)
            cell = pygame.Rect(x, y, round((column + 1) * wide) - round(column * wide), 0)
            cell.h = round((row + 1) * high) - round(row * high)
            _draw_cell(canvas, cell, confusions, row, column)


def _draw_cell(canvas: Canvas, cell: pygame.Rect, confusions: Confusions, row: int, column: int) -> None:
    theme = canvas.theme
    share = confusions.shares[row][column]
    ground = theme.lane if column % 2 else theme.panel
    canvas.bar(cell, mixed(theme.ink, ground, FULLEST * share**FAINT_SHARES_UP) if share else ground)
    if row == column:
        canvas.panel(cell.inflate(-2, -2), edge=theme.ink, radius=3, width=1.5)
    count = confusions.counts[row][column]
    if count:
        room = cell.w - canvas.px(4)
        canvas.write(str(count), cell.center, SMALL, anchor="center", width=room)
