"""The answer form on a page: lanes for a band, columns for sections and stems, a sheet for a list, else rows."""

from trainer.ensemble.parts import PART_BY_KEY, SECTION_BY_KEY
from trainer.playback.sdl import pygame
from trainer.practice.fields import AmountField, DirectionField, OptionField, WhichField
from trainer.practice.values import Simple
from trainer.window.canvas import Canvas
from trainer.window.cells import SIGNS, cell, ring_group, tone_of
from trainer.window.fan_form import draw_fan
from trainer.window.form import Form
from trainer.window.groups import Group, Kind
from trainer.window.lane_form import draw_lanes
from trainer.window.lanes import Field as Ground
from trainer.window.page import columns
from trainer.window.sheet_form import draw_sheet
from trainer.window.slider_form import draw_slider
from trainer.window.typeface import BODY, SMALL

COLUMNS_SHARE = 0.64
WIDE = (Kind.LANES, Kind.FAN, Kind.COLUMNS, Kind.SHEET)
"""What takes the left of a page, or all of it; everything else stands in rows."""
ELSEWHERE = "The window has no form for this. It can be answered in the terminal: yardline drill --text"


def draw_form(canvas: Canvas, body: pygame.Rect, form: Form) -> None:
    """Draw all groups: the first at the left where it is wide, the rows beside it or below each other."""
    first, rest = form.groups[0], form.groups[1:]
    if first.kind not in WIDE:
        _draw_rows(canvas, body, form, form.groups)
    elif not rest:
        _draw_group(canvas, body, form, first)
    else:
        left, right = columns(canvas, body, COLUMNS_SHARE)
        _draw_group(canvas, left, form, first)
        _draw_rows(canvas, right, form, rest)


def _draw_group(canvas: Canvas, body: pygame.Rect, form: Form, group: Group) -> None:
    if group.kind is Kind.SHEET:
        draw_sheet(canvas, body, form, group, draw_form)
    else:
        _DRAWN[group.kind](canvas, body, form, group)


def _draw_columns(canvas: Canvas, body: pygame.Rect, form: Form, group: Group) -> None:
    one, stacks = group.fields[0], group.columns
    if not isinstance(one, WhichField):
        return
    heads = any(value not in SECTION_BY_KEY for value in one.options)
    high = 2 * canvas.line_height(SMALL) + canvas.px(6) if heads else canvas.px(10)
    canvas.panel(body, fill=canvas.theme.panel, edge=canvas.theme.line)
    ground = Ground(body, count=len(stacks))
    rows = max(len(stack) for stack in stacks)
    for number, stack in enumerate(stacks):
        lane = ground.lane(number)
        if number % 2:
            canvas.bar(lane.inflate(0, -2 * canvas.px(8)), canvas.theme.lane)
        if heads:
            title = f"{number + 1} · {_section_title(stack[0])}"
            room = pygame.Rect(
                lane.left + canvas.px(8), lane.top + canvas.px(5), lane.w - canvas.px(12), high
            )
            canvas.paragraph(title, room, SMALL, colour=canvas.theme.dim)
        step = min((lane.h - high - canvas.px(8)) / rows, canvas.px(64) if heads else lane.h)
        for row, value in enumerate(stack):
            place = pygame.Rect(lane.left, lane.top + high + round(row * step), lane.w, round(step))
            words = one.label(value) if heads else f"{number + 1} · {one.label(value)}"
            place = place.inflate(-canvas.px(8), -canvas.px(5))
            cell(canvas, place, form, group, {one.key: value}, words, canvas.theme.ink)
    ring_group(canvas, body, form, group)


def _section_title(value: Simple) -> str:
    part = PART_BY_KEY.get(str(value))
    return SECTION_BY_KEY[part.section].title if part else "others"


def _draw_rows(canvas: Canvas, body: pygame.Rect, form: Form, groups: tuple[Group, ...]) -> None:
    gap = canvas.px(10)
    height = (body.h - gap * (len(groups) - 1)) // len(groups)
    for number, group in enumerate(groups):
        rect = pygame.Rect(body.left, body.top + number * (height + gap), body.w, height)
        _draw_group(canvas, rect, form, group)


def _draw_row(canvas: Canvas, rect: pygame.Rect, form: Form, group: Group) -> None:
    one = group.fields[0]
    if not isinstance(one, OptionField):
        return
    canvas.panel(rect, fill=canvas.theme.panel, edge=canvas.theme.line)
    title = (rect.left + canvas.px(14), rect.top + canvas.px(7))
    unit = f", {one.unit}" if isinstance(one, AmountField) and not one.words else ""
    canvas.write(one.title + unit, title, SMALL, colour=canvas.theme.dim, width=rect.w - canvas.px(28))
    top = rect.top + canvas.px(9) + canvas.line_height(SMALL)
    room = pygame.Rect(
        rect.left + canvas.px(10), top, rect.w - canvas.px(20), rect.bottom - top - canvas.px(9)
    )
    width = room.w / len(one.options)
    for number, value in enumerate(one.options):
        place = pygame.Rect(room.left + round(number * width), room.top, round(width), room.h)
        place = place.inflate(-canvas.px(6), 0)
        is_way = isinstance(one, DirectionField)
        tone = tone_of(canvas, number) if is_way else canvas.theme.ink
        sign = SIGNS[min(number, 1)] if is_way else ""
        cell(canvas, place, form, group, {one.key: value}, one.label(value), tone, sign=sign)
    ring_group(canvas, rect, form, group)


def _draw_elsewhere(canvas: Canvas, rect: pygame.Rect, form: Form, group: Group) -> None:
    """Say where a field is answered that the window has no form for."""
    canvas.panel(rect, fill=canvas.theme.panel, edge=canvas.theme.line)
    room = rect.inflate(-2 * canvas.px(14), -2 * canvas.px(7))
    canvas.paragraph(f"{group.fields[0].title}: {ELSEWHERE}", room, BODY)
    ring_group(canvas, rect, form, group)


_DRAWN = {
    Kind.LANES: draw_lanes,
    Kind.FAN: draw_fan,
    Kind.COLUMNS: _draw_columns,
    Kind.ROW: _draw_row,
    Kind.SLIDER: draw_slider,
    Kind.ELSEWHERE: _draw_elsewhere,
}
