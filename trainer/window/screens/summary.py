"""The end of a block: how it went rep by rep, and what to listen for tomorrow."""

from trainer.playback.sdl import pygame
from trainer.practice.band_scale import band_label
from trainer.practice.block import Mark
from trainer.progress.why import why_words
from trainer.window.canvas import Canvas
from trainer.window.chalk import draw_standing
from trainer.window.control import Intent
from trainer.window.page import GAP, columns
from trainer.window.session import Session
from trainer.window.typeface import BODY, CARD, SMALL, TITLE
from trainer.window.widgets import PADDING, button, button_height, card
from trainer.window.words import advice, summary

LEFT_SHARE = 0.42


def draw(canvas: Canvas, body: pygame.Rect, session: Session) -> None:
    """Draw the page's body."""
    drill = session.drill
    if drill is None:
        return
    left, right = columns(canvas, body, LEFT_SHARE)
    draw_standing(canvas, right, session.standing)
    marks, gap = drill.block.marks, canvas.px(GAP)
    y = canvas.paragraph("The block is done", left, TITLE, bold=True)
    rest = pygame.Rect(left.left, y, left.w, left.bottom - y)
    y = canvas.paragraph(summary(marks, drill.block.count), rest, CARD, colour=canvas.theme.dim) + gap // 2
    high = button_height(canvas)
    words = advice(marks)
    rows = max(1, (len(marks) + 1) // 2)
    needed = canvas.height_of(words, left.w - 2 * canvas.px(PADDING), BODY) + canvas.line_height(CARD)
    needed += 2 * canvas.px(16) + canvas.px(6)
    listed = pygame.Rect(left.left, y, left.w, 0)
    listed.h = canvas.px(30) if canvas.has_big_text else rows * canvas.line_height(BODY)
    if canvas.has_big_text:
        _draw_signs(canvas, listed, marks)
    else:
        _draw_marks(canvas, listed, session, marks)
    tomorrow = pygame.Rect(left.left, listed.bottom + gap, left.w, needed)
    tomorrow.h = min(needed, left.bottom - high - gap - tomorrow.top)
    canvas.paragraph(words, card(canvas, tomorrow, "For tomorrow", size=CARD), BODY)
    _draw_why(canvas, pygame.Rect(left.left, tomorrow.bottom + gap + high + gap, left.w, 0), left, session)
    place = pygame.Rect(left.left, tomorrow.bottom + gap, (left.w - canvas.px(10)) // 2, high)
    button(canvas, place, "Done", Intent("done"), cap="Enter", is_first=True, size=CARD)
    beside = place.move(place.w + canvas.px(10), 0)
    button(canvas, beside, "Another block", Intent("start new", ()), cap="N", size=CARD)


def _draw_why(canvas: Canvas, place: pygame.Rect, column: pygame.Rect, session: Session) -> None:
    """Draw why the block asked what it asked, where there is room."""
    if session.drill is None:
        return
    block, exercises = session.drill.block, session.assembly.catalogue.exercises
    plan = session.blocks.plan_of(block.sitting)
    words = why_words(plan, block.marks, exercises, setup=session.setup)
    place.h = column.bottom - place.top
    if canvas.fits(words, place, SMALL):
        canvas.paragraph(words, place, SMALL, colour=canvas.theme.dim)


def _draw_signs(canvas: Canvas, rect: pygame.Rect, marks: list[Mark]) -> None:
    """Draw the reps as a row of signs, in their order."""
    step = min(canvas.px(40), rect.w // max(1, len(marks)))
    for number, mark in enumerate(marks):
        right = mark.grade.right
        tone = canvas.theme.right if right else canvas.theme.wrong
        at = (rect.left + round((number + 0.5) * step), rect.centery)
        canvas.sign("right" if right else "wrong", at, 18, tone)


def _draw_marks(canvas: Canvas, rect: pygame.Rect, session: Session, marks: list[Mark]) -> None:
    """Draw the reps in two columns, each with its sign, its exercise and its band."""
    per_column = max(1, (len(marks) + 1) // 2)
    step = min(canvas.line_height(BODY), rect.h // per_column)
    wide = (rect.w - canvas.px(16)) // 2
    for number, mark in enumerate(marks):
        x = rect.left + (number // per_column) * (wide + canvas.px(16))
        y = rect.top + (number % per_column) * step + step // 2
        right = mark.grade.right
        tone = canvas.theme.right if right else canvas.theme.wrong
        canvas.sign("right" if right else "wrong", (x + canvas.px(8), y), 13, tone)
        band = f", {band_label(next(iter(mark.bands)))}" if mark.bands else ""
        words = session.assembly.catalogue[mark.exercise].title + band
        at = (x + canvas.px(24), y)
        canvas.write(words, at, SMALL, anchor="midleft", width=wide - canvas.px(26))
