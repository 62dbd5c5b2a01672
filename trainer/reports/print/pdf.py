"""A surface that becomes a PDF: its fonts inside, any script as far as fonts are installed, no clock in it."""

from collections.abc import Sequence
from datetime import UTC, date, datetime, time
from functools import lru_cache
from pathlib import Path
from typing import Any

from fpdf import FPDF

from trainer.progress.files import replacing
from trainer.reports.fonts import drawable, font_file, is_plain, is_simple, other_fonts
from trainer.reports.print.surface import BODY, INK, LINE, Anchor, Point
from trainer.reports.print.text import width_of

FONT = "DejaVu"
UNDATED = date(2000, 1, 1)
SHARES = {"start": 0.0, "middle": 0.5, "end": 1.0}
"""How much of a line lies before its place."""


class PdfSurface:
    """Pages of a PDF; `save` writes them.

    Parameters
    ----------
    made_on
        The day that is written into it, never a clock's: the same pages give the same bytes.
    """

    def __init__(self, title: str, *, made_on: date = UNDATED, is_upright: bool = False) -> None:
        self._pdf = FPDF(orientation="portrait" if is_upright else "landscape", unit="pt", format="A4")
        self._pdf.set_auto_page_break(auto=False)
        self._pdf.set_margin(0)
        self._pdf.c_margin = 0
        self._pdf.set_lang("en-GB")
        self._pdf.set_title(drawable(title))
        self._pdf.set_creator("Yardline")
        self._pdf.set_producer("Yardline")
        self._pdf.set_creation_date(datetime.combine(made_on, time(12), tzinfo=UTC))
        for bold, style in ((False, ""), (True, "B")):
            self._pdf.add_font(FONT, style, str(font_file(bold=bold)))
        self._links: dict[str, Any] = {}
        self._has_others = False

    def page(self, title: str, *, key: str) -> None:
        """Begin a page, with a bookmark of its title."""
        self._pdf.add_page()
        self._pdf.set_font(FONT, "", BODY)
        self._pdf.start_section(drawable(title))
        self._pdf.set_link(self._link(key), page=self._pdf.page)

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
        self._pdf.set_draw_color(*_colour(colour))
        self._pdf.set_line_width(width)
        if dashes is not None:
            self._pdf.set_dash_pattern(*dashes)
        self._pdf.line(*start, *end)
        if dashes is not None:
            self._pdf.set_dash_pattern()

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
        style = self._style(fill, stroke, width)
        round_corners = radius > 0.0
        self._pdf.rect(*corner, *size, style=style, round_corners=round_corners, corner_radius=radius)

    def dot(
        self, centre: Point, radius: float, *, fill: str | None = None, stroke: str | None = None
    ) -> None:
        """Draw a disc or a ring."""
        x, y = centre
        self._pdf.circle(x, y, radius, style=self._style(fill, stroke, 0.8))

    def polygon(self, points: Sequence[Point], *, fill: str) -> None:
        """Draw a filled polygon."""
        self._pdf.polygon(list(points), style=self._style(fill, None, 0.0))

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
        text = drawable(text)
        if not text.strip():
            return
        self._pdf.set_font(FONT, "B" if bold else "", size)
        self._pdf.set_text_color(*_colour(colour))
        if is_simple(text):
            wide = width_of(text, size=size, bold=bold)
            left = place[0] - SHARES[anchor] * wide
            self._pdf.text(left, place[1], text)
        else:
            wide = self._shaped(place, text, size, anchor)
            left = place[0] - SHARES[anchor] * wide
        if link:
            self._pdf.link(left, place[1] - size, wide, 1.3 * size, self._link(link))

    def save(self, path: Path) -> None:
        """Write the PDF, whole or not at all."""
        with replacing(path) as beside:
            self._pdf.output(str(beside))

    def _shaped(self, place: Point, text: str, size: float, anchor: Anchor) -> float:
        """Write words whose letters join, run from right to left, or are of other fonts; return their width."""
        self._take_others(text)
        with self._pdf.local_context():  # a line of several fonts leaves the last one behind
            self._pdf.set_text_shaping(use_shaping_engine=True)
            wide = float(self._pdf.get_string_width(text))
            self._pdf.set_xy(place[0] - SHARES[anchor] * wide, place[1] - 0.8 * size)
            self._pdf.cell(w=wide + 1.0, h=size, text=text, align="L")
            self._pdf.set_text_shaping(use_shaping_engine=False)
        return wide

    def _take_others(self, text: str) -> None:
        """Take fonts for other scripts in; only where they are needed, as reading them takes a while."""
        if self._has_others or is_plain(text):
            return
        self._has_others = True
        names = [f"other-{number}" for number in range(len(other_fonts()))]
        for name, path in zip(names, other_fonts(), strict=True):
            self._pdf.add_font(name, "", str(path))
        self._pdf.set_fallback_fonts(names, exact_match=False)

    def _style(self, fill: str | None, stroke: str | None, width: float) -> str:
        if fill is not None:
            self._pdf.set_fill_color(*_colour(fill))
        if stroke is not None:
            self._pdf.set_draw_color(*_colour(stroke))
            self._pdf.set_line_width(width)
        return f"{'F' if fill is not None else ''}{'D' if stroke is not None else ''}"

    def _link(self, key: str) -> Any:
        if key not in self._links:
            self._links[key] = self._pdf.add_link()
        return self._links[key]


@lru_cache(maxsize=1000)
def _colour(hexadecimal: str) -> tuple[int, int, int]:
    red, green, blue = bytes.fromhex(hexadecimal[1:])
    return red, green, blue
