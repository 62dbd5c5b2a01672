"""Learners: who is listening; one of those who were here, or a new name."""

from trainer.playback.sdl import pygame
from trainer.window.canvas import Canvas
from trainer.window.control import Intent
from trainer.window.page import GAP, columns
from trainer.window.session import LONGEST_NAME, Session
from trainer.window.typeface import BODY, CARD, HEADING, TITLE
from trainer.window.widgets import button, button_height, card

WELCOME = (
    "Yardline plays an ensemble, hides one change in it, and asks you to name it. It keeps count, octave band "
    "by octave band, of what you can name, under the name you give here. A call sign will do."
)
NONE_YET = "Nobody has drilled here yet."


def draw(canvas: Canvas, body: pygame.Rect, session: Session) -> None:
    """Draw the page's body."""
    left, right = columns(canvas, body, 0.5)
    y = canvas.paragraph("Who is listening?", left, TITLE, bold=True) + canvas.px(8)
    rest = pygame.Rect(left.left, y, left.w, left.bottom - y)
    y = canvas.paragraph(WELCOME, rest, BODY, colour=canvas.theme.dim) + canvas.px(GAP)
    high = button_height(canvas, HEADING)
    box = pygame.Rect(left.left, y, left.w, high + canvas.px(6))
    _draw_name(canvas, box, session)
    place = pygame.Rect(left.left, box.bottom + canvas.px(GAP), left.w, button_height(canvas))
    intent = Intent("accept name")
    button(canvas, place, "That is me", intent, cap="Enter", is_first=bool(session.typed.strip()), size=CARD)
    _draw_known(canvas, right, session)


def _draw_name(canvas: Canvas, box: pygame.Rect, session: Session) -> None:
    canvas.panel(box, fill=canvas.theme.panel, edge=canvas.theme.focus, width=2)
    at = (box.left + canvas.px(14), box.centery)
    room = box.w - canvas.px(40)
    if session.typed:
        written = canvas.write(session.typed, at, HEADING, bold=True, anchor="midleft", width=room)
        x = written.right + canvas.px(3)
    else:
        said = f"type a name, at most {LONGEST_NAME} letters"
        canvas.write(said, at, BODY, colour=canvas.theme.dim, anchor="midleft", width=room)
        x = at[0] - canvas.px(4)
    caret = pygame.Rect(x, 0, max(2, canvas.px(2)), canvas.type_px(HEADING) + canvas.px(6))
    caret.centery = box.centery
    canvas.bar(caret, canvas.theme.focus)


def _draw_known(canvas: Canvas, body: pygame.Rect, session: Session) -> None:
    inner = card(canvas, body, "Here before", size=CARD)
    known = session.known_learners
    if not known:
        canvas.paragraph(NONE_YET, inner, BODY, colour=canvas.theme.dim)
        return
    high, gap = button_height(canvas, BODY), canvas.px(8)
    per_column = max(1, (inner.h + gap) // (high + gap))
    count = 1 if len(known) <= per_column else 2
    wide = (inner.w - gap * (count - 1)) // count
    for number, name in enumerate(known[: per_column * count]):
        column, row = divmod(number, per_column)
        place = pygame.Rect(inner.left + column * (wide + gap), inner.top + row * (high + gap), wide, high)
        button(canvas, place, name, Intent("choose learner", name), key=f"learner {name}")
