"""A sheet as an answer form: the rows the learner has written, and below them what the open row is filled in with."""

from collections.abc import Callable

from trainer.playback.sdl import pygame
from trainer.practice.fields import DirectionField, OptionField
from trainer.practice.list_field import ListField
from trainer.window.canvas import Canvas
from trainer.window.cells import SIGNS, tone_of
from trainer.window.control import Intent
from trainer.window.form import Form
from trainer.window.groups import Group
from trainer.window.sheet import Sheet
from trainer.window.typeface import BODY, CARD, SMALL

FEW_ROWS, MANY_ROWS = 1, 4
"""Up to so many rows stand in one column, up to so many in two; more stand in three."""
EMPTY = "Leave it empty if you hear nothing."
ADD = "Add a row"
DrawForm = Callable[[Canvas, pygame.Rect, Form], None]


def draw_sheet(canvas: Canvas, body: pygame.Rect, form: Form, group: Group, draw_form: DrawForm) -> None:
    """Draw the rows of a list, and the form of the open one below."""
    sheet = form.sheets[group.key]
    most, gap = sheet.listed.most, canvas.px(8)
    beside = 1 if most <= FEW_ROWS else 2 if most <= MANY_ROWS else 3
    high = max(canvas.px(36), canvas.line_height(BODY) + canvas.px(14))
    width = (body.w - gap * (beside - 1)) // beside
    for place in range(most):
        line, column = divmod(place, beside)
        rect = pygame.Rect(body.left + column * (width + gap), body.top + line * (high + gap), width, high)
        _draw_place(canvas, rect, sheet, place)
    top = body.top + -(-most // beside) * (high + gap) + canvas.px(4)
    draw_form(canvas, pygame.Rect(body.left, top, body.w, body.bottom - top), sheet.row)


def _draw_place(canvas: Canvas, rect: pygame.Rect, sheet: Sheet[Form], place: int) -> None:
    """Draw a row; after the last, where the next can be added; further on, a bare line."""
    if place < len(sheet.rows):
        _draw_row(canvas, rect, sheet, place)
        return
    canvas.panel(rect, edge=canvas.theme.line)
    if place == len(sheet.rows) and sheet.has_room:
        _number(canvas, rect, place)
        _note(canvas, rect, ADD)
        _opens(canvas, rect, sheet.listed, place, is_open=False, words=ADD)


def _draw_row(canvas: Canvas, rect: pygame.Rect, sheet: Sheet[Form], place: int) -> None:
    theme, row, is_open = canvas.theme, sheet.rows[place], place == sheet.at
    name = _name(sheet.listed, place)
    fill = theme.lane if is_open else canvas.pressable(name, theme.panel)
    canvas.panel(rect, fill=fill, edge=theme.ink if is_open else theme.edge, width=2.5 if is_open else 1)
    _number(canvas, rect, place)
    wide = max(canvas.px(32), canvas.type_px(BODY) + canvas.px(14))
    press = pygame.Rect(rect.left, rect.top, rect.w - wide, rect.h)
    words = ", ".join(_said(one, row) for one in sheet.listed.of)
    if row.picks or not is_open:
        left = rect.left + _number_width(canvas)
        cell = (press.right - left) // len(sheet.listed.of)
        for number, one in enumerate(sheet.listed.of):
            _draw_cell(canvas, pygame.Rect(left + number * cell, rect.top, cell, rect.h), one, row)
        _draw_remove(canvas, pygame.Rect(press.right, rect.top, wide, rect.h), sheet.listed, place)
    else:
        _note(canvas, press, EMPTY)
    _opens(canvas, press, sheet.listed, place, is_open=is_open, words=words)


def _draw_cell(canvas: Canvas, rect: pygame.Rect, one: OptionField, row: Form) -> None:
    """Draw what is picked in a column, or its name."""
    now = row.picks.get(one.key)
    left, ink = rect.left, canvas.theme.dim if now is None else canvas.theme.ink
    if isinstance(one, DirectionField) and now is not None:
        place = min(one.options.index(one.checked(now)), 1)
        ink = tone_of(canvas, place)
        canvas.sign(SIGNS[place], (left + canvas.px(8), rect.centery), 14, ink)
        left += canvas.px(22)
    room = rect.right - left - canvas.px(8)
    canvas.write(
        _said(one, row), (left, rect.centery), BODY, colour=ink, bold=now is not None, anchor="midleft",
        width=room,
    )  # fmt: skip


def _said(one: OptionField, row: Form) -> str:
    now = row.picks.get(one.key)
    return one.title if now is None else one.label(now)


def _draw_remove(canvas: Canvas, rect: pygame.Rect, listed: ListField, place: int) -> None:
    name = f"{_name(listed, place)} remove"
    ink = canvas.theme.ink if canvas.hover == name else canvas.theme.dim
    canvas.sign("wrong", rect.center, 12, ink)
    intent = Intent("form", ("remove row", listed.key, place))
    canvas.control(name, rect, intent, f"remove row {place + 1}", stop=f"rows of {listed.key}")


def _opens(
    canvas: Canvas, rect: pygame.Rect, listed: ListField, place: int, *, is_open: bool, words: str
) -> None:
    """Note a row as what opens it; the keyboard goes from row to row by keys of its own."""
    intent = Intent("form", ("open row", listed.key, place))
    canvas.control(_name(listed, place), rect, intent, words, stop=f"rows of {listed.key}", chosen=is_open)


def _name(listed: ListField, place: int) -> str:
    return f"{listed.key} row {place + 1}"


def _number_width(canvas: Canvas) -> int:
    return canvas.px(20) + canvas.width_of("0", CARD, bold=True)


def _number(canvas: Canvas, rect: pygame.Rect, place: int) -> None:
    at = (rect.left + canvas.px(10), rect.centery)
    canvas.write(str(place + 1), at, CARD, bold=True, anchor="midleft")


def _note(canvas: Canvas, rect: pygame.Rect, words: str) -> None:
    left = rect.left + _number_width(canvas)
    room = rect.right - left - canvas.px(8)
    canvas.write(words, (left, rect.centery), SMALL, colour=canvas.theme.dim, anchor="midleft", width=room)
