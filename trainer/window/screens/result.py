"""The result of a quiz: the score, the items in the lanes they count for, and item by item what it was."""

from trainer.playback.sdl import pygame
from trainer.practice.band_scale import OCTAVE_SCALE
from trainer.practice.exercise import described
from trainer.season.plan_words import day_words
from trainer.season.quiz import QuizItem
from trainer.season.quiz_marking import Sheet, score_of
from trainer.season.sheet import key_line
from trainer.window.canvas import Canvas
from trainer.window.control import Intent
from trainer.window.lanes import Field, draw_ground, draw_names, names_height
from trainer.window.page import GAP, columns
from trainer.window.quiz_desk import Result
from trainer.window.rows import rows_of
from trainer.window.session import Session
from trainer.window.theme import Colour
from trainer.window.typeface import BODY, CARD, SMALL, TITLE
from trainer.window.widgets import button, button_height

LEFT_SHARE = 0.4
ROW_HEIGHT = 44
SIGN = 15
SCALE = "0 % is guessing, 100 % everything right."
LANES = "the items by the octave band they count for most"
NOT_ANSWERED = "not answered"


def draw(canvas: Canvas, body: pygame.Rect, session: Session) -> None:
    """Draw the page's body."""
    result = session.quizzes.result
    if result is None:
        return
    left, right = columns(canvas, body, LEFT_SHARE)
    _draw_score(canvas, left, result)
    tallest = canvas.px(ROW_HEIGHT * canvas.text_scale)
    for number, rect in rows_of(canvas, right, session.quizzes.items, tallest=tallest, gap=2):
        _draw_item(canvas, rect, result.quiz.items[number], result.sheet, is_odd=bool(number % 2))


def _draw_score(canvas: Canvas, rect: pygame.Rect, result: Result) -> None:
    """Draw the score in words, the lanes below it, and a button to leave."""
    theme, quiz, sheet = canvas.theme, result.quiz, result.sheet
    right = sum(sheet.is_right(item) for item in quiz.items)
    y = canvas.paragraph(f"Score {100 * score_of(quiz, sheet):.0f} %", rect, TITLE, bold=True)
    taken = next(iter(sheet.attempts.values())).at.date()
    for words, size in (
        (SCALE, BODY),
        (f"{right} of {len(quiz.items)} wholly right{_unanswered(sheet, len(quiz.items))}.", CARD),
        ("" if canvas.has_big_text else f"Taken on {day_words(taken)}.", SMALL),
    ):
        if words:
            rest = pygame.Rect(rect.left, y, rect.w, rect.bottom - y)
            y = canvas.paragraph(words, rest, size, colour=theme.ink if size == CARD else theme.dim)
    high = button_height(canvas)
    place = pygame.Rect(rect.left, rect.bottom - high, rect.w, high)
    button(canvas, place, "Done", Intent("back"), cap="Enter", is_first=True, size=CARD)
    top = canvas.paragraph(
        LANES, pygame.Rect(rect.left, y + canvas.px(GAP), rect.w, rect.h), SMALL, colour=theme.dim
    )
    bottom = place.top - canvas.px(GAP) - names_height(canvas, with_digits=False)
    _draw_lanes(
        canvas, pygame.Rect(rect.left, top + canvas.px(6), rect.w, bottom - top - canvas.px(6)), result
    )


def _unanswered(sheet: Sheet, count: int) -> str:
    left = count - sheet.answered
    return f", {left} not answered" if left else ""


def _draw_lanes(canvas: Canvas, rect: pygame.Rect, result: Result) -> None:
    """Draw the items as signs, stacked in the lane of the octave band each counts for most."""
    field = Field(rect)
    draw_ground(canvas, field)
    draw_names(canvas, field)
    stacks = _by_band(result)
    step = rect.h / max(6, *map(len, stacks.values())) if stacks else 0.0
    for band_hz, items in stacks.items():
        lane = field.lane(OCTAVE_SCALE.place(band_hz))
        for place, item in enumerate(items):
            sign, tone = _sign(canvas, item, result.sheet)
            size = min(SIGN, 0.7 * step / canvas.unit)
            canvas.sign(sign, (lane.centerx, round(rect.bottom - (place + 0.5) * step)), size, tone)


def _by_band(result: Result) -> dict[float, list[QuizItem]]:
    stacks: dict[float, list[QuizItem]] = {}
    for item in result.quiz.items:
        if item.bands:
            stacks.setdefault(max(item.bands, key=lambda band_hz: item.bands[band_hz]), []).append(item)
    return stacks


def _sign(canvas: Canvas, item: QuizItem, sheet: Sheet) -> tuple[str, Colour]:
    if sheet.is_right(item):
        return "right", canvas.theme.right
    attempt = sheet.attempts.get(item.number)
    if attempt is None or not attempt.given_answer:
        return "dot", canvas.theme.dim
    return "wrong", canvas.theme.wrong


def _draw_item(canvas: Canvas, rect: pygame.Rect, item: QuizItem, sheet: Sheet, *, is_odd: bool) -> None:
    """Draw an item's number and sign, what it was, and below it what was said."""
    theme = canvas.theme
    canvas.panel(rect, fill=theme.lane if is_odd else theme.panel, radius=4)
    wide = canvas.width_of("60", BODY, bold=True)
    x = rect.left + canvas.px(12) + wide
    canvas.write(str(item.number), (x, rect.centery), BODY, colour=theme.dim, anchor="midright")
    sign, tone = _sign(canvas, item, sheet)
    canvas.sign(sign, (x + canvas.px(22), rect.centery), SIGN if sign != "dot" else 8, tone)
    x += canvas.px(42)
    room = rect.right - canvas.px(12) - x
    said = _said(item, sheet)
    words, below = f"{item.title}: {key_line(item)}", canvas.line_height(SMALL) if said else 0
    high = min(canvas.height_of(words, room, BODY), rect.h - below)
    text = pygame.Rect(x, rect.centery - (high + below) // 2 + canvas.px(1), room, high)
    top = canvas.paragraph(words, text, BODY)
    if said:
        canvas.write(said, (x, top), SMALL, colour=theme.dim, width=room)


def _said(item: QuizItem, sheet: Sheet) -> str:
    """Return what was said where that was not wholly right, and what it was worth."""
    attempt = sheet.attempts.get(item.number)
    if attempt is None or not attempt.given_answer:
        return NOT_ANSWERED
    if attempt.right:
        return ""
    worth = f" · worth {100 * attempt.score:.0f} %" if attempt.score else ""
    return f"you said {described(attempt.given_answer, item.question)}{worth}"
