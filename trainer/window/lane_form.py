"""Lanes as an answer form: one an octave band, its upper half more of it, its lower half less."""

from collections.abc import Iterable

from trainer.playback.sdl import pygame
from trainer.practice.values import Value
from trainer.window.canvas import Canvas
from trainer.window.cells import SIGNS, cell, half_cell, ring_group, tone_of
from trainer.window.form import Form
from trainer.window.groups import Group
from trainer.window.lanes import DIGITS, Field, draw_ground, draw_names, names_height
from trainer.window.typeface import SMALL

HASHES = tuple(
    (share, number % 2 == 0)
    for number, share in enumerate((0.155, 0.24, 0.33, 0.41, 0.59, 0.67, 0.76, 0.845))
)


def draw_lanes(canvas: Canvas, body: pygame.Rect, form: Form, group: Group) -> None:
    """Draw a lane for each octave band on offer; the others are bare."""
    field = field_in(canvas, body)
    bare = bare_in(group)
    draw_ground(canvas, field, hashes=HASHES, bare=bare)
    draw_names(canvas, field, digits=DIGITS, bare=bare)
    draw_middle(canvas, field, group)
    for number, column in enumerate(group.columns):
        if column:
            draw_band(canvas, field.lane(number), form, group, column[0])
    draw_half_names(canvas, field, group, form, free=(0,))
    ring_group(canvas, field.rect, form, group)


def field_in(canvas: Canvas, body: pygame.Rect) -> Field:
    """Return where the lanes lie in a room, their names below them."""
    return Field(pygame.Rect(body.left, body.top, body.w, body.h - names_height(canvas, with_digits=True)))


def bare_in(group: Group) -> list[int]:
    """Return the places of the lanes of which nothing is on offer."""
    return [number for number, column in enumerate(group.columns) if not column]


def draw_middle(canvas: Canvas, field: Field, group: Group) -> None:
    """Draw the line between more and less, where there are halves."""
    if group.halves is not None:
        rect, middle = field.rect, max(2, canvas.px(2))
        canvas.bar(pygame.Rect(rect.left, rect.centery - 1, rect.w, middle), canvas.theme.ink)


def draw_band(canvas: Canvas, lane: pygame.Rect, form: Form, group: Group, band: Value) -> None:
    """Draw one band as what it can be picked by: its two halves, or all of it."""
    key, halves = group.key, group.halves
    whole = lane.inflate(-canvas.px(6), -canvas.px(6))
    if halves is None:
        cell(canvas, whole, form, group, {key: band}, "", canvas.theme.ink)
        return
    if form.picks.get(key) == band and halves.key not in form.picks:
        canvas.panel(whole, edge=canvas.theme.ink, width=2.5)
    for place, half in enumerate(halves.options):
        top = lane.top if place == 0 else lane.centery
        rect = pygame.Rect(lane.left, top, lane.w, lane.h // 2).inflate(-canvas.px(7), -canvas.px(9))
        half_cell(canvas, rect, form, group, {key: band, halves.key: half}, place)


def draw_half_names(canvas: Canvas, field: Field, group: Group, form: Form, *, free: Iterable[int]) -> None:
    """Say which half is which, in the first free lane, as long as nothing is picked there."""
    halves, number = group.halves, next(iter(free), None)
    if halves is None or number is None:
        return
    lane = field.lane(number)
    for place, half in enumerate(halves.options):
        is_taken = form.picks.get(group.key) in group.columns[number] and form.picks.get(halves.key) == half
        if is_taken:
            continue
        y = lane.top + canvas.px(16) if place == 0 else lane.bottom - canvas.px(16)
        canvas.sign(SIGNS[place], (lane.left + canvas.px(18), y), 11, tone_of(canvas, place))
        at, room = (lane.left + canvas.px(30), y), lane.w - canvas.px(34)
        canvas.write(halves.label(half), at, SMALL, colour=canvas.theme.dim, anchor="midleft", width=room)
