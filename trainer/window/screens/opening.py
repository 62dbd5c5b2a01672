"""The opening: shown in the first frame, before anything heavy is loaded; and trouble that ends there."""

from collections.abc import Callable

from trainer.playback.sdl import pygame
from trainer.window.canvas import Canvas
from trainer.window.control import Intent
from trainer.window.lanes import Field, draw_ground, draw_names, names_height
from trainer.window.page import page
from trainer.window.typeface import CARD, TITLE
from trainer.window.widgets import button, button_height, progress_bar

TITLE_WORDS = "Yardline"
HASHES = tuple((share / 10.0, share % 2 == 0) for share in range(1, 10))


def draw(canvas: Canvas, share: Callable[[], float]) -> None:
    """Draw the field, empty, while the program is loaded, and how far that has come."""
    body = page(canvas, left=TITLE_WORDS, right="listening drills for a marching ensemble")
    y = canvas.paragraph("Getting ready …", body, TITLE, bold=True) + canvas.px(6)
    bar = pygame.Rect(body.left, y, body.w, max(canvas.px(12), 10))
    canvas.live(bar, share, lambda now: progress_bar(now, bar, share()))
    y = bar.bottom + canvas.px(14)
    field = Field(
        pygame.Rect(body.left, y, body.w, body.bottom - y - names_height(canvas, with_digits=False))
    )
    draw_ground(canvas, field, hashes=HASHES)
    draw_names(canvas, field)


def draw_trouble(canvas: Canvas, words: str) -> None:
    """Draw what keeps the program from starting, and the ways on."""
    foot = (("Enter", "try again", Intent("try again")), ("Esc", "leave", Intent("quit")))
    body = page(canvas, left=TITLE_WORDS, foot=foot)
    y = canvas.paragraph("It cannot start like this", body, TITLE, bold=True) + canvas.px(8)
    room = pygame.Rect(body.left, y, min(body.w, canvas.px(900)), body.h // 2)
    y = canvas.paragraph(words, room, CARD) + canvas.px(20)
    high = button_height(canvas)
    for number, (said, cap, intent) in enumerate(
        (("Try again", "Enter", Intent("try again")), ("Leave", "Esc", Intent("quit")))
    ):
        place = pygame.Rect(body.left, y + number * (high + canvas.px(10)), canvas.px(320), high)
        button(canvas, place, said, intent, cap=cap, is_first=number == 0, size=CARD)
