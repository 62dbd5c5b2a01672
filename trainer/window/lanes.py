"""The field: ten lanes side by side, low to high, with their hashes; what a page puts into them comes on top."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from trainer.playback.sdl import pygame
from trainer.window.canvas import Canvas
from trainer.window.theme import TINT, Colour, mixed
from trainer.window.typeface import CARD, SMALL

NAMES = ("31.5 Hz", "63", "125", "250", "500", "1k", "2k", "4k", "8k", "16k")
DIGITS = ("1", "2", "3", "4", "5", "6", "7", "8", "9", "0")
LONG_HASH, SHORT_HASH = 12, 7


@dataclass(frozen=True, slots=True)
class Field:
    """Where the lanes of a page lie: ``rect`` is all of them, without the names below."""

    rect: pygame.Rect
    count: int = 10

    def left(self, number: int) -> int:
        """Return where a lane begins."""
        return self.rect.left + round(number * self.rect.w / self.count)

    def lane(self, number: int) -> pygame.Rect:
        """Return a lane's place."""
        left = self.left(number)
        return pygame.Rect(left, self.rect.top, self.left(number + 1) - left, self.rect.h)

    def y(self, share: float) -> int:
        """Return a height, 0 at the bottom and 1 at the top."""
        return round(self.rect.bottom - share * self.rect.h)


def names_height(canvas: Canvas, *, with_digits: bool) -> int:
    """Return how much room the lanes' names take below them."""
    digits = canvas.line_height(SMALL) if with_digits else 0
    return canvas.line_height(CARD) + digits + canvas.px(6)


def draw_ground(
    canvas: Canvas, field: Field, *, hashes: Iterable[tuple[float, bool]] = (), bare: Iterable[int] = ()
) -> None:
    """Draw lanes and hashes; ``hashes`` are heights and whether they are long, ``bare`` lanes have none."""
    theme, rect = canvas.theme, field.rect
    canvas.panel(rect, fill=theme.panel)
    for number in range(1, field.count, 2):
        lane = field.lane(number)
        if number == field.count - 1:
            canvas.panel(lane, fill=theme.lane)
            lane.w //= 2
        canvas.bar(lane, theme.lane)
    width = max(1, canvas.px(1))
    for number in range(1, field.count):
        canvas.bar(pygame.Rect(field.left(number), rect.top, width, rect.h), theme.line, share=0.6)
    for share, is_long in hashes:
        _draw_hashes(canvas, field, share, LONG_HASH if is_long else SHORT_HASH, set(bare))
    canvas.panel(rect, edge=theme.line)


def _draw_hashes(canvas: Canvas, field: Field, share: float, reach: float, bare: set[int]) -> None:
    y, thick = field.y(share), max(1, canvas.px(1.5))
    for edge in range(field.count + 1):
        left = 0 if edge == 0 or edge - 1 in bare else canvas.px(reach)
        right = 0 if edge == field.count or edge in bare else canvas.px(reach)
        mark = pygame.Rect(field.left(edge) - left, y - thick // 2, left + right, thick)
        canvas.bar(mark.clip(field.rect), canvas.theme.line)


def draw_names(
    canvas: Canvas,
    field: Field,
    *,
    names: Sequence[str] = NAMES,
    digits: Sequence[str] = (),
    bare: Iterable[int] = (),
) -> None:
    """Write the lanes' names below them, and the digit that picks each."""
    top = field.rect.bottom + canvas.px(4)
    dim = set(bare)
    for number, whole_name in enumerate(names):
        name = whole_name
        lane = field.lane(number)
        room = lane.w - canvas.px(6)
        if canvas.width_of(name, CARD, bold=True) > room:
            name = name.removesuffix(" Hz")
        ink = canvas.theme.dim if number in dim else canvas.theme.ink
        at = (lane.centerx, top)
        canvas.write(name, at, CARD, bold=number not in dim, colour=ink, anchor="midtop", width=room)
        if digits and number not in dim:
            below = (lane.centerx, top + canvas.line_height(CARD))
            canvas.write(digits[number], below, SMALL, colour=canvas.theme.dim, anchor="midtop")


def draw_scale(canvas: Canvas, field: Field, marks: Iterable[tuple[float, str]]) -> None:
    """Write a scale at the left edge inside the first lane, a dotted line across for each mark."""
    for share, words in marks:
        y = field.y(share)
        for x in range(field.rect.left, field.rect.right, max(4, canvas.px(7))):
            canvas.bar(pygame.Rect(x, y, max(1, canvas.px(1.5)), max(1, canvas.px(1))), canvas.theme.line)
        at = (field.rect.left - canvas.px(8), y)
        canvas.write(words, at, SMALL, colour=canvas.theme.dim, anchor="midright")


def draw_chalk(canvas: Canvas, lane: pygame.Rect, y: int, *, share: float = 0.72) -> None:
    """Draw a chalk line across a lane."""
    line = pygame.Rect(0, 0, round(lane.w * share), max(2, canvas.px(4)))
    line.center = (lane.centerx, y)
    canvas.panel(line, fill=canvas.theme.ink, radius=2)


def draw_dashes(canvas: Canvas, lane: pygame.Rect, y: int, *, share: float = 0.84) -> None:
    """Draw dashes across a lane."""
    dash, thick = max(3, canvas.px(6)), max(1, canvas.px(2))
    left = lane.centerx - round(lane.w * share / 2)
    for x in range(left, lane.centerx + round(lane.w * share / 2) - dash + 1, round(dash * 1.6)):
        canvas.bar(pygame.Rect(x, y - thick // 2, dash, thick), canvas.theme.dim)


def draw_blur(canvas: Canvas, lane: pygame.Rect, top: int, middle: int, bottom: int) -> None:
    """Draw chalk rubbed with a thumb, from ``top`` to ``bottom``, densest at the ``middle``."""
    height = max(1, bottom - top)
    column = pygame.Surface((1, height), pygame.SRCALPHA)
    for row in range(height):
        y = top + row
        away = (middle - y) / max(1, middle - top) if y < middle else (y - middle) / max(1, bottom - middle)
        column.set_at((0, row), (*canvas.theme.ink, round(255 * (0.34 - 0.20 * away))))
    width = round(lane.w * 0.56)
    canvas.surface.blit(pygame.transform.scale(column, (width, height)), (lane.centerx - width // 2, top))


def tinted(canvas: Canvas, over: Colour) -> Colour:
    """Return a colour laid thinly over a panel."""
    return mixed(over, canvas.theme.panel, TINT)
