"""A surface to draw a page on: shapes and words in points; every paper draws the same."""

from collections.abc import Sequence
from typing import Literal, Protocol

LYING_PT = (841.89, 595.28)
"""A4 lying down (ISO 216: 297 by 210 mm)."""
UPRIGHT_PT = (595.28, 841.89)
MARGIN_PT = 34.0

INK, DIM, LINE, LANE, PAPER = "#17211f", "#505b57", "#a39d88", "#f1eee4", "#ffffff"
CUT, BOOST, RIGHT, WRONG = "#0a5c9c", "#9a5200", "#00694a", "#ab2d19"
SMALL, BODY, HEADING, TITLE = 7.5, 9.0, 11.0, 20.0
LEAST = 7.0
"""Nothing is set smaller than this."""
LEADING = 1.4
"""From one line to the next, in parts of the size of type."""

Anchor = Literal["start", "middle", "end"]
Point = tuple[float, float]


class Surface(Protocol):
    """One page after another."""

    def page(self, title: str, *, key: str) -> None:
        """Begin a page; ``key`` is what links lead to."""

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
        """Draw a rectangle, its corners rounded by a radius."""

    def dot(
        self, centre: Point, radius: float, *, fill: str | None = None, stroke: str | None = None
    ) -> None:
        """Draw a disc or a ring."""

    def polygon(self, points: Sequence[Point], *, fill: str) -> None:
        """Draw a filled polygon."""

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
        """Write a line of words, its baseline at a place; ``link`` is the key of a page it leads to."""


def mixed(ink: float, *, dark: str = INK, light: str = PAPER) -> str:
    """Return a colour between two: all ``light`` at 0, all ``dark`` at 1."""
    pairs = ((int(dark[at : at + 2], 16), int(light[at : at + 2], 16)) for at in (1, 3, 5))
    return "#" + "".join(f"{round(ink * one + (1.0 - ink) * other):02x}" for one, other in pairs)
