"""Today: what is due and how long it takes, one key to start, and the ten lanes as they stand."""

from datetime import date, timedelta

from trainer.playback.sdl import pygame
from trainer.practice.sitting import BLOCK_MINUTES
from trainer.window.canvas import Canvas
from trainer.window.chalk import draw_fortnight, draw_standing
from trainer.window.control import Intent
from trainer.window.page import GAP, columns
from trainer.window.session import Session
from trainer.window.state import Place
from trainer.window.typeface import BODY, CARD, SMALL, TITLE
from trainer.window.widgets import Option, button, button_height, card, options
from trainer.window.words import minutes_words, titles_of

LEFT_SHARE = 0.36
LEFT_SHARE_LARGE = 0.46
"""Larger text needs a wider column."""
FORTNIGHT = 14
WAYS = (("Quiz", "Q", Place.QUIZZES), ("Roster", "R", Place.ROSTER), ("Season", "W", Place.SEASON))


def draw(canvas: Canvas, body: pygame.Rect, session: Session) -> None:
    """Draw the page's body."""
    left, right = columns(canvas, body, LEFT_SHARE_LARGE if canvas.has_big_text else LEFT_SHARE)
    draw_standing(canvas, right, session.standing)
    gap = canvas.px(GAP)
    y = canvas.paragraph("Today", left, TITLE, bold=True)
    _draw_ways(canvas, pygame.Rect(left.left, left.top, left.w, y - left.top))
    rest = pygame.Rect(left.left, y, left.w, left.bottom - y)
    y = canvas.paragraph(_due(session), rest, CARD, colour=canvas.theme.dim) + canvas.px(8)
    block = pygame.Rect(left.left, y, left.w, _block_height(canvas, session))
    _draw_block(canvas, block, session)
    last = pygame.Rect(left.left, 0, left.w, 0 if canvas.has_big_text else _fortnight_height(canvas))
    last.bottom = left.bottom
    only = pygame.Rect(left.left, block.bottom + gap, left.w, last.top - block.bottom - 2 * gap)
    if only.h >= button_height(canvas, BODY) + canvas.line_height(CARD) + canvas.px(34):
        few = len(session.exercises)
        rows = few * button_height(canvas, BODY) + (few - 1) * canvas.px(8)
        only.h = min(only.h, rows + canvas.line_height(CARD) + canvas.px(36))
        _draw_only(canvas, only, session)
    if last.h:
        _draw_last(canvas, last, session)


def _draw_ways(canvas: Canvas, rect: pygame.Rect) -> None:
    """Draw the ways to the pages of the whole staff beside the title."""
    gap = canvas.px(8)
    first = rect.left + canvas.width_of("Today", TITLE, bold=True) + canvas.px(20)
    wide = (rect.right - first - gap * (len(WAYS) - 1)) // len(WAYS)
    high = min(button_height(canvas, BODY), rect.h)
    for number, (words, cap, place) in enumerate(WAYS):
        left = first + number * (wide + gap)
        button(
            canvas,
            pygame.Rect(left, rect.top, wide, high),
            words,
            Intent("go", place),
            cap="" if canvas.has_big_text else cap,
            size=SMALL,
        )


def _due(session: Session) -> str:
    """Return what is due, in words; nothing of what will be asked."""
    if session.blocks.to_go_on is not None:
        return "You left a block before its end."
    plan = session.blocks.plan
    if plan is None:
        return "Looking up what is due …"
    if plan.is_anything_due:
        return "One block is due."
    return "Nothing more is due. Another block does no harm."


def _block_height(canvas: Canvas, session: Session) -> int:
    lengths = 0 if session.blocks.to_go_on else button_height(canvas, BODY) + canvas.px(8)
    return (
        2 * canvas.px(16)
        + canvas.line_height(CARD)
        + canvas.px(4)
        + canvas.line_height(BODY)
        + canvas.px(8)
        + lengths
        + button_height(canvas)
    )


def _draw_block(canvas: Canvas, rect: pygame.Rect, session: Session) -> None:
    sitting = session.blocks.to_go_on
    keys = sitting.exercises if sitting else session.blocks.due
    titles = titles_of(keys, session.assembly.catalogue.exercises)
    inner = card(canvas, rect, titles or "Today's block", size=CARD)
    plan = session.blocks.plan
    reps = session.blocks.reps_left if sitting else plan.count if plan else 0
    words = f"{reps} reps{' left' if sitting else ''} · {minutes_words(reps * session.rep_s)}" if reps else ""
    canvas.write(words, inner.topleft, BODY, colour=canvas.theme.dim, width=inner.w)
    height = button_height(canvas)
    place = pygame.Rect(inner.left, inner.bottom - height, inner.w, height)
    if sitting is None:
        lengths = pygame.Rect(inner.left, 0, inner.w, button_height(canvas, BODY))
        lengths.bottom = place.top - canvas.px(8)
        options(canvas, lengths, [_length(minutes, session) for minutes in BLOCK_MINUTES])
        button(canvas, place, "Start", Intent("start"), cap="Enter", is_first=True, size=CARD)
        return
    place.w = (inner.w - canvas.px(10)) // 2
    button(canvas, place, "Go on", Intent("start"), cap="Enter", is_first=True, size=CARD)
    beside = place.move(place.w + canvas.px(10), 0)
    button(canvas, beside, "Start afresh", Intent("start new", ()), cap="N", size=CARD)


def _length(minutes: int, session: Session) -> Option:
    is_chosen = session.settings.block_minutes == minutes
    return Option(f"length {minutes}", f"{minutes} min", Intent("set", {"block_minutes": minutes}), is_chosen)


def _draw_only(canvas: Canvas, rect: pygame.Rect, session: Session) -> None:
    inner = card(canvas, rect, "Or only one of them", size=CARD)
    high, gap = button_height(canvas, BODY), canvas.px(6)
    count = len(session.exercises)
    rows = max(1, (inner.h + gap) // (high + gap))
    per_row = max(1, -(-count // rows))
    wide = (inner.w - gap * (per_row - 1)) // per_row
    for number, key in enumerate(session.exercises):
        column, row = number % per_row, number // per_row
        place = pygame.Rect(inner.left + column * (wide + gap), inner.top + row * (high + gap), wide, high)
        words = session.assembly.catalogue[key].title
        button(canvas, place, words, Intent("only", number), key=f"only {key}", cap=str(number + 1))


def _fortnight_height(canvas: Canvas) -> int:
    return 2 * canvas.px(16) + 2 * canvas.line_height(SMALL) + canvas.line_height(CARD) + canvas.px(40)


def _draw_last(canvas: Canvas, rect: pygame.Rect, session: Session) -> None:
    inner = card(canvas, rect, "Last two weeks", size=CARD)
    today = session.now().date()
    days = [today - timedelta(days=back) for back in reversed(range(FORTNIGHT))]
    done = session.standing.days if session.standing is not None else frozenset[date]()
    cells = pygame.Rect(inner.left, inner.top, inner.w, inner.h - canvas.line_height(SMALL))
    draw_fortnight(canvas, cells, [(f"{day:%a}"[:1], day in done) for day in days])
    count = sum(day in done for day in days)
    reps = session.standing.recent_answers if session.standing is not None else 0
    words = f"{count} of {FORTNIGHT} days · {reps:.0f} reps"
    at = (inner.left, inner.bottom)
    canvas.write(words, at, SMALL, colour=canvas.theme.dim, anchor="bottomleft", width=inner.w)
