"""A surface that becomes SVG, a page a picture, for a web page: the reader's fonts, and words stay words."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from xml.etree.ElementTree import Element, SubElement

from trainer.reports.fonts import NARROW_SPACES, is_simple
from trainer.reports.print.surface import BODY, INK, LINE, LYING_PT, PAPER, Anchor, Point
from trainer.reports.print.text import width_of

FAMILY = "'DejaVu Sans', Verdana, 'Segoe UI', 'Noto Sans', sans-serif"
ANCHORS = {"start": "", "middle": ";text-anchor:middle", "end": ";text-anchor:end"}
JOINERS = f"\u200c\u200d{NARROW_SPACES}"
"""Signs that cannot be seen and yet matter: they join letters, part them, or keep thousands apart."""


@dataclass(frozen=True, slots=True)
class SvgPage:
    """A page: its title, what links lead to it by, and its picture."""

    title: str
    key: str
    picture: Element


@dataclass(slots=True)
class Styles:
    """The styles used, each with a short name."""

    names: dict[str, str] = field(default_factory=dict)

    def name_of(self, style: str) -> str:
        """Return the class that stands for a style."""
        return self.names.setdefault(style, f"y{len(self.names)}")

    @property
    def sheet(self) -> str:
        """All of them as a style sheet."""
        return "".join(f".{name}{{{style}}}" for style, name in self.names.items())


class SvgSurface:
    """Pages as pictures, in ``pages``; their looks in ``styles``."""

    def __init__(self) -> None:
        self.pages: list[SvgPage] = []
        self.styles = Styles()

    def page(self, title: str, *, key: str) -> None:
        """Begin a page."""
        width, height = LYING_PT
        said = printable(title)
        attributes = {
            "xmlns": "http://www.w3.org/2000/svg",
            "viewBox": f"0 0 {_number(width)} {_number(height)}",
            "role": "img",
            "aria-label": said,
        }
        picture = Element("svg", attributes)
        SubElement(picture, "title").text = said
        self.pages.append(SvgPage(said, key, picture))
        self.rect((0.0, 0.0), LYING_PT, fill=PAPER)

    def line(
        self,
        start: Point,
        end: Point,
        *,
        colour: str = LINE,
        width: float = 0.6,
        dashes: tuple[float, float] | None = None,
    ) -> None:
        """Draw a straight line."""
        style = f"stroke:{colour};stroke-width:{width:g}"
        if dashes is not None:
            style += f";stroke-dasharray:{dashes[0]:g} {dashes[1]:g}"
        self._add("line", style, x1=start[0], y1=start[1], x2=end[0], y2=end[1])

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
        """Draw a rectangle."""
        (x, y), (wide, high) = corner, size
        element = self._add("rect", _filled(fill, stroke, width), x=x, y=y, width=wide, height=high)
        if radius:
            element.set("rx", _number(radius))

    def dot(
        self, centre: Point, radius: float, *, fill: str | None = None, stroke: str | None = None
    ) -> None:
        """Draw a disc or a ring."""
        self._add("circle", _filled(fill, stroke, 0.8), cx=centre[0], cy=centre[1], r=radius)

    def polygon(self, points: Sequence[Point], *, fill: str) -> None:
        """Draw a filled polygon."""
        element = self._add("polygon", _filled(fill, None, 0.0))
        element.set("points", " ".join(f"{_number(x)},{_number(y)}" for x, y in points))

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
        """Write a line of words, as wide as it was measured whatever font the reader has."""
        text = printable(text)
        if not text.strip():
            return
        style = f"font-size:{size:.4g}px;fill:{colour}{ANCHORS[anchor]}{';font-weight:bold' if bold else ''}"
        parent = self.pages[-1].picture
        if link:
            parent = SubElement(parent, "a", {"href": f"#{link}"})
        element = self._add("text", style, parent=parent, x=place[0], y=place[1])
        if len(text) > 1 and is_simple(text):
            element.set("textLength", _number(width_of(text, size=size, bold=bold)))
            element.set("lengthAdjust", "spacingAndGlyphs")
        element.text = text

    def _add(self, name: str, style: str, *, parent: Element | None = None, **numbers: float) -> Element:
        attributes = {"class": self.styles.name_of(style)}
        attributes |= {key: _number(value) for key, value in numbers.items()}
        return SubElement(self.pages[-1].picture if parent is None else parent, name, attributes)


def printable(text: str) -> str:
    """Return a text without signs that XML and the eye cannot take, each stretch of them one space."""
    if text.isprintable():
        return text
    shown = "".join(letter if letter.isprintable() or letter in JOINERS else " " for letter in text)
    return re.sub(" +", " ", shown).strip()


def _filled(fill: str | None, stroke: str | None, width: float) -> str:
    style = f"fill:{fill or 'none'}"
    return style if stroke is None else f"{style};stroke:{stroke};stroke-width:{width:g}"


def _number(value: float) -> str:
    return f"{value:.1f}".removesuffix(".0")
