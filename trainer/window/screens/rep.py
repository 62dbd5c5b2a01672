"""The rep: the question, the flip strip, and the answer form; nothing on it that helps to guess."""

from trainer.playback.player import Version
from trainer.playback.sdl import pygame
from trainer.window.answering import draw_form
from trainer.window.canvas import Canvas
from trainer.window.control import Intent
from trainer.window.page import GAP
from trainer.window.session import Session
from trainer.window.strip import draw_strip, strip_height
from trainer.window.typeface import CARD, QUESTION, SMALL
from trainer.window.widgets import button, button_height

VERSIONS = (Version.PLAIN, Version.CHANGED)
WAITING = "The next rep is on its way."
WAITING_QUIZ = "Nothing is told before the end. The next item is on its way."


def draw(canvas: Canvas, body: pygame.Rect, session: Session) -> None:
    """Draw the page's body."""
    drill = session.drill
    rep = drill.rep if drill is not None else None
    cap = "Ctrl Enter" if drill is not None and drill.form is not None and drill.form.sheets else "Enter"
    wide = canvas.width_of("Answer", CARD, bold=True) + canvas.width_of(cap, SMALL) + canvas.px(62)
    height = button_height(canvas)
    room = pygame.Rect(body.left, body.top, body.w - wide - canvas.px(GAP), body.h // 5)
    waiting = WAITING_QUIZ if drill is not None and drill.quiz is not None else WAITING
    words = rep.question.text if rep is not None else waiting
    room.top += max(0, (height - canvas.height_of(words, room.w, QUESTION, bold=True)) // 2)
    below = max(body.top + height, canvas.paragraph(words, room, QUESTION, bold=True))
    if drill is not None and drill.form is not None:
        place = pygame.Rect(body.right - wide, body.top, wide, height)
        is_whole = drill.form.answer is not None
        button(canvas, place, "Answer", Intent("answer"), cap=cap, is_first=is_whole, size=CARD)
    strip = pygame.Rect(body.left, below + canvas.px(10), body.w, strip_height(canvas))
    draw_strip(canvas, strip, session, VERSIONS)
    top = strip.bottom + canvas.px(GAP)
    if drill is not None and drill.form is not None:
        draw_form(canvas, pygame.Rect(body.left, top, body.w, body.bottom - top), drill.form)
