"""The roster: everybody on it, when they last answered, and their ten lanes with the smallest change they name."""

from datetime import date
from typing import NamedTuple

from trainer.playback.sdl import pygame
from trainer.progress.figures.smallest_changes import LARGEST_DB, SmallestChange
from trainer.window.bands import Bands
from trainer.window.canvas import Canvas
from trainer.window.control import Intent
from trainer.window.lanes import NAMES, Field
from trainer.window.listing import STOP
from trainer.window.roster_desk import Order, RosterDesk, Row
from trainer.window.rows import rows_of
from trainer.window.session import Session
from trainer.window.theme import Colour
from trainer.window.typeface import BODY, CARD, SMALL
from trainer.window.widgets import button_height, progress_bar

ROW_HEIGHT = 40
LEGEND = (
    "The smallest change each one names, in dB, by octave band; a shorter line is a finer ear. Adding and renaming: "
    "yardline roster"
)
NOBODY = "Nobody is on the roster yet. Staff add people in a terminal: yardline roster add"
EARLY = "too early"
CHALK = 3.0


class Column(NamedTuple):
    """A column of words: its title, what a press on that sorts by, and how much of the width it takes."""

    key: str
    title: str
    order: Order | None
    share: float


COLUMNS = (
    Column("name", "name", "name", 0.195),
    Column("role", "role", "role", 0.085),
    Column("section", "section", None, 0.115),
    Column("last", "last answered", None, 0.095),
    Column("answers", "answers", None, 0.06),
)
COLUMNS_BIG = (Column("name", "name", "name", 0.21), Column("answers", "answers", None, 0.09))


def draw(canvas: Canvas, body: pygame.Rect, session: Session) -> None:
    """Draw the page's body."""
    desk = session.roster
    if not desk.rows:
        canvas.paragraph(NOBODY, body, CARD, colour=canvas.theme.dim)
        return
    columns = COLUMNS_BIG if canvas.has_big_text else COLUMNS
    high, foot = button_height(canvas, SMALL), canvas.line_height(SMALL)
    head = pygame.Rect(body.left, body.top, body.w, high)
    lanes = Field(pygame.Rect(body.left + round(sum(one.share for one in columns) * body.w), 0, 0, 0))
    table = pygame.Rect(body.left, head.bottom + canvas.px(4), body.w, 0)
    table.h = body.bottom - foot - canvas.px(8) - table.top
    lanes.rect.update(lanes.rect.left, table.top, body.right - lanes.rect.left, table.h)
    _draw_head(canvas, head, lanes, columns, desk)
    for number, rect in rows_of(
        canvas, table, desk.listing, tallest=canvas.px(ROW_HEIGHT * canvas.text_scale), gap=2
    ):
        _draw_row(canvas, rect, lanes, columns, desk.rows[number], is_chosen=number == desk.listing.at)
    _draw_foot(canvas, pygame.Rect(body.left, body.bottom - foot, body.w, foot), session)


def _draw_head(
    canvas: Canvas, rect: pygame.Rect, lanes: Field, columns: tuple[Column, ...], desk: RosterDesk
) -> None:
    """Draw the titles; a press on one that sorts sorts by it, and the one that does now stands in ink."""
    x = rect.left
    for column in columns:
        place = pygame.Rect(x, rect.top, round(column.share * rect.w), rect.h)
        _draw_title(canvas, place, column.title, column.order, desk, anchor="midleft")
        x = place.right
    for number, name in enumerate(NAMES):
        lane = lanes.lane(number)
        place = pygame.Rect(lane.left, rect.top, lane.w, rect.h)
        _draw_title(canvas, place, name.removesuffix(" Hz"), number, desk, anchor="center")


def _draw_title(
    canvas: Canvas, rect: pygame.Rect, words: str, order: Order | None, desk: RosterDesk, *, anchor: str
) -> None:
    theme, key = canvas.theme, f"sort {order}"
    sorts = order is not None and desk.order == order
    inner = rect.inflate(-canvas.px(6), -canvas.px(4))
    if order is not None:
        canvas.panel(inner, fill=canvas.pressable(key, theme.panel), edge=theme.ink if sorts else theme.line)
        canvas.control(key, inner, Intent("sort", order), f"sort by {words}", chosen=sorts)
    at = inner.center if anchor == "center" else (inner.left + canvas.px(8), inner.centery)
    ink, room = theme.ink if sorts else theme.dim, inner.w - canvas.px(10 if anchor == "center" else 12)
    canvas.write(words, at, SMALL, colour=ink, bold=sorts, anchor=anchor, width=room)


def _draw_row(
    canvas: Canvas,
    rect: pygame.Rect,
    lanes: Field,
    columns: tuple[Column, ...],
    row: Row,
    *,
    is_chosen: bool,
) -> None:
    theme, key = canvas.theme, f"member {row.member.learner}"
    canvas.panel(rect, fill=canvas.pressable(key, theme.panel), radius=3)
    x = rect.left
    for column in columns:
        wide, is_name = round(column.share * rect.w), column.key == "name"
        ink = theme.ink if column.key in ("name", "answers") else theme.dim
        place = pygame.Rect(x + canvas.px(11), rect.top, wide - canvas.px(14), rect.h)
        _draw_words(canvas, place, _words(column, row), BODY if is_name else SMALL, ink, is_bold=is_name)
        x += wide
    is_early = row.figures is not None and all(change.is_early for change in row.figures.changes)
    for number in range(lanes.count):
        lane = lanes.lane(number)
        cell = pygame.Rect(lane.left, rect.top, lane.w, rect.h)
        if number % 2:
            canvas.bar(cell, theme.lane)
        if row.figures is not None and not is_early:
            _draw_cell(canvas, cell, row.figures.changes[number])
    if row.figures is not None and is_early:
        at = (lanes.rect.centerx, rect.centery)
        words = _early_words(row.figures)
        canvas.write(words, at, SMALL, colour=theme.dim, anchor="center", width=lanes.rect.w)
    if is_chosen:
        canvas.panel(rect, edge=theme.focus, radius=3, width=2)
    intent = Intent("choose learner", row.member.learner)
    canvas.control(key, rect, intent, row.member.name, stop=STOP, chosen=is_chosen)


def _draw_words(
    canvas: Canvas, rect: pygame.Rect, words: str, size: float, ink: Colour, *, is_bold: bool
) -> None:
    """Write words in a cell: on one line, or smaller on two."""
    if canvas.width_of(words, size, bold=is_bold) <= rect.w:
        canvas.write(words, rect.midleft, size, colour=ink, bold=is_bold, anchor="midleft")
        return
    high = min(rect.h, canvas.height_of(words, rect.w, SMALL, bold=is_bold))
    lines = pygame.Rect(rect.left, rect.centery - high // 2, rect.w, high)
    canvas.paragraph(words, lines, SMALL, colour=ink, bold=is_bold)


def _draw_cell(canvas: Canvas, cell: pygame.Rect, change: SmallestChange) -> None:
    """Draw T75 as a number and as a chalk line below it, as long as it is large."""
    room = cell.w - canvas.px(6)
    if change.is_early:
        canvas.write(EARLY, cell.center, SMALL, colour=canvas.theme.dim, anchor="center", width=room)
        return
    words = f"> {LARGEST_DB:g}" if change.is_beyond else f"{change.t75_db:.1f}"
    at = (cell.centerx, cell.centery - canvas.px(2))
    canvas.write(words, at, SMALL, anchor="center", width=room)
    line = pygame.Rect(0, 0, round(0.8 * cell.w * min(1.0, change.t75_db / LARGEST_DB)), canvas.px(CHALK))
    line.midbottom = (cell.centerx, cell.bottom - canvas.px(3))
    canvas.bar(line, canvas.theme.ink)


def _early_words(figures: Bands) -> str:
    """Return why no band of somebody can be told of yet."""
    if not figures.answers:
        return "no answers yet"
    missing = min(change.missing for change in figures.changes)
    return f"too early to tell: {missing} more answer{'s' * (missing > 1)} to go"


def _words(column: Column, row: Row) -> str:
    member, figures = row.member, row.figures
    words = {
        "name": member.name,
        "role": member.role,
        "section": member.section,
        "last": _last(figures),
        "answers": f"{figures.answers}" if figures is not None else "",
    }
    return words[column.key]


def _last(figures: Bands | None) -> str:
    if figures is None:
        return ""
    return "never" if figures.last_day is None else day_in_short(figures.last_day)


def day_in_short(day: date) -> str:
    """Return a day as it fits a narrow column."""
    return f"{day.day} {day:%b %Y}"


def _draw_foot(canvas: Canvas, rect: pygame.Rect, session: Session) -> None:
    """Draw how far the figures are read, or what there is to say of whom the keys are on."""
    desk = session.roster
    if desk.read < len(desk.rows):
        words = f"Reading figures: {desk.read} of {len(desk.rows)}"
        said = canvas.write(words, rect.topleft, SMALL, colour=canvas.theme.dim)
        bar = pygame.Rect(said.right + canvas.px(14), 0, 0, max(canvas.px(12), 10))
        bar.w, bar.centery = rect.right - bar.left, rect.centery
        progress_bar(canvas, bar, desk.read / len(desk.rows))
        return
    words = _who(desk.chosen) if canvas.has_big_text and desk.chosen is not None else LEGEND
    archived = f" · {desk.archived} archived not shown" if desk.archived and not canvas.has_big_text else ""
    if canvas.width_of(words + archived, SMALL) > rect.w:
        archived = ""
    canvas.write(words + archived, rect.topleft, SMALL, colour=canvas.theme.dim, width=rect.w)


def _who(row: Row) -> str:
    """Return what narrow columns leave out."""
    last = f"last answered {_last(row.figures)}" if row.figures is not None else ""
    parts = (row.member.role, row.member.section, last, "yardline roster adds and renames")
    return " · ".join(part for part in parts if part)
