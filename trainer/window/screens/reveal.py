"""The reveal: what it was and what was said, to see and to hear, and the control that takes it back."""

from trainer.playback.player import Version
from trainer.playback.sdl import pygame
from trainer.practice.band_scale import band_label
from trainer.practice.block import Outcome
from trainer.window.canvas import Canvas
from trainer.window.control import Intent
from trainer.window.page import GAP, columns
from trainer.window.session import Session
from trainer.window.sights import draw_sights
from trainer.window.standing import figure_words
from trainer.window.strip import draw_strip, strip_height
from trainer.window.theme import Colour
from trainer.window.typeface import BODY, CARD, QUESTION, SMALL
from trainer.window.widgets import PADDING, button, button_height, card
from trainer.window.words import heard_as, remedy, verdict

PICTURE_SHARE = 0.66
PICTURE_SHARE_LARGE = 0.52


def draw(canvas: Canvas, body: pygame.Rect, session: Session) -> None:
    """Draw the page's body."""
    drill = session.drill
    if drill is None or drill.outcome is None:
        return
    outcome = drill.outcome
    below = _draw_verdict(canvas, body, outcome)
    versions = [Version.PLAIN, Version.CHANGED]
    if outcome.given is not None and not outcome.grade.right:
        versions.append(Version.YOURS)
    strip = pygame.Rect(body.left, below, body.w, strip_height(canvas))
    draw_strip(canvas, strip, session, versions)
    top = strip.bottom + canvas.px(GAP)
    rest = pygame.Rect(body.left, top, body.w, body.bottom - top)
    left, right = columns(canvas, rest, PICTURE_SHARE if not canvas.has_big_text else PICTURE_SHARE_LARGE)
    if drill.truth is not None:
        draw_sights(canvas, left, drill.truth, drill.said, _tone(canvas, outcome))
    else:
        canvas.write("Drawing it …", left.topleft, BODY, colour=canvas.theme.dim)
    _draw_panels(canvas, right, session, outcome)


def _tone(canvas: Canvas, outcome: Outcome) -> Colour:
    is_down = outcome.rep.answer.get("direction") in ("cut", "down") or "direction" not in outcome.rep.answer
    return canvas.theme.cut if is_down else canvas.theme.boost


def _draw_verdict(canvas: Canvas, body: pygame.Rect, outcome: Outcome) -> int:
    """Draw the sign and the sentence, and a button to go on; return the y below."""
    theme, right = canvas.theme, outcome.grade.right
    wide = canvas.width_of("Next", CARD, bold=True) + canvas.px(96)
    high, size = button_height(canvas), canvas.px(38)
    text = pygame.Rect(body.left + size + canvas.px(14), body.top, 0, body.h // 5)
    text.w = body.right - wide - canvas.px(GAP) - text.left
    needed = canvas.height_of(verdict(outcome), text.w, QUESTION, bold=True)
    text.top += max(0, (high - needed) // 2)
    below = canvas.paragraph(verdict(outcome), text, QUESTION, bold=True)
    middle = (body.left + size // 2, (text.top + below) // 2)
    canvas.sign("dot", middle, 38, theme.right if right else theme.wrong)
    canvas.sign("right" if right else "wrong", middle, 18, theme.ground)
    place = pygame.Rect(body.right - wide, body.top, wide, high)
    button(canvas, place, "Next", Intent("next"), cap="Enter", is_first=True, size=CARD)
    return max(below, place.bottom) + canvas.px(10)


def _draw_panels(canvas: Canvas, room: pygame.Rect, session: Session, outcome: Outcome) -> None:
    gap = canvas.px(12)
    code = 0 if canvas.has_big_text else canvas.line_height(SMALL) + gap
    inside = room.w - 2 * canvas.px(PADDING)
    frame = 2 * canvas.px(16) + canvas.line_height(CARD) + canvas.px(4)
    figure_height = frame + canvas.line_height(BODY) + canvas.line_height(SMALL)
    words, hint = remedy(outcome.rep), heard_as(outcome.rep)
    needed = frame + canvas.height_of(words, inside, BODY)
    needed += canvas.height_of(hint, inside, BODY) + canvas.px(6) if hint else 0
    height = min(needed, room.h - figure_height - code - gap)
    undo = pygame.Rect(room.left, room.top, room.w, height)
    inner = card(canvas, undo, "On a channel strip", size=CARD)
    y = canvas.paragraph(words, inner, BODY) + canvas.px(6)
    left_over = pygame.Rect(inner.left, y, inner.w, inner.bottom - y)
    if hint and canvas.fits(hint, left_over):
        canvas.paragraph(hint, left_over, BODY, colour=canvas.theme.dim)
    _draw_figure(canvas, pygame.Rect(room.left, undo.bottom + gap, room.w, figure_height), session, outcome)
    if not code:
        return
    said = f"rep code: {outcome.rep.code}"
    at = (room.left, room.bottom)
    canvas.write(said, at, SMALL, colour=canvas.theme.dim, anchor="bottomleft", width=room.w)


def _draw_figure(canvas: Canvas, rect: pygame.Rect, session: Session, outcome: Outcome) -> None:
    """Draw how the learner stands at the band the rep counted for most."""
    if not outcome.rep.bands:
        return
    band_hz = next(iter(outcome.rep.bands))
    inner = card(canvas, rect, f"Your {band_label(band_hz)}", size=CARD)
    if session.standing is None:
        return
    named, basis = figure_words(*session.standing.band(band_hz))
    y = canvas.paragraph(named, inner, BODY)
    rest = pygame.Rect(inner.left, y, inner.w, inner.bottom - y)
    if rest.h >= canvas.line_height(SMALL):
        canvas.paragraph(basis, rest, SMALL, colour=canvas.theme.dim)
