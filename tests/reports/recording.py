"""A surface that keeps what was drawn on it, and looks for what is wrong with a page."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np

from trainer.reports.print.surface import BODY, INK, LINE, PAPER, Anchor, Point
from trainer.reports.print.text import width_of

ASCENT, DESCENT = 0.74, 0.22
"""Of DejaVu Sans: how high capitals are and how deep a p hangs, in parts of the size of type."""
SHARES = {"start": 0.0, "middle": 0.5, "end": 1.0}


@dataclass(frozen=True, slots=True)
class Box:
    """From left to right and from top to bottom."""

    left: float
    top: float
    right: float
    bottom: float

    def holds(self, x: float, y: float) -> bool:
        return self.left <= x <= self.right and self.top <= y <= self.bottom


@dataclass(frozen=True, slots=True)
class Written:
    """Words as they were written."""

    words: str
    box: Box
    size: float
    bold: bool
    colour: str
    ground: str
    link: str
    place: Point


@dataclass(frozen=True, slots=True)
class Shape:
    """A shape as it was drawn: its corners, its ink, and how many filled shapes were there before."""

    kind: str
    points: tuple[Point, ...]
    fill: str | None
    stroke: str | None
    width: float
    dashes: tuple[float, float] | None
    below: int

    @property
    def box(self) -> Box:
        xs, ys = zip(*self.points, strict=True)
        return Box(min(xs), min(ys), max(xs), max(ys))


@dataclass(slots=True)
class Page:
    """One page: what it is called, its words, its shapes."""

    title: str
    key: str
    written: list[Written] = field(default_factory=list)
    shapes: list[Shape] = field(default_factory=list)
    fills: list[tuple[float, float, float, float, str]] = field(default_factory=list)

    @property
    def words(self) -> list[str]:
        return [one.words for one in self.written]

    def find(self, words: str) -> Written:
        return next(one for one in self.written if one.words == words)

    def ground(self, x: float, y: float, below: int | None = None) -> str:
        """Return what is seen at a place, of the first so many filled shapes."""
        for left, top, right, bottom, fill in reversed(self.fills[:below]):
            if left <= x <= right and top <= y <= bottom:
                return fill
        return PAPER


class Recording:
    """A `Surface`, its pages in ``pages``."""

    def __init__(self) -> None:
        self.pages: list[Page] = []

    def page(self, title: str, *, key: str) -> None:
        self.pages.append(Page(title, key))

    def line(
        self,
        start: Point,
        end: Point,
        *,
        colour: str = LINE,
        width: float = 0.6,
        dashes: tuple[float, float] | None = None,
    ) -> None:
        self._keep("line", (start, end), None, colour, width, dashes)

    def rect(
        self,
        corner: Point,
        size: Point,
        *,
        fill: str | None = None,
        stroke: str | None = None,
        width: float = 0.6,
        radius: float = 0.0,
    ) -> None:
        assert 0.0 <= radius <= max(size)
        assert min(size) >= 0.0, "a rectangle is not inside out"
        other = (corner[0] + size[0], corner[1] + size[1])
        self._keep("rect", (corner, other), fill, stroke, width)

    def dot(
        self, centre: Point, radius: float, *, fill: str | None = None, stroke: str | None = None
    ) -> None:
        x, y = centre
        self._keep("dot", ((x - radius, y - radius), (x + radius, y + radius)), fill, stroke)

    def polygon(self, points: Sequence[Point], *, fill: str) -> None:
        self._keep("polygon", tuple(points), fill, None)

    def words(
        self,
        place: Point,
        text: str,
        *,
        size: float = BODY,
        bold: bool = False,
        colour: str = INK,
        anchor: Anchor = "start",
        link: str = "",
    ) -> None:
        if not text.strip():
            return
        x, y = place
        wide = width_of(text, size=size, bold=bold)
        left = x - SHARES[anchor] * wide
        box = Box(left, y - ASCENT * size, left + wide, y + DESCENT * size)
        page = self.pages[-1]
        ground = page.ground(left + wide / 2, y - size / 3)
        page.written.append(Written(text, box, size, bold, colour, ground, link, place))

    def _keep(
        self,
        kind: str,
        points: tuple[Point, ...],
        fill: str | None,
        stroke: str | None,
        width: float = 0.6,
        dashes: tuple[float, float] | None = None,
    ) -> None:
        page = self.pages[-1]
        page.shapes.append(Shape(kind, points, fill, stroke, width, dashes, len(page.fills)))
        if fill is not None:
            xs, ys = zip(*points, strict=True)
            page.fills.append((min(xs), min(ys), max(xs), max(ys), fill))


def troubles_of(page: Page, size: Point) -> Iterator[str]:
    """Yield what is wrong: outside of the page, words on words, too small, too pale."""
    whole = Box(0.0, 0.0, *size)
    for one in page.written:
        if not (whole.holds(one.box.left, one.box.top) and whole.holds(one.box.right, one.box.bottom)):
            yield f"{page.title}: outside: {one.words!r} {one.box}"
        if one.size < 7.0:
            yield f"{page.title}: small: {one.words!r} {one.size}"
        if contrast(one.colour, one.ground) < 4.5:
            yield f"{page.title}: pale: {one.words!r} {one.colour} on {one.ground}"
    for shape in page.shapes:
        if not (
            whole.holds(shape.box.left, shape.box.top) and whole.holds(shape.box.right, shape.box.bottom)
        ):
            yield f"{page.title}: outside: {shape}"
    yield from (f"{page.title}: overlap: {pair}" for pair in overlaps(page.written))


def overlaps(written: Sequence[Written]) -> list[tuple[str, str]]:
    """Return the words that lie on other words by more than half a point either way."""
    boxes = np.array([(o.box.left, o.box.top, o.box.right, o.box.bottom) for o in written]).reshape(-1, 4)
    low = np.maximum(boxes[:, None, :2], boxes[None, :, :2])
    high = np.minimum(boxes[:, None, 2:], boxes[None, :, 2:])
    over = np.triu((high - low > 0.5).all(axis=2), k=1)
    return [(written[one].words, written[other].words) for one, other in np.argwhere(over)]


def pale_marks(page: Page) -> Iterator[str]:
    """Yield marks that carry meaning and are too pale; hairlines, stripes and shades under a number are not."""
    for shape in page.shapes:
        if shape.kind == "rect" or LINE in (shape.fill, shape.stroke):
            continue
        colour = shape.fill if shape.fill not in (None, PAPER) else shape.stroke
        x, y = (sum(axis) / len(axis) for axis in zip(*shape.points, strict=True))
        ground = page.ground(x, y, shape.below)
        if colour is not None and contrast(colour, ground) < 3.0:
            yield f"{page.title}: pale {shape.kind}: {colour} on {ground}"


@lru_cache
def luminance(colour: str) -> float:
    """Return the relative luminance of a colour (WCAG 2.2)."""
    parts = [int(colour[start : start + 2], 16) / 255 for start in (1, 3, 5)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio of two colours (WCAG 2.2)."""
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)
