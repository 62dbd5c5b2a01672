"""Answer forms drawn on a page as it stands in a drill, without a drill behind it."""

from trainer.playback.sdl import pygame
from trainer.window.answering import draw_form
from trainer.window.canvas import Canvas
from trainer.window.form import Form
from trainer.window.gallery import Look, blank
from trainer.window.page import GAP, page
from trainer.window.settings import Settings
from trainer.window.staging import stop_of
from trainer.window.strip import strip_height
from trainer.window.typeface import QUESTION
from trainer.window.widgets import button_height

FOOT = tuple((cap, words, None) for cap, words in (("Space", "flip"), ("Enter", "answer"), ("?", "keys")))


def form_page(form: Form, look: Look) -> Canvas:
    """Return a page with a form on it, below the room that the question and the flip strip take."""
    canvas = blank(Settings(), look)
    canvas.focus = stop_of(form.innermost.group.stop)
    body = page(canvas, left="Drill", middle="rep 1 of 10", foot=FOOT)
    below = max(body.top + button_height(canvas), body.top + canvas.line_height(QUESTION))
    top = below + canvas.px(10) + strip_height(canvas) + canvas.px(GAP)
    draw_form(canvas, pygame.Rect(body.left, top, body.w, body.bottom - top), form)
    return canvas
