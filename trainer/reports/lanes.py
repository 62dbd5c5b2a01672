"""Lanes: ten octave bands side by side, low to high, each with its chalk line."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.colors import to_rgb
from matplotlib.patches import FancyBboxPatch, Rectangle

from trainer.reports.paper import DIM, HEADING, INK, LANE, LINE, PANEL, SMALL, points, words

LEFT_PX, LANE_PX = 96.0, 116.0
TOP_PX, ZERO_PX, BOTTOM_PX = 136.0, 536.0, 600.0
HASH_PX = 7.0
CHALK_SHARE, BLUR_SHARE, PAST_SHARE = 0.66, 0.50, 0.74
"""How much of a lane's width the chalk line, its blur and the past take up."""


@dataclass(frozen=True, slots=True)
class Lane:
    """What one lane shows, on a scale from 0 (bottom) to 1 (top).

    Attributes
    ----------
    now
        The chalk line; None where there is no figure yet, or it lies beyond the scale.
    blur
        Where the blur begins, is densest, and ends; None where there is no figure yet.
    goes_on
        Whether the blur goes on beyond the scale.
    first
        The dashes of week 1, or None.
    past
        Week by week, how far along the season (0 to 1) and how high.
    figure, basis
        The two lines of words at the foot.
    """

    name: str
    figure: str
    basis: str
    now: float | None = None
    blur: tuple[float, float, float] | None = None
    goes_on: bool = False
    first: float | None = None
    past: tuple[tuple[float, float], ...] = ()


def draw_lanes(axes: Axes, lanes: Sequence[Lane], *, scale: Sequence[tuple[float, str]]) -> None:
    """Draw the lanes on a page, with lines across them at the ``scale``'s heights."""
    _field(axes, len(lanes), scale)
    for number, lane in enumerate(lanes):
        left_px = LEFT_PX + number * LANE_PX
        _foot(axes, lane, left_px)
        if lane.blur is not None:
            _blur(axes, left_px, *lane.blur)
        if lane.goes_on:
            _goes_on(axes, left_px)
        if lane.first is not None:
            _across(axes, left_px, lane.first, BLUR_SHARE + 0.34, color=DIM, linewidth=1.6, dashes=(3.2, 2.2))
        _past(axes, lane, left_px)
        if lane.now is not None:
            _across(axes, left_px, lane.now, CHALK_SHARE, color=INK, linewidth=3.2)


def label_of(key: float | str) -> str:
    """Return the name over a lane: 31.5, 63 … 1k … 16k; words stay as they are."""
    if isinstance(key, str):
        return key
    return f"{key / 1000:g}k" if key >= 1000 else f"{key:g}"


def height_px(value: float) -> float:
    """Return where on the page a height from 0 to 1 is."""
    return ZERO_PX + value * (TOP_PX + 24.0 - ZERO_PX)


def _field(axes: Axes, count: int, scale: Sequence[tuple[float, str]]) -> None:
    right_px = LEFT_PX + count * LANE_PX
    box = (LEFT_PX, TOP_PX), right_px - LEFT_PX, BOTTOM_PX - TOP_PX
    rounded: dict[str, Any] = {"boxstyle": "round,pad=0,rounding_size=8", "linewidth": 0.0}
    outline = FancyBboxPatch(*box, facecolor=PANEL, **rounded)
    axes.add_patch(outline)
    for number in range(1, count, 2):
        stripe = Rectangle((LEFT_PX + number * LANE_PX, TOP_PX), LANE_PX, BOTTOM_PX - TOP_PX, facecolor=LANE)
        axes.add_patch(stripe)
        stripe.set_clip_path(outline)
    for value, label in scale:
        y_px = height_px(value)
        axes.plot([LEFT_PX, right_px], [y_px, y_px], color=LINE, linewidth=0.8, dashes=(1.2, 3.6))
        words(axes, LEFT_PX - 12, y_px, label, size_px=SMALL, color=DIM, ha="right", va="center_baseline")
        for edge in range(count + 1):
            _hash(axes, LEFT_PX + edge * LANE_PX, y_px, at_start=edge == 0, at_end=edge == count)
    axes.plot([LEFT_PX, right_px], [ZERO_PX, ZERO_PX], color=LINE, linewidth=1.0)
    axes.add_patch(FancyBboxPatch(*box, facecolor="none", edgecolor=LINE, **(rounded | {"linewidth": 1.0})))


def _hash(axes: Axes, x_px: float, y_px: float, *, at_start: bool, at_end: bool) -> None:
    ends = [x_px - (0.0 if at_start else HASH_PX), x_px + (0.0 if at_end else HASH_PX)]
    axes.plot(ends, [y_px, y_px], color=LINE, linewidth=1.2, solid_capstyle="butt")


def _foot(axes: Axes, lane: Lane, left_px: float) -> None:
    middle_px = left_px + LANE_PX / 2
    words(
        axes,
        middle_px,
        ZERO_PX + 26,
        lane.figure,
        weight="bold",
        ha="center",
        color=DIM if lane.blur is None else INK,
    )
    words(axes, middle_px, ZERO_PX + 48, lane.basis, size_px=SMALL, ha="center", color=DIM)
    words(axes, middle_px, BOTTOM_PX + 26, lane.name, size_px=HEADING, weight="bold", ha="center")


def _goes_on(axes: Axes, left_px: float) -> None:
    """Say with a sign that there is more above the scale."""
    at = left_px + LANE_PX / 2, (TOP_PX + height_px(1.0)) / 2
    axes.plot(*at, marker="^", markersize=points(9.0), color=INK, zorder=4)


def _blur(axes: Axes, left_px: float, low: float, now: float, high: float) -> None:
    """Chalk rubbed with a thumb: densest on the line, thinner towards the interval's ends, where it stops."""
    if low >= high:
        return
    heights = np.linspace(low, high, 64)[:, None]
    span = np.where(heights < now, max(now - low, 1e-9), max(high - now, 1e-9))
    across = np.linspace(-1.0, 1.0, 48)[None, :]
    density = (0.34 - 0.20 * np.abs(heights - now) / span) * (1.0 - across**8)
    image = np.empty((*density.shape, 4))
    image[..., :3] = to_rgb(INK)
    image[..., 3] = density
    half_px = 0.5 * BLUR_SHARE * LANE_PX
    middle_px = left_px + LANE_PX / 2
    place = (middle_px - half_px, middle_px + half_px, height_px(low), height_px(high))
    axes.imshow(image, extent=place, origin="lower", aspect="auto", interpolation="bilinear", zorder=2)


def _across(axes: Axes, left_px: float, value: float, share: float, **style: Any) -> None:
    inset_px = 0.5 * (1.0 - share) * LANE_PX
    ends = [left_px + inset_px, left_px + LANE_PX - inset_px]
    axes.plot(ends, [height_px(value)] * 2, zorder=4, dash_capstyle="butt", solid_capstyle="round", **style)


def _past(axes: Axes, lane: Lane, left_px: float) -> None:
    inset_px = 0.5 * (1.0 - PAST_SHARE) * LANE_PX
    along = [left_px + inset_px + share * PAST_SHARE * LANE_PX for share, _ in lane.past]
    heights = [height_px(value) for _, value in lane.past]
    axes.plot(
        along, heights, linestyle="none", marker="o", markersize=points(6.0), markerfacecolor=PANEL,
        markeredgecolor=DIM, markeredgewidth=1.0, zorder=5,
    )  # fmt: skip
