"""Rows: where those of a listing stand on a page, and what turns the pages."""

from trainer.playback.sdl import pygame
from trainer.window.canvas import Canvas
from trainer.window.control import Intent
from trainer.window.listing import Listing
from trainer.window.typeface import BODY, SMALL
from trainer.window.widgets import button, button_height

GAP = 6
TURNER_WIDTH = 64


def rows_of(
    canvas: Canvas, body: pygame.Rect, listing: Listing, *, tallest: int, gap: float = GAP
) -> list[tuple[int, pygame.Rect]]:
    """Return the rows of the present page and their places, and draw below them what turns the pages."""
    space = canvas.px(gap)
    room = body.copy()
    if listing.pages(canvas.text_scale) > 1:
        room.h -= button_height(canvas, BODY) + canvas.px(8)
        _draw_turner(canvas, pygame.Rect(body.left, room.bottom, body.w, body.bottom - room.bottom), listing)
    full = min(listing.length.at(canvas.text_scale), max(listing.count, 1))
    high = min(tallest, (room.h + space) // full - space)
    return [
        (number, pygame.Rect(room.left, room.top + place * (high + space), room.w, high))
        for place, number in enumerate(listing.shown(canvas.text_scale))
    ]


def _draw_turner(canvas: Canvas, rect: pygame.Rect, listing: Listing) -> None:
    """Draw two buttons and the number of the page."""
    high, wide = button_height(canvas, BODY), canvas.px(TURNER_WIDTH)
    back = pygame.Rect(rect.left, rect.bottom - high, wide, high)
    forth = back.move(wide + canvas.px(8), 0)
    button(canvas, back, "←", Intent("page", -1), key="page back")
    button(canvas, forth, "→", Intent("page", 1), key="page on")
    shown = listing.shown(canvas.text_scale)
    words = f"{shown.start + 1}–{shown.stop} of {listing.count}"
    at = (forth.right + canvas.px(14), forth.centery)
    canvas.write(words, at, SMALL, colour=canvas.theme.dim, anchor="midleft", width=rect.right - at[0])
