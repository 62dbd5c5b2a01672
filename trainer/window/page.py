"""The page every screen stands on: a head line, what there is to tell, the body, and the foot line of keys."""

from collections.abc import Sequence

from trainer.playback.sdl import pygame
from trainer.window.canvas import Canvas
from trainer.window.control import Intent
from trainer.window.state import Notice
from trainer.window.typeface import BODY, CARD, HEADING
from trainer.window.widgets import button, button_height, cap_width, key_cap

FOOT = "foot "
"""What the names of the foot's controls begin with."""
MARGIN = 24
GAP = 16

Foot = Sequence[tuple[str, str, Intent | None]]
"""Key caps, what they do in words, and what a press on them asks for."""


def page(
    canvas: Canvas,
    *,
    left: str,
    middle: str = "",
    right: str = "",
    foot: Foot = (),
    notice: Notice | None = None,
) -> pygame.Rect:
    """Draw the page and return the room between head and foot."""
    whole = canvas.surface.get_rect()
    canvas.surface.fill(canvas.theme.ground)
    top = _head(canvas, whole, left, middle, right)
    bottom = _foot(canvas, whole, foot)
    margin = canvas.px(MARGIN)
    body = pygame.Rect(margin, top + canvas.px(GAP), whole.w - 2 * margin, 0)
    body.h = bottom - canvas.px(GAP) - body.top
    return body if notice is None else _told(canvas, body, notice)


def _head(canvas: Canvas, whole: pygame.Rect, left: str, middle: str, right: str) -> int:
    height = max(canvas.px(56), canvas.line_height(HEADING) + canvas.px(18))
    canvas.bar(pygame.Rect(0, 0, whole.w, height), canvas.theme.panel)
    canvas.bar(pygame.Rect(0, height - canvas.px(1), whole.w, max(1, canvas.px(1))), canvas.theme.line)
    margin, y = canvas.px(MARGIN), height // 2
    third = (whole.w - 2 * margin) // 3
    room = third if middle else 2 * third - canvas.px(GAP)
    canvas.write(left, (margin, y), HEADING, bold=True, anchor="midleft", width=room)
    dim = canvas.theme.dim
    if middle:
        canvas.write(
            middle, (whole.centerx, y), BODY, colour=dim, anchor="center", width=third - canvas.px(GAP)
        )
    if right:
        canvas.write(right, (whole.right - margin, y), BODY, colour=dim, anchor="midright", width=third)
    return height


def _foot(canvas: Canvas, whole: pygame.Rect, foot: Foot) -> int:
    """Draw the keys, on as many lines as they need; return where the foot begins."""
    rows = _rows(canvas, foot, whole.w - 2 * canvas.px(MARGIN))
    if canvas.has_big_text and len(rows) > 1:
        rows = [_what_fits(canvas, foot, whole.w - 2 * canvas.px(MARGIN))]
    step = canvas.type_px(BODY) + canvas.px(20)
    top = whole.bottom - max(canvas.px(48), len(rows) * step + canvas.px(14))
    canvas.bar(pygame.Rect(0, top, whole.w, whole.bottom - top), canvas.theme.panel)
    canvas.bar(pygame.Rect(0, top, whole.w, max(1, canvas.px(1))), canvas.theme.line)
    first = (top + whole.bottom) // 2 - (len(rows) - 1) * step // 2
    for number, row in enumerate(rows):
        x = canvas.px(MARGIN)
        for cap, words, intent in row:
            x = _key(canvas, cap, words, intent, (x, first + number * step))
    return top


def _key(canvas: Canvas, cap: str, words: str, intent: Intent | None, midleft: tuple[int, int]) -> int:
    rect = key_cap(canvas, cap, midleft)
    place = (rect.right + canvas.px(8), midleft[1])
    ink = canvas.theme.ink if canvas.hover == f"{FOOT}{cap}" else canvas.theme.dim
    said = canvas.write(words, place, BODY, colour=ink, anchor="midleft")
    if intent is not None:
        canvas.control(f"{FOOT}{cap}", rect.union(said), intent, words)
    return said.right + canvas.px(22)


def _what_fits(canvas: Canvas, foot: Foot, width: int) -> Foot:
    """Return the first keys that fit on one line together with the last, which shows all of them."""
    for count in range(len(foot) - 1, 0, -1):
        shown = [*foot[:count], foot[-1]]
        if len(_rows(canvas, shown, width)) == 1:
            return shown
    return foot[-1:]


def _rows(canvas: Canvas, foot: Foot, width: int) -> list[Foot]:
    rows: list[list[tuple[str, str, Intent | None]]] = [[]]
    x = 0
    for cap, words, intent in foot:
        wide = cap_width(canvas, cap) + canvas.px(8) + canvas.width_of(words, BODY)
        if rows[-1] and x + wide > width:
            rows.append([])
            x = 0
        rows[-1].append((cap, words, intent))
        x += wide + canvas.px(22)
    return [list(row) for row in rows]


def _told(canvas: Canvas, body: pygame.Rect, notice: Notice) -> pygame.Rect:
    """Draw a notice at the top of the body; return what is left below."""
    theme = canvas.theme
    high, gap = button_height(canvas, BODY), canvas.px(12)
    ways = [("Close", Intent("dismiss"))]
    if notice.intent is not None:
        ways.insert(0, (notice.way_on, notice.intent))
    widths = [canvas.width_of(words, BODY, bold=True) + canvas.px(32) for words, _ in ways]
    room = body.w - sum(widths) - gap * len(ways) - canvas.px(64)
    height = max(high, canvas.height_of(notice.words, room, BODY)) + 2 * gap
    rect = pygame.Rect(body.left, body.top, body.w, height)
    canvas.panel(rect, fill=theme.panel, edge=theme.wrong, width=2)
    canvas.sign("wrong", (rect.left + canvas.px(26), rect.centery), 16, theme.wrong)
    text = pygame.Rect(rect.left + canvas.px(48), rect.top + gap, room, height - 2 * gap)
    text.top += max(0, (text.h - canvas.height_of(notice.words, room, BODY)) // 2)
    canvas.paragraph(notice.words, text, BODY)
    x = rect.right - gap
    for (words, intent), width in reversed(list(zip(ways, widths, strict=True))):
        button(canvas, pygame.Rect(x - width, rect.centery - high // 2, width, high), words, intent)
        x -= width + gap
    below = rect.bottom + canvas.px(GAP)
    return pygame.Rect(body.left, below, body.w, body.bottom - below)


def columns(canvas: Canvas, body: pygame.Rect, share: float) -> tuple[pygame.Rect, pygame.Rect]:
    """Split a room into two beside each other, the left one taking ``share``."""
    gap = canvas.px(MARGIN)
    left = pygame.Rect(body.left, body.top, round(body.w * share) - gap // 2, body.h)
    right = pygame.Rect(left.right + gap, body.top, body.right - left.right - gap, body.h)
    return left, right


def title(canvas: Canvas, body: pygame.Rect, words: str, size: float = CARD) -> pygame.Rect:
    """Write a title at the top of a room; return what is left below."""
    below = canvas.paragraph(words, body, size, bold=True) + canvas.px(6)
    return pygame.Rect(body.left, below, body.w, body.bottom - below)
