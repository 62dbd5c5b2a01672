"""Cells: the options of an answer form as they are drawn, and the ring around the group the keys go to."""

from collections.abc import Mapping

from trainer.playback.sdl import pygame
from trainer.practice.values import Value
from trainer.window.canvas import Canvas
from trainer.window.control import Intent
from trainer.window.form import Form
from trainer.window.groups import Group
from trainer.window.lanes import tinted
from trainer.window.staging import stop_of
from trainer.window.theme import Colour
from trainer.window.typeface import BODY, CARD

SIGNS = ("up", "down")
"""The signs of the first and the second direction."""


def cell(
    canvas: Canvas,
    rect: pygame.Rect,
    form: Form,
    group: Group,
    picks: Mapping[str, Value],
    words: str,
    tone: Colour,
    *,
    sign: str = "",
) -> None:
    """Draw one option of a group: outlined, and when it is chosen filled, framed and ticked."""
    name = f"{group.stop}:{':'.join(map(str, picks.values()))}"
    is_chosen = is_picked(form, picks)
    fill = tinted(canvas, tone) if is_chosen else canvas.pressable(name, canvas.theme.panel)
    canvas.panel(rect, fill=fill, edge=tone if is_chosen else canvas.theme.edge, width=3 if is_chosen else 1)
    room = rect.inflate(-canvas.px(14), -canvas.px(4))
    if sign:
        canvas.sign(sign, (rect.left + canvas.px(22), rect.centery), 18, tone)
        room.left, room.w = rect.left + canvas.px(40), rect.w - canvas.px(48)
    elif is_chosen:
        canvas.sign("right", (rect.right - canvas.px(12), rect.top + canvas.px(11)), 11, tone)
        room.w -= canvas.px(8)
    if words:
        height = canvas.height_of(words, room.w, BODY)
        text = pygame.Rect(room.left, 0, room.w, min(height, room.h))
        text.centery = rect.centery
        text.h = room.bottom - text.top
        is_bold = is_chosen and not _is_too_wide_in_bold(canvas, words, text)
        canvas.paragraph(words, text, BODY, bold=is_bold, anchor="centerx")
    intent = Intent("pick", group.named(picks))
    canvas.control(name, rect, intent, words or name, stop=stop_of(group.stop), chosen=is_chosen)


def _is_too_wide_in_bold(canvas: Canvas, words: str, room: pygame.Rect) -> bool:
    """Return whether words would need a second line in bold where there is room for one."""
    is_one_line = room.h < 2 * canvas.line_height(BODY)
    return is_one_line and canvas.width_of(words, BODY, bold=True) > room.w


def half_cell(
    canvas: Canvas, rect: pygame.Rect, form: Form, group: Group, picks: Mapping[str, Value], place: int
) -> None:
    """Draw a band's upper (``place`` 0) or lower half: empty until it is chosen."""
    halves, tone = group.halves, tone_of(canvas, place)
    name = f"{group.under}{':'.join(map(str, picks.values()))}"
    words = halves.label(halves.options[place]) if halves is not None else ""
    if is_picked(form, picks):
        canvas.panel(rect, fill=tinted(canvas, tone), edge=tone, width=3)
        say_half(canvas, rect, words, place)
    elif canvas.hover == name:
        canvas.panel(rect, edge=tone, width=1.5)
        canvas.sign(SIGNS[place], rect.center, 18, tone)
    canvas.control(
        name,
        rect,
        Intent("pick", group.named(picks)),
        f"{words} {picks[group.key]}",
        stop=stop_of(group.stop),
        chosen=is_picked(form, picks),
    )


def say_half(canvas: Canvas, rect: pygame.Rect, words: str, place: int) -> None:
    """Draw the sign of a direction with its words below it or, where it is too low for both, beside it."""
    tone, offset = tone_of(canvas, place), canvas.type_px(CARD)
    if rect.h < 2 * offset + canvas.px(24):
        left = rect.left + canvas.px(30)
        canvas.sign(SIGNS[place], (rect.left + canvas.px(17), rect.centery), 16, tone)
        at, room = (left, rect.centery), rect.right - left - canvas.px(4)
        canvas.write(words, at, CARD, colour=tone, bold=True, anchor="midleft", width=room)
        return
    canvas.sign(SIGNS[place], (rect.centerx, rect.centery - offset), 24, tone)
    at = (rect.centerx, rect.centery + offset // 2)
    canvas.write(words, at, CARD, colour=tone, bold=True, anchor="center", width=rect.w - canvas.px(8))


def is_picked(form: Form, picks: Mapping[str, Value]) -> bool:
    """Return whether all of some picks are picked."""
    return all(form.picks.get(key) == value for key, value in picks.items())


def tone_of(canvas: Canvas, place: int) -> Colour:
    """Return the color of the first direction, or of another."""
    return canvas.theme.boost if place == 0 else canvas.theme.cut


def ring_group(canvas: Canvas, rect: pygame.Rect, form: Form, group: Group) -> None:
    """Show the keyboard's focus on a group: around all of it."""
    if canvas.focus == stop_of(group.stop) and len(form.groups) > 1:
        canvas.ring(rect)
