"""A control as an answer form: a sideline with hashes that a mark is moved along, its setting said beside it."""

from trainer.playback.sdl import pygame
from trainer.practice.control_field import ControlField
from trainer.window.canvas import Canvas
from trainer.window.cells import ring_group
from trainer.window.control import Intent
from trainer.window.form import Form
from trainer.window.groups import Group
from trainer.window.moves import moved, start_of
from trainer.window.staging import stop_of
from trainer.window.typeface import BODY, CARD, SMALL

LEAST_PX = 28
"""The least width of a place on the line that can be pressed."""
HASHES = 21
"""How many hashes stand along the line; every fifth is long."""
HIGHEST = 120
"""The greatest height of the line with its buttons, in logical pixels."""
NOT_SET = "not set"


def draw_slider(canvas: Canvas, rect: pygame.Rect, form: Form, group: Group) -> None:
    """Draw a control's line from its lowest to its highest setting, its mark, and two buttons for fine steps."""
    one = group.fields[0]
    if not isinstance(one, ControlField):
        return
    theme, now = canvas.theme, form.picks.get(group.key)
    canvas.panel(rect, fill=theme.panel, edge=theme.line)
    pad, high = canvas.px(14), canvas.line_height(SMALL)
    title = (rect.left + pad, rect.top + canvas.px(7))
    half = rect.w // 2 - pad
    canvas.write(one.title, title, SMALL, colour=theme.dim, width=half)
    words, ink = (NOT_SET, theme.dim) if now is None else (one.label(now), theme.ink)
    at = (rect.right - pad, rect.top + canvas.px(7))
    canvas.write(words, at, CARD, colour=ink, bold=now is not None, anchor="topright", width=half)
    top = rect.top + canvas.px(9) + max(high, canvas.line_height(CARD))
    left = rect.bottom - top - canvas.px(9)
    room = pygame.Rect(rect.left + pad, top, rect.w - 2 * pad, min(left, canvas.px(HIGHEST)))
    room.top += (left - room.h) // 2
    wide = max(canvas.px(44), canvas.line_height(CARD))
    _step_button(canvas, pygame.Rect(room.left, room.top, wide, room.h), form, group, one, -1)
    _step_button(canvas, pygame.Rect(room.right - wide, room.top, wide, room.h), form, group, one, 1)
    _line(canvas, room.inflate(-2 * (wide + canvas.px(10)), 0), form, group, one)
    ring_group(canvas, rect, form, group)


def _step_button(
    canvas: Canvas, rect: pygame.Rect, form: Form, group: Group, one: ControlField, steps: int
) -> None:
    name = f"{group.stop} {'more' if steps > 0 else 'less'}"
    canvas.panel(rect, fill=canvas.pressable(name, canvas.theme.panel), edge=canvas.theme.edge)
    canvas.write("+" if steps > 0 else "−", rect.center, CARD, bold=True, anchor="center")
    wanted = moved(one, form.picks.get(group.key), steps)
    intent = Intent("pick", group.named({group.key: wanted}))
    canvas.control(name, rect, intent, one.label(wanted), stop=stop_of(group.stop))


def _line(canvas: Canvas, rect: pygame.Rect, form: Form, group: Group, one: ControlField) -> None:
    """Draw the line with its hashes, ends and mark, and the places on it that can be pressed."""
    theme, thick = canvas.theme, max(2, canvas.px(2))
    high = canvas.line_height(SMALL)
    y = rect.top + (rect.h - high) // 2
    canvas.bar(pygame.Rect(rect.left, y - thick // 2, rect.w, thick), theme.edge)
    for number in range(HASHES):
        reach = canvas.px(12 if number % 5 == 0 else 7)
        x = rect.left + round(number * (rect.w - thick) / (HASHES - 1))
        canvas.bar(pygame.Rect(x, y - reach, max(1, canvas.px(1.5)), 2 * reach), theme.line)
    for setting, anchor, x in ((one.low, "bottomleft", rect.left), (one.high, "bottomright", rect.right)):
        canvas.write(
            one.label(setting), (x, rect.bottom), SMALL, colour=theme.dim, anchor=anchor, width=rect.w // 2
        )
    _places(canvas, pygame.Rect(rect.left, rect.top, rect.w, rect.h - high), form, group, one)
    now = form.picks.get(group.key)
    setting = start_of(one) if now is None else one.checked(now)
    x = rect.left + round((setting - one.low) / (one.high - one.low) * rect.w)
    mark = pygame.Rect(0, 0, canvas.px(14), min(rect.h - high, canvas.px(44)))
    mark.center = (x, y)
    if now is None:
        canvas.panel(mark, fill=theme.panel, edge=theme.edge, width=2)
    else:
        canvas.panel(mark, fill=theme.ink)


def _places(canvas: Canvas, rect: pygame.Rect, form: Form, group: Group, one: ControlField) -> None:
    """Note places along the line, none narrower than a finger or a setting."""
    settings = round((one.high - one.low) / one.step) + 1
    count = max(2, min(settings, rect.w // canvas.px(LEAST_PX)))
    for number in range(count):
        left, right = (rect.left + round(at * rect.w / count) for at in (number, number + 1))
        place = pygame.Rect(left, rect.top, right - left, rect.h)
        setting = one.checked(one.low + (one.high - one.low) * number / (count - 1))
        name = f"{group.stop}:{setting:g}"
        if canvas.hover == name:
            canvas.write(one.label(setting), place.midtop, BODY, colour=canvas.theme.dim, anchor="midtop")
        intent = Intent("pick", group.named({group.key: setting}))
        is_chosen = form.picks.get(group.key) == setting
        canvas.control(name, place, intent, one.label(setting), stop=stop_of(group.stop), chosen=is_chosen)
