"""Widgets: buttons, choices, cards, key caps; each draws itself and notes what it asks for."""

from collections.abc import Sequence
from dataclasses import dataclass

from trainer.playback.sdl import pygame
from trainer.window.canvas import Canvas
from trainer.window.control import Intent
from trainer.window.theme import mixed
from trainer.window.typeface import BODY, CARD, HEADING, SMALL

PADDING = 20


def button(
    canvas: Canvas,
    rect: pygame.Rect,
    words: str,
    intent: Intent,
    *,
    key: str = "",
    cap: str = "",
    is_first: bool = False,
    size: float = BODY,
) -> None:
    """Draw a button; the page's first one is filled, and ``cap`` names the key that does the same."""
    key = key or words
    theme = canvas.theme
    fill = canvas.pressable(key, theme.ink if is_first else theme.panel)
    fill = mixed(theme.panel, theme.ink, 0.15) if is_first and canvas.hover == key else fill
    canvas.panel(rect, fill=fill, edge=None if is_first else theme.edge, width=1.5)
    ink = theme.panel if is_first else theme.ink
    room = rect.w - canvas.px(24)
    if cap:
        room -= canvas.width_of(cap, SMALL) + canvas.px(12)
        place = (rect.right - canvas.px(12), rect.centery)
        canvas.write(cap, place, SMALL, colour=ink if is_first else theme.dim, anchor="midright")
        place = (rect.left + canvas.px(14), rect.centery)
        canvas.write(words, place, size, colour=ink, bold=True, anchor="midleft", width=room)
    else:
        canvas.write(words, rect.center, size, colour=ink, bold=True, anchor="center", width=room)
    canvas.control(key, rect, intent, words, chosen=is_first)


@dataclass(frozen=True, slots=True)
class Option:
    """One of a few to choose from."""

    key: str
    words: str
    intent: Intent
    is_chosen: bool


def options(canvas: Canvas, rect: pygame.Rect, choices: Sequence[Option], *, stop: str = "") -> None:
    """Draw options side by side; the chosen one is filled and ticked."""
    gap = canvas.px(8)
    width = (rect.w - gap * (len(choices) - 1)) // len(choices)
    for number, choice in enumerate(choices):
        place = pygame.Rect(rect.left + number * (width + gap), rect.top, width, rect.h)
        option(canvas, place, choice, stop=stop)


def option(canvas: Canvas, rect: pygame.Rect, choice: Option, *, stop: str = "") -> None:
    """Draw one option."""
    theme = canvas.theme
    fill = theme.ink if choice.is_chosen else canvas.pressable(choice.key, theme.panel)
    canvas.panel(rect, fill=fill, edge=None if choice.is_chosen else theme.edge)
    ink = theme.panel if choice.is_chosen else theme.ink
    tick = canvas.px(14) if choice.is_chosen else 0
    room = rect.w - canvas.px(20) - tick
    if canvas.width_of(choice.words, BODY) <= room or " " not in choice.words:
        place = (rect.centerx + tick // 2 + canvas.px(1), rect.centery)
        left = canvas.write(choice.words, place, BODY, colour=ink, anchor="center", width=room).left
    else:
        height = min(rect.h - 2, canvas.height_of(choice.words, room, BODY))
        lines = pygame.Rect(rect.left + canvas.px(8) + tick, rect.centery - height // 2, room, height)
        canvas.paragraph(choice.words, lines, BODY, colour=ink, anchor="centerx")
        left = lines.left
    if choice.is_chosen:
        canvas.sign("right", (left - canvas.px(9), rect.centery), 11, ink)
    canvas.control(choice.key, rect, choice.intent, choice.words, stop=stop, chosen=choice.is_chosen)


def card(canvas: Canvas, rect: pygame.Rect, title: str, *, size: float = HEADING) -> pygame.Rect:
    """Draw a card with its title; return the room left in it."""
    canvas.panel(rect, fill=canvas.theme.panel, edge=canvas.theme.line)
    inner = rect.inflate(-2 * canvas.px(PADDING), -2 * canvas.px(16))
    if not title:
        return inner
    canvas.write(title, inner.topleft, size, bold=True, width=inner.w)
    below = canvas.line_height(size) + canvas.px(4)
    return pygame.Rect(inner.left, inner.top + below, inner.w, inner.h - below)


def cap_width(canvas: Canvas, cap: str) -> int:
    """Return how wide a key cap is."""
    return canvas.width_of(cap, BODY, bold=True) + canvas.px(18)


def key_cap(canvas: Canvas, cap: str, midleft: tuple[int, int]) -> pygame.Rect:
    """Draw a key cap; return its place."""
    rect = pygame.Rect(0, 0, cap_width(canvas, cap), canvas.type_px(BODY) + canvas.px(12))
    rect.midleft = midleft
    canvas.panel(rect, fill=canvas.theme.ground, edge=canvas.theme.edge, radius=5)
    canvas.write(cap, rect.center, BODY, bold=True, anchor="center")
    return rect


def progress_bar(canvas: Canvas, rect: pygame.Rect, share: float) -> None:
    """Draw a bar filled by ``share``."""
    canvas.panel(rect, fill=canvas.theme.lane, edge=canvas.theme.edge, radius=rect.h / 2 / canvas.unit)
    filled = rect.inflate(-canvas.px(6), -canvas.px(6))
    filled.w = round(filled.w * min(max(share, 0.0), 1.0))
    if filled.w >= filled.h > 0:
        canvas.panel(filled, fill=canvas.theme.ink, radius=filled.h / 2 / canvas.unit)


def button_height(canvas: Canvas, size: float = CARD) -> int:
    """Return how high a button with words of a size is."""
    return max(canvas.px(38), canvas.line_height(size) + canvas.px(12))
