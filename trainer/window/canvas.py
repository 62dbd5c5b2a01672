"""The canvas: what a screen draws with, in the sizes of the window, and a record of what was drawn.

Sizes are given in logical pixels of a window of 1280 by 720 and go through ``px``; text goes through the
text size on top. The record (``written``, ``controls``) is what presses are looked up in, and what tests read.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from itertools import accumulate

from trainer.playback.sdl import pygame
from trainer.window.control import Control, Intent, Written
from trainer.window.shapes import blit_rounded, sign_picture
from trainer.window.theme import Colour, Theme, mixed
from trainer.window.typeface import BODY, line_picture, text_size

LINE_SPACING = 1.36
"""From one line of a paragraph to the next, in sizes of its type."""
LEAST_SHARE = 0.86
"""How much smaller than asked text may be set at 100 % where it would not fit; larger text sizes give way first."""
SLACK = 2
"""By how many pixels the last line of a paragraph may stand below its room: its letters do not."""
LARGE = 20
"""Type of this size or more is large already: it grows half as fast as the reader's text size."""
BIG_TEXT = 1.3
"""From this text size on pages leave out what is not needed, so that the rest has room."""
HOVER_SHARE = 0.10
FOCUS_WIDTH, FOCUS_GAP = 3.0, 3.0


@dataclass(frozen=True, slots=True, eq=False)
class Live:
    """A part of a page that changes while nothing is asked: drawn again when ``watch`` gives something new.

    ``look`` is what it gave before the part was drawn: looked at afterwards, a change meanwhile would be missed.
    """

    rect: pygame.Rect
    look: object
    watch: Callable[[], object]
    paint: "Paint"


Paint = Callable[["Canvas"], pygame.Rect | None]
"""Draws a part; gives the rectangle that it changed, where that is less than all of the part."""


@dataclass
class Canvas:
    """A surface, its theme and its sizes; ``focus`` and ``hover`` name what the keyboard and the mouse are on."""

    surface: pygame.Surface
    theme: Theme
    unit: float = 1.0
    text_scale: float = 1.0
    focus: str = ""
    hover: str = ""
    written: list[Written] = field(default_factory=list)
    controls: list[Control] = field(default_factory=list)
    lives: list[Live] = field(default_factory=list)

    def live(self, rect: pygame.Rect, watch: Callable[[], object], paint: "Paint") -> None:
        """Draw a part that is to be kept up to date, and note it."""
        look = watch()
        paint(self)
        self.lives.append(Live(rect, look, watch, paint))

    def afresh(self) -> "Canvas":
        """Return a canvas on the same surface with an empty record."""
        return replace(self, written=[], controls=[], lives=[])

    # Sizes.

    def px(self, logical: float) -> int:
        """Return a logical size in pixels of the window."""
        return round(logical * self.unit)

    def type_px(self, size: float) -> int:
        """Return a size of type in pixels of the window, the reader's text size included."""
        grown = self.text_scale if size < LARGE else 1.0 + 0.5 * (self.text_scale - 1.0)
        return max(6, round(size * self.unit * grown))

    @property
    def has_big_text(self) -> bool:
        """Whether text is so big that pages leave out what is not needed."""
        return self.text_scale >= BIG_TEXT

    def line_height(self, size: float) -> int:
        """Return the height of a line of a paragraph."""
        return round(self.type_px(size) * LINE_SPACING)

    def width_of(self, words: str, size: float = BODY, *, bold: bool = False) -> int:
        """Return how wide a line of text is."""
        return text_size(words, self.type_px(size), bold=bold)[0]

    def lines_of(self, words: str, width: int, size: float = BODY, *, bold: bool = False) -> list[str]:
        """Return a text broken into lines no wider than ``width`` (but for single longer words)."""
        return wrapped(words, width, self.type_px(size), bold=bold)

    def height_of(self, words: str, width: int, size: float = BODY, *, bold: bool = False) -> int:
        """Return the height of a text set in lines of a width."""
        return len(self.lines_of(words, width, size, bold=bold)) * self.line_height(size)

    # Shapes.

    def panel(
        self,
        rect: pygame.Rect,
        *,
        fill: Colour | None = None,
        edge: Colour | None = None,
        radius: float = 8,
        width: float = 1,
    ) -> None:
        """Draw a rectangle with round corners, filled, outlined or both."""
        blit_rounded(
            self.surface,
            rect,
            fill=fill,
            edge=edge,
            radius=self.px(radius),
            width=max(1, self.px(width)) if edge else 0,
        )

    def bar(self, rect: pygame.Rect, fill: Colour, *, share: float = 1.0) -> None:
        """Fill a rectangle with square corners, covering what is there by ``share``."""
        if share >= 1.0:
            self.surface.fill(fill, rect)
        elif rect.w > 0 and rect.h > 0:
            veil = pygame.Surface(rect.size, pygame.SRCALPHA)
            veil.fill((*fill, round(255 * share)))
            self.surface.blit(veil, rect)

    def sign(self, name: str, centre: tuple[int, int], size: float, fill: Colour) -> None:
        """Draw a sign (``up``, ``down``, ``right``, ``wrong``, ``dot``) around a point."""
        picture = sign_picture(name, self.px(size), fill)
        self.surface.blit(picture, picture.get_rect(center=centre))

    # Text.

    def write(
        self,
        words: str,
        at: tuple[int, int],
        size: float = BODY,
        *,
        colour: Colour | None = None,
        bold: bool = False,
        anchor: str = "topleft",
        width: int | None = None,
    ) -> pygame.Rect:
        """Write one line; where it is wider than ``width`` it is set smaller, at last cut with an ellipsis.

        ``anchor`` names the point of the text that lies ``at`` the place, as pygame's rectangles name it.
        """
        size_px = self.type_px(size) if width is None else self._fitting_px(words, width, size, bold=bold)
        shown = words if width is None else cut_to(words, width, size_px, bold=bold)
        picture = line_picture(shown, size_px, colour or self.theme.ink, bold=bold)
        rect = picture.get_rect(**{anchor: at})
        self.surface.blit(picture, rect)
        self.written.append(Written(words, rect, size_px, cut=shown != words))
        return rect

    def paragraph(
        self,
        words: str,
        rect: pygame.Rect,
        size: float = BODY,
        *,
        colour: Colour | None = None,
        bold: bool = False,
        anchor: str = "left",
    ) -> int:
        """Write lines of a text in a rectangle, smaller where it would not fit; return the y below them."""
        size_px, lines = self._fitting_lines(words, rect, size, bold=bold)
        step = round(size_px * LINE_SPACING)
        most = max(1, (rect.h + SLACK) // step)
        for number, line in enumerate(lines[:most]):
            is_cut = number == most - 1 and len(lines) > most
            shown = cut_to(line + (" …" if is_cut else ""), rect.w, size_px, bold=bold)
            picture = line_picture(shown, size_px, colour or self.theme.ink, bold=bold)
            place = picture.get_rect(top=rect.top + number * step)
            setattr(place, anchor, getattr(rect, anchor) if anchor != "centerx" else rect.centerx)
            self.surface.blit(picture, place)
            self.written.append(Written(line, place, size_px, cut=is_cut or shown != line))
        return rect.top + min(len(lines), most) * step

    def fits(self, words: str, rect: pygame.Rect, size: float = BODY) -> bool:
        """Say whether a paragraph fits a rectangle, set smaller where need be."""
        size_px, lines = self._fitting_lines(words, rect, size, bold=False)
        return _fits(lines, rect, size_px, bold=False)

    def _fitting_px(self, words: str, width: int, size: float, *, bold: bool) -> int:
        size_px = self.type_px(size)
        while size_px > self._least_px(size) and text_size(words, size_px, bold=bold)[0] > width:
            size_px -= 1
        return size_px

    def _fitting_lines(
        self, words: str, rect: pygame.Rect, size: float, *, bold: bool
    ) -> tuple[int, list[str]]:
        size_px = self.type_px(size)
        lines = wrapped(words, rect.w, size_px, bold=bold)
        while size_px > self._least_px(size) and not _fits(lines, rect, size_px, bold=bold):
            size_px -= 1
            lines = wrapped(words, rect.w, size_px, bold=bold)
        return size_px, lines

    def _least_px(self, size: float) -> int:
        return round(size * self.unit * LEAST_SHARE)

    # What can be pressed.

    def control(
        self,
        key: str,
        rect: pygame.Rect,
        intent: Intent,
        words: str,
        *,
        stop: str = "",
        chosen: bool = False,
    ) -> None:
        """Note a control, and draw the ring of the keyboard's focus around it if it is there."""
        self.controls.append(Control(key, rect, intent, words, stop or key, chosen))
        if self.focus and self.focus == key:
            self.ring(rect)

    def ring(self, rect: pygame.Rect) -> None:
        """Draw the ring of the keyboard's focus around a rectangle."""
        gap = self.px(FOCUS_GAP)
        self.panel(rect.inflate(2 * gap, 2 * gap), edge=self.theme.focus, radius=10, width=FOCUS_WIDTH)

    def pressable(self, key: str, fill: Colour) -> Colour:
        """Return the fill of a control, lighter (or darker) while the mouse is on it."""
        return mixed(self.theme.ink, fill, HOVER_SHARE) if self.hover == key else fill


def wrapped(words: str, width: int, size_px: int, *, bold: bool = False) -> list[str]:
    """Return a text broken into lines no wider than ``width``, as far as single words allow."""
    lines: list[str] = []
    for paragraph in words.split("\n"):
        line = ""
        for word in paragraph.split():
            longer = f"{line} {word}" if line else word
            if line and text_size(longer, size_px, bold=bold)[0] > width:
                lines.append(line)
                longer = word
            line = longer
        lines.append(line)
    return lines


def cut_to(words: str, width: int, size_px: int, *, bold: bool = False) -> str:
    """Return a text, or as much of its beginning as fits with an ellipsis."""
    if text_size(words, size_px, bold=bold)[0] <= width:
        return words
    beginnings = list(accumulate(words))
    fitting = [part for part in beginnings if text_size(f"{part}…", size_px, bold=bold)[0] <= width]
    return f"{fitting[-1].rstrip()}…" if fitting else "…"


def _fits(lines: Sequence[str], rect: pygame.Rect, size_px: int, *, bold: bool) -> bool:
    widest = max(text_size(line, size_px, bold=bold)[0] for line in lines)
    return len(lines) * round(size_px * LINE_SPACING) <= rect.h + SLACK and widest <= rect.w
