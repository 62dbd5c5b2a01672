"""A surface that becomes SVG, a page a picture: for a web page; its words stay words."""

from collections.abc import Sequence
from dataclasses import dataclass
from xml.etree import ElementTree

from trainer.reports.print.surface import BODY, HEIGHT_PT, INK, LINE, PAPER, WIDTH_PT, Anchor, Point

FAMILY = "'DejaVu Sans', Verdana, 'Noto Sans', sans-serif"


@dataclass(frozen=True, slots=True)
class SvgPage:
    """A page: its title, what links lead to it by, and its picture."""

    title: str
    key: str
    root: ElementTree.Element

    @property
    def text(self) -> str:
        """The picture as SVG."""
        return ElementTree.tostring(self.root, encoding="unicode")


class SvgSurface:
    """Pages as pictures, in ``pages``."""

    def __init__(self) -> None:
        self.pages: list[SvgPage] = []

    def page(self, title: str, *, key: str) -> None:
        """Begin a page."""
        root = ElementTree.Element(
            "svg",
            {
                "xmlns": "http://www.w3.org/2000/svg",
                "viewBox": f"0 0 {WIDTH_PT:g} {HEIGHT_PT:g}",
                "role": "img",
                "aria-label": title,
                "font-family": FAMILY,
            },
        )
        ElementTree.SubElement(root, "title").text = title
        self.pages.append(SvgPage(title, key, root))
        self.rect((0.0, 0.0), (WIDTH_PT, HEIGHT_PT), fill=PAPER)

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
        given = {"x1": start[0], "y1": start[1], "x2": end[0], "y2": end[1]}
        style = {"stroke": colour, "stroke-width": f"{width:g}"}
        if dashes is not None:
            style["stroke-dasharray"] = " ".join(f"{part:g}" for part in dashes)
        self._add("line", style, **given)

    def rect(self, corner: Point, size: Point, *, fill: str | None = None, stroke: str | None = None) -> None:
        """Draw a rectangle."""
        self._add("rect", _filled(fill, stroke), x=corner[0], y=corner[1], width=size[0], height=size[1])

    def dot(
        self, centre: Point, radius: float, *, fill: str | None = None, stroke: str | None = None
    ) -> None:
        """Draw a disc or a ring."""
        self._add("circle", _filled(fill, stroke), cx=centre[0], cy=centre[1], r=radius)

    def polygon(self, points: Sequence[Point], *, fill: str) -> None:
        """Draw a filled polygon."""
        corners = " ".join(f"{x:.2f},{y:.2f}" for x, y in points)
        self._add("polygon", {"points": corners, "fill": fill})

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
        """Write a line of words."""
        style = {"font-size": f"{size:g}", "fill": colour}
        if bold:
            style["font-weight"] = "bold"
        if anchor != "start":
            style["text-anchor"] = anchor
        parent = self.pages[-1].root
        if link:
            parent = ElementTree.SubElement(parent, "a", {"href": f"#{link}"})
        element = ElementTree.SubElement(parent, "text", style | _numbers(x=place[0], y=place[1]))
        element.text = "".join(letter if letter.isprintable() else " " for letter in text)

    def _add(self, name: str, style: dict[str, str], **numbers: float) -> None:
        ElementTree.SubElement(self.pages[-1].root, name, style | _numbers(**numbers))


def _filled(fill: str | None, stroke: str | None) -> dict[str, str]:
    style = {"fill": fill or "none"}
    return style if stroke is None else style | {"stroke": stroke, "stroke-width": "0.6"}


def _numbers(**numbers: float) -> dict[str, str]:
    return {name: f"{number:.2f}".rstrip("0").rstrip(".") for name, number in numbers.items()}
