"""Lanes that open: an octave's lane fans up from its own foot into the bands it holds.

The octaves' names never move. The fan is as wide as the bands need, and is held inside the field at its ends.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from trainer.playback.sdl import pygame
from trainer.practice.fields import BandField
from trainer.practice.values import Simple
from trainer.window.canvas import Canvas
from trainer.window.cells import cell, ring_group, say_half, tone_of
from trainer.window.control import Intent
from trainer.window.form import Form
from trainer.window.groups import Group, whole_lanes_of
from trainer.window.lane_form import (
    HASHES,
    bare_in,
    draw_band,
    draw_half_names,
    draw_middle,
    field_in,
)
from trainer.window.lanes import DIGITS, Field, draw_ground, draw_names, names_height, tinted
from trainer.window.staging import stop_of
from trainer.window.theme import mixed
from trainer.window.typeface import CARD, SMALL

FAN_SHARE = 0.06
"""How much ink covers the fan's ground."""


def draw_fan(canvas: Canvas, body: pygame.Rect, form: Form, group: Group) -> None:
    """Draw the octaves' lanes, and the open one as the bands it holds."""
    field, bands = field_in(canvas, body), group.bands
    if bands is None:
        return
    bare, opened = bare_in(group), form.opened
    draw_ground(canvas, field, hashes=HASHES, bare=bare)
    digits = DIGITS if opened is None else [""] * field.count
    draw_names(canvas, field, digits=digits, bare=bare)
    draw_middle(canvas, field, group)
    covered = _covered(opened, len(whole_lanes_of(bands)[0]), field.count)
    for number in range(field.count):
        if number not in bare:
            _draw_closed(canvas, field, number, form, group, is_covered=number in covered)
    if opened is not None:
        _draw_open(canvas, _fan_over(canvas, field, covered, opened), opened, form, group, bands)
    free = [number for number in (0, field.count - 1) if number not in covered]
    draw_half_names(canvas, field, group, form, free=free)
    ring_group(canvas, field.rect, form, group)


def _covered(opened: int | None, wide: int, count: int) -> range:
    """Return the places of the lanes that the fan covers."""
    if opened is None:
        return range(0)
    first = min(max(opened - wide // 2, 0), count - wide)
    return range(first, first + wide)


def _draw_closed(
    canvas: Canvas, field: Field, number: int, form: Form, group: Group, *, is_covered: bool
) -> None:
    """Draw what a lane shows that is not open, and note it as what opens it (the open one's name closes it)."""
    lane = field.lane(number)
    name = pygame.Rect(lane.left, field.rect.bottom, lane.w, names_height(canvas, with_digits=True))
    band = form.picks.get(group.key)
    if not is_covered and band in group.columns[number]:
        _draw_picked(canvas, lane, form, group)
    key = f"{group.stop} lane {number + 1}"
    rect = name if is_covered else lane.union(name)
    rect = rect.inflate(-canvas.px(4), -canvas.px(2))
    if canvas.hover == key:
        canvas.panel(name.inflate(-canvas.px(4), -canvas.px(2)), edge=canvas.theme.edge)
    intent = Intent("form", ("open lane", group.stop, number))
    canvas.control(
        key, rect, intent, f"lane {number + 1}", stop=stop_of(group.stop), chosen=form.opened == number
    )


def _draw_picked(canvas: Canvas, lane: pygame.Rect, form: Form, group: Group) -> None:
    """Draw the band that is picked in a lane that was closed again."""
    halves, band = group.halves, form.picks[group.key]
    half = form.picks.get(halves.key) if halves is not None else None
    rect = lane.inflate(-canvas.px(7), -canvas.px(9))
    if halves is None or half is None:
        canvas.panel(rect, edge=canvas.theme.ink, width=2.5)
        canvas.write(group.fields[0].label(band), rect.center, CARD, bold=True, anchor="center", width=rect.w)
        return
    place = min(halves.options.index(halves.checked(half)), 1)
    rect = pygame.Rect(
        rect.left, rect.top if place == 0 else lane.centery + canvas.px(5), rect.w, lane.h // 2 - canvas.px(9)
    )
    canvas.panel(rect, fill=tinted(canvas, tone_of(canvas, place)), edge=tone_of(canvas, place), width=3)
    say_half(canvas, rect, group.fields[0].label(band), place)


@dataclass(frozen=True, slots=True)
class Fan:
    """Where the open lane's fan lies: its head with the names and its foot are as high, so that the middle stays."""

    rect: pygame.Rect
    head: int
    lane: pygame.Rect

    @property
    def foot_y(self) -> int:
        """Where it has narrowed to its lane."""
        return self.rect.bottom + self.head

    @property
    def sides(self) -> tuple[list[tuple[int, int]], list[tuple[int, int]]]:
        """The corners of its left side from the top down, and of its right side from the bottom up."""
        left = [self.rect.topleft, self.rect.bottomleft, (self.lane.left, self.foot_y)]
        return left, [(self.lane.right, self.foot_y), self.rect.bottomright, self.rect.topright]

    def thirds(self, count: int) -> Iterator[pygame.Rect]:
        """Yield the places of its bands, below their names."""
        for place in range(count):
            left, right = (self.rect.left + round(at * self.rect.w / count) for at in (place, place + 1))
            yield pygame.Rect(left, self.rect.top + self.head, right - left, self.rect.h - self.head)


def _fan_over(canvas: Canvas, field: Field, covered: range, opened: int) -> Fan:
    head = canvas.line_height(CARD) + canvas.px(8)
    rect = pygame.Rect(field.left(covered.start), field.rect.top, 0, field.rect.h - head)
    rect.w = field.left(covered.stop) - rect.left
    return Fan(rect, head, field.lane(opened))


def _draw_open(canvas: Canvas, fan: Fan, opened: int, form: Form, group: Group, bands: BandField) -> None:
    """Draw the fan: its head with the bands' names, a lane for each, and its foot."""
    left, right = fan.sides
    pygame.draw.polygon(canvas.surface, mixed(canvas.theme.ink, canvas.theme.lane, FAN_SHARE), left + right)
    in_lane = whole_lanes_of(bands)[opened]
    for place, (band, third) in enumerate(zip(in_lane, fan.thirds(len(in_lane)), strict=True)):
        if place:
            foot = (fan.lane.left + round(place * fan.lane.w / len(in_lane)), fan.foot_y)
            line = [third.topleft, third.bottomleft, foot]
            pygame.draw.aalines(canvas.surface, canvas.theme.edge, False, line)
        is_offered = band in bands.options
        name = pygame.Rect(third.left, fan.rect.top, third.w, fan.head)
        _draw_name(canvas, name, bands, band, str(place + 1) if is_offered else "")
        if is_offered:
            _draw_third(canvas, third, form, group, band)
    _draw_lines(canvas, fan, group)


def _draw_lines(canvas: Canvas, fan: Fan, group: Group) -> None:
    """Draw the line below the names, that between more and less, and the two sides; say that the lane is open."""
    theme, rect, thick = canvas.theme, fan.rect, max(2, canvas.px(2))
    canvas.bar(pygame.Rect(rect.left, rect.top + fan.head, rect.w, max(1, canvas.px(1))), theme.line)
    if group.halves is not None:
        middle = rect.top + fan.head + (rect.h - fan.head) // 2
        canvas.bar(pygame.Rect(rect.left, middle - 1, rect.w, thick), theme.ink)
    for side in fan.sides:
        for further in range(thick):  # smooth lines are one pixel wide
            pygame.draw.aalines(canvas.surface, theme.ink, False, [(x - further, y) for x, y in side])
    below = (fan.lane.centerx, fan.foot_y + canvas.px(4) + canvas.line_height(CARD))
    canvas.write("open", below, SMALL, anchor="midtop", width=fan.lane.w)


def _draw_third(canvas: Canvas, third: pygame.Rect, form: Form, group: Group, band: Simple) -> None:
    """Draw one band of the open lane as what it can be picked by."""
    if group.halves is None:
        whole = third.inflate(-canvas.px(8), -canvas.px(8))
        cell(canvas, whole, form, group, {group.key: band}, "", canvas.theme.ink)
    else:
        draw_band(canvas, third, form, group, band)


def _draw_name(canvas: Canvas, room: pygame.Rect, bands: BandField, band: Simple, digit: str) -> None:
    """Write a band's name, shorter where it is narrow, with its digit if there is room; one not on offer dim."""
    is_offered, gap = bool(digit), canvas.px(7)
    ink = canvas.theme.ink if is_offered else canvas.theme.dim
    beside = gap + canvas.width_of(digit, SMALL) if digit else 0
    left = room.w - beside - canvas.px(10)
    wide = {
        words: canvas.width_of(words, CARD, bold=is_offered)
        for words in (bands.label(band), bands.short(band))
    }
    words = next((words for words in wide if wide[words] <= left), "")
    if not words:
        words, beside, left = bands.short(band), 0, room.w - canvas.px(6)
    start = room.centerx - (min(wide[words], left) + beside) // 2
    said = canvas.write(
        words, (start, room.centery), CARD, colour=ink, bold=is_offered, anchor="midleft", width=left
    )
    if beside:
        at = (said.right + gap, room.centery)
        canvas.write(digit, at, SMALL, colour=canvas.theme.dim, anchor="midleft")
