"""The confusion chart: what was said for what it was, a row a band, counts in the cells."""

from pathlib import Path
from typing import Any

from matplotlib.axes import Axes
from matplotlib.colors import to_hex, to_rgb
from matplotlib.patches import Rectangle

from trainer.progress.figures import Confusions
from trainer.reports.lanes import label_of
from trainer.reports.paper import DIM, HEADING, INK, LINE, PANEL, SMALL, TITLE, page, shortened, words

CELL_W_PX, CELL_H_PX = 76.0, 44.0
LEFT_PX, TOP_PX = 152.0, 176.0
MARGIN_PX = 24.0
DARKEST = 0.50
"""How much ink shades a cell with all its row's answers: words on it keep a contrast of 4.5 (WCAG 2)."""

FAINT_SHARES_UP = 0.6
"""The power a share is shaded by, below 1 so that one answer in ten can still be seen."""


def confusion_chart(confusions: Confusions, path: Path, *, learner: str) -> None:
    """Draw what was said for what it was; the larger a cell's share of its row, the darker.

    Parameters
    ----------
    confusions
        Over octave bands or any other field.
    path
        Where to: ``.png``, ``.svg`` or ``.pdf``.
    learner
        Whose.

    Raises
    ------
    Refused
        If the file's name ends otherwise, or it cannot be written.
    """
    names = [label_of(key) for key in confusions.keys]
    width_px = LEFT_PX + len(names) * CELL_W_PX + 2 * CELL_W_PX + 2 * MARGIN_PX
    height_px = TOP_PX + len(names) * CELL_H_PX + 56.0
    with page(path, width_px=round(width_px), height_px=round(height_px)) as axes:
        words(
            axes,
            MARGIN_PX,
            52,
            f"{shortened(learner)}: what was said for what it was",
            size_px=TITLE,
            weight="bold",
        )
        words(
            axes,
            MARGIN_PX,
            86,
            "number: answers · darker: larger share of its row · outlined: right",
            color=DIM,
        )
        _column_names(axes, names)
        for row in range(len(names)):
            _row(axes, confusions, row, names[row])


def _column_names(axes: Axes, names: list[str]) -> None:
    words(axes, LEFT_PX, TOP_PX - 44, "what was said →", color=DIM)
    words(axes, LEFT_PX - 16, TOP_PX - 16, "what it was ↓", color=DIM, ha="right")
    for column, name in enumerate([*names, "no answer", "asked"]):
        bold = "bold" if column < len(names) else "normal"
        size_px = HEADING if column < len(names) else SMALL
        words(
            axes, _middle_px(column, len(names)), TOP_PX - 16, name, size_px=size_px, weight=bold, ha="center"
        )


def _row(axes: Axes, confusions: Confusions, row: int, name: str) -> None:
    count = len(confusions.keys)
    top_px = TOP_PX + row * CELL_H_PX
    base_px = top_px + CELL_H_PX / 2 + 5
    words(axes, LEFT_PX - 16, base_px, name, size_px=HEADING, weight="bold", ha="right")
    for column in range(count):
        _cell(axes, column, top_px, confusions.counts[row][column], confusions.shares[row][column])
    _outline(axes, row, top_px)
    for column, number in ((count, confusions.unsaid[row]), (count + 1, confusions.asked[row])):
        words(axes, _middle_px(column, count), base_px, str(number or "·"), color=DIM, ha="center")


def _cell(axes: Axes, column: int, top_px: float, number: int, share: float) -> None:
    corner = (LEFT_PX + column * CELL_W_PX, top_px)
    shade = _shade(DARKEST * share**FAINT_SHARES_UP)
    axes.add_patch(Rectangle(corner, CELL_W_PX, CELL_H_PX, facecolor=shade, edgecolor=LINE, linewidth=0.6))
    color = INK if number else DIM
    words(
        axes,
        corner[0] + CELL_W_PX / 2,
        top_px + CELL_H_PX / 2 + 5,
        str(number or "·"),
        color=color,
        ha="center",
    )


def _outline(axes: Axes, row: int, top_px: float) -> None:
    corner = (LEFT_PX + row * CELL_W_PX + 1.5, top_px + 1.5)
    inner: dict[str, Any] = {"facecolor": "none", "edgecolor": INK, "linewidth": 1.8, "zorder": 3}
    axes.add_patch(Rectangle(corner, CELL_W_PX - 3.0, CELL_H_PX - 3.0, **inner))


def _middle_px(column: int, count: int) -> float:
    gap_px = MARGIN_PX / 2 if column >= count else 0.0
    return LEFT_PX + gap_px + (column + 0.5) * CELL_W_PX


def _shade(ink: float) -> str:
    red, green, blue = (
        ink * dark + (1.0 - ink) * light for dark, light in zip(to_rgb(INK), to_rgb(PANEL), strict=True)
    )
    return to_hex((red, green, blue))
