"""Quizzes: which there are, how it stands with each for the learner, and a key to take one or go on with it."""

from collections.abc import Sequence

from trainer.playback.sdl import pygame
from trainer.season.plan_words import day_words
from trainer.window.canvas import Canvas
from trainer.window.control import Intent
from trainer.window.listing import STOP
from trainer.window.page import columns, title
from trainer.window.quiz_desk import Entry
from trainer.window.rows import rows_of
from trainer.window.session import Session
from trainer.window.theme import Colour
from trainer.window.typeface import BODY, CARD, TITLE
from trainer.window.widgets import button, button_height, card
from trainer.window.words import minutes_words

LIST_SHARE = 0.62
ROW_HEIGHT = 58
NONE_YET = "There is no quiz yet. Staff make one in a terminal: yardline quiz new"
LOOKING = "Looking up the quizzes …"
RULES = (
    "Nothing is told before the end, then everything. Every answer is kept at once: leave it in the middle, and it "
    "goes on from there."
)
ANOTHER = "Staff allow you another sitting."
NO_MORE = "You have had the sittings you are allowed."


def draw(canvas: Canvas, body: pygame.Rect, session: Session) -> None:
    """Draw the page's body."""
    desk = session.quizzes
    if not desk.entries:
        words = LOOKING if desk.entries is None else NONE_YET
        below = canvas.paragraph("Quizzes", body, TITLE, bold=True)
        rest = pygame.Rect(body.left, below, body.w, body.bottom - below)
        canvas.paragraph(words, rest, CARD, colour=canvas.theme.dim)
        return
    left, right = columns(canvas, body, LIST_SHARE)
    for number, rect in rows_of(
        canvas, left, desk.listing, tallest=canvas.px(ROW_HEIGHT * canvas.text_scale)
    ):
        _draw_row(canvas, rect, desk.entries[number], is_chosen=number == desk.listing.at)
    if desk.chosen is not None:
        _draw_chosen(canvas, right, session, desk.chosen)


def _draw_row(canvas: Canvas, rect: pygame.Rect, entry: Entry, *, is_chosen: bool) -> None:
    theme, key = canvas.theme, f"quiz {entry.quiz.uid}"
    edge = theme.focus if is_chosen else theme.line
    canvas.panel(rect, fill=canvas.pressable(key, theme.panel), edge=edge, width=2.5 if is_chosen else 1)
    pad = canvas.px(16)
    has_two = rect.h >= canvas.line_height(CARD) + canvas.line_height(BODY)
    top = rect.centery - (canvas.line_height(CARD) + canvas.line_height(BODY) * has_two) // 2 + canvas.px(1)
    canvas.write(entry.quiz.title, (rect.left + pad, top), CARD, bold=True, width=rect.w - 2 * pad)
    if has_two:
        _draw_state(canvas, rect.inflate(-2 * pad, 0), top + canvas.line_height(CARD), entry)
    intent = Intent("take quiz", entry.quiz.uid)
    canvas.control(key, rect, intent, entry.quiz.title, stop=STOP, chosen=is_chosen)


def _draw_state(canvas: Canvas, rect: pygame.Rect, top: int, entry: Entry) -> None:
    """Draw how it stands, and at the right how long the quiz is and how old."""
    half = rect.w // 2
    sign, tone = _sign(canvas, entry)
    canvas.sign(
        sign, (rect.left + canvas.px(6), top + canvas.line_height(BODY) // 2 - canvas.px(1)), 12, tone
    )
    canvas.write(entry.words, (rect.left + canvas.px(20), top), BODY, width=half - canvas.px(20))
    at = (rect.right, top)
    canvas.write(_made(entry), at, BODY, colour=canvas.theme.dim, anchor="topright", width=half)


def _made(entry: Entry) -> str:
    return f"{_items(entry)} · {day_words(entry.quiz.made_at.date())}"


def _items(entry: Entry) -> str:
    count = len(entry.quiz.items)
    return f"{count} item{'s' * (count > 1)}"


def _sign(canvas: Canvas, entry: Entry) -> tuple[str, Colour]:
    """Return the sign of how it stands; a tick says taken, and nothing of how well."""
    if entry.begun is not None:
        return "dot", canvas.theme.focus
    return ("right", canvas.theme.dim) if entry.whole is not None else ("dot", canvas.theme.line)


def _draw_chosen(canvas: Canvas, rect: pygame.Rect, session: Session, entry: Entry) -> None:
    """Draw what there is to know of the quiz the keys are on, and what can be done with it."""
    inner = title(canvas, card(canvas, rect, ""), entry.quiz.title)
    ways = _ways(entry)
    high, gap = button_height(canvas), canvas.px(10)
    room = pygame.Rect(inner.left, inner.top, inner.w, inner.h - len(ways) * (high + gap))
    for words in _facts(session, entry):
        if not canvas.fits(words, room):
            break
        top = canvas.paragraph(words, room, BODY, colour=canvas.theme.dim) + canvas.px(8)
        room = pygame.Rect(room.left, top, room.w, room.bottom - top)
    for number, (words, cap, intent) in enumerate(ways):
        top = inner.bottom - (len(ways) - number) * (high + gap) + gap
        place = pygame.Rect(inner.left, top, inner.w, high)
        button(canvas, place, words, intent, cap=cap, is_first=number == 0 and cap == "Enter", size=CARD)


def _ways(entry: Entry) -> Sequence[tuple[str, str, Intent]]:
    ways: list[tuple[str, str, Intent]] = []
    if entry.may_take:
        ways.append(
            ("Go on with it" if entry.begun else "Take it", "Enter", Intent("take quiz", entry.quiz.uid))
        )
    if entry.whole is not None:
        ways.append(("Your result", "V", Intent("quiz result", entry.quiz.uid)))
    return ways


def _facts(session: Session, entry: Entry) -> Sequence[str]:
    titles = dict.fromkeys(item.title for item in entry.quiz.items)
    left = len(entry.quiz.items) - (entry.begun.answered if entry.begun else 0)
    facts = [f"{_items(entry)}: {', '.join(titles)}"]
    if entry.may_take:
        facts += [f"{minutes_words(left * session.rep_s)}{' left' if entry.begun else ''}", RULES]
    if entry.whole is not None:
        facts.append(ANOTHER if entry.may_take and not entry.begun else NO_MORE if not entry.may_take else "")
    facts.append(f"Made on {day_words(entry.quiz.made_at.date())}; its code is {entry.quiz.code}.")
    return [words for words in facts if words]
