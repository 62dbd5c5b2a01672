"""Paper: a blank page in the day palette, measured in pixels from its top left corner, and saved whole."""

import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import matplotlib as mpl
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.font_manager import fontManager

from trainer.progress.files import replacing
from trainer.refusal import Refused

GROUND = "#f4f1e6"
PANEL = "#fffdf6"
LANE = "#e9e5d6"
LINE = "#a39d88"
INK = "#17211f"
DIM = "#505b57"
CUT = "#0a5c9c"
RIGHT = "#00694a"

SMALL, BODY, HEADING, TITLE = 12, 14, 16, 21
"""Sizes of type, in pixels."""

PIXELS_PER_INCH = 100
SHARPNESS = 150
"""Dots per inch of a PNG: half as many again as the page has pixels."""

METADATA: dict[str, dict[str, Any]] = {
    ".png": {"Software": "Yardline"},
    ".svg": {"Creator": "Yardline", "Date": None},
    ".pdf": {"Creator": "Yardline", "CreationDate": None},
}
"""The formats, by a file's ending, and what is written into them: no clock, so a page is always one file."""

OTHER_SCRIPTS = ("Noto Sans CJK JP", "Noto Sans Arabic", "Noto Sans Hebrew", "Noto Emoji", "Segoe UI Symbol")
"""Fonts tried, where they are installed, for what DejaVu Sans lacks."""


@contextmanager
def page(path: Path, *, width_px: int = 1280, height_px: int = 720) -> Iterator[Axes]:
    """Give a page to draw on, in pixels from the top left, and save it at the end.

    Raises
    ------
    Refused
        If the file's name ends in none of ``.png``, ``.svg``, ``.pdf``, or it cannot be written.
    """
    ending = path.suffix.lower()
    if ending not in METADATA:
        raise Refused(f"a chart ends in {', '.join(METADATA)}, not {path.name!r}")
    with mpl.rc_context(_style()):
        figure = Figure(
            (width_px / PIXELS_PER_INCH, height_px / PIXELS_PER_INCH), PIXELS_PER_INCH, facecolor=GROUND
        )
        axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
        axes.set(xlim=(0, width_px), ylim=(height_px, 0))
        axes.axis("off")
        yield axes
        _save(figure, path, ending)


def words(axes: Axes, x_px: float, y_px: float, text: str, *, size_px: float = BODY, **style: Any) -> None:
    """Write words at a place; ``ha``, ``va``, ``color``, ``weight`` as matplotlib has them."""
    settled: dict[str, Any] = {"color": INK, "va": "baseline", "ha": "left", "parse_math": False} | style
    axes.text(x_px, y_px, text, fontsize=points(size_px), **settled)


def shortened(name: str, *, longest: int = 32) -> str:
    """Return a name that fits a heading."""
    return name if len(name) <= longest else f"{name[: longest - 1]}…"


@contextmanager
def any_script() -> Iterator[None]:
    """Let a name in a script no installed font has be drawn as boxes, without a warning."""
    with warnings.catch_warnings():
        warnings.filterwarnings("ignore", "Glyph .* missing from")
        yield


def points(size_px: float) -> float:
    """Return the points that so many pixels are."""
    return size_px * 72.0 / PIXELS_PER_INCH


def _style() -> Any:
    installed = set(fontManager.get_font_names())
    families = ["DejaVu Sans", *(name for name in OTHER_SCRIPTS if name in installed)]
    return {"font.family": families, "svg.hashsalt": "yardline", "pdf.fonttype": 42}


def _save(figure: Figure, path: Path, ending: str) -> None:
    with replacing(path) as beside, any_script():
        figure.savefig(beside, format=ending[1:], dpi=SHARPNESS, facecolor=GROUND, metadata=METADATA[ending])
