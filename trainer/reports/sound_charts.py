"""Charts of a sound: its long-term spectrum beside a reference, and its spectrogram."""

from pathlib import Path
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.axis import Axis
from matplotlib.colors import LinearSegmentedColormap
from matplotlib.ticker import NullLocator
from numpy.typing import ArrayLike

from trainer.dsp.octave_bands import OCTAVES
from trainer.practice.band_scale import OCTAVE_SCALE
from trainer.reports.lanes import label_of
from trainer.reports.paper import CUT, DIM, INK, LANE, LINE, PANEL, SMALL, TITLE, page, points, words

LOWEST_HZ, HIGHEST_HZ = OCTAVES[0].low_hz, OCTAVES[-1].high_hz
CHALK_ON_SLATE = LinearSegmentedColormap.from_list("slate", ["#101a1c", "#3a565c", "#a39d88", "#fffdf6"])
"""Dark to light in even steps, readable in grey: level is never told by hue."""


def spectrum_chart(
    frequencies_hz: ArrayLike,
    levels_db: ArrayLike,
    path: Path,
    *,
    title: str,
    name: str = "this sound",
    reference_hz: ArrayLike = (),
    reference_db: ArrayLike = (),
    reference_name: str = "IEC 60268-1",
) -> None:
    """Draw a long-term spectrum, and dashed beside it the one it is held against.

    Parameters
    ----------
    frequencies_hz, levels_db
        The sound's, by third-octave band or finer.
    reference_hz, reference_db
        The reference's, such as the simulated programme signal of IEC 60268-1:1985, Table II.
    """
    with page(path, height_px=600) as canvas:
        words(canvas, 96, 48, title, size_px=TITLE, weight="bold")
        axes = _plot(canvas, ylabel="level, dB")
        _octave_lanes(axes)
        axes.plot(np.asarray(frequencies_hz), np.asarray(levels_db), color=INK, linewidth=2.2)
        words(canvas, 1256, 48, f"line: {name}{_beside(reference_hz, reference_name)}", ha="right", color=DIM)
        if np.size(reference_hz):
            axes.plot(
                np.asarray(reference_hz), np.asarray(reference_db), color=CUT, linewidth=1.8, dashes=(4, 2)
            )


def _beside(reference_hz: ArrayLike, reference_name: str) -> str:
    return f" · dashes: {reference_name}" if np.size(reference_hz) else ""


def spectrogram_chart(
    times_s: ArrayLike,
    frequencies_hz: ArrayLike,
    levels_db: ArrayLike,
    path: Path,
    *,
    title: str,
    range_db: float = 80.0,
) -> None:
    """Draw a spectrogram, frequency upwards on a logarithmic scale.

    Parameters
    ----------
    times_s, frequencies_hz, levels_db
        ``levels_db`` has a row a frequency and a column a time.
    range_db
        How far below the loudest point still shows.
    """
    levels = np.asarray(levels_db, dtype=float)
    loudest_db = float(levels.max())
    with page(path, height_px=600) as canvas:
        words(canvas, 96, 48, title, size_px=TITLE, weight="bold")
        words(
            canvas,
            1256,
            48,
            f"lightest: {loudest_db:.0f} dB, darkest: {range_db:.0f} dB below",
            ha="right",
            color=DIM,
        )
        axes = _plot(canvas, ylabel="frequency, Hz")
        limits: dict[str, Any] = {"vmin": loudest_db - range_db, "vmax": loudest_db, "cmap": CHALK_ON_SLATE}
        shown = np.asarray(frequencies_hz) > 0.0
        axes.pcolormesh(
            np.asarray(times_s),
            np.asarray(frequencies_hz)[shown],
            levels[shown],
            shading="nearest",
            rasterized=True,
            **limits,
        )
        axes.set(
            yscale="log",
            ylim=(LOWEST_HZ, HIGHEST_HZ),
        )
        axes.set_xlabel("time, s", color=DIM, fontsize=points(SMALL))
        _octave_ticks(axes.yaxis)


def _plot(canvas: Axes, *, ylabel: str) -> Axes:
    figure = canvas.figure
    axes = figure.add_axes((96 / 1280, 0.13, 1160 / 1280, 0.72), facecolor=PANEL)
    axes.set_ylabel(ylabel, color=DIM, fontsize=points(SMALL))
    axes.tick_params(colors=DIM, labelsize=points(SMALL), length=4)
    axes.tick_params(which="minor", length=0)
    for edge in axes.spines.values():
        edge.set_color(LINE)
    return axes


def _octave_lanes(axes: Axes) -> None:
    """Put the ten lanes behind the curve, each as wide as its octave band."""
    axes.set(xscale="log", xlim=(LOWEST_HZ, HIGHEST_HZ))
    for band in OCTAVES[1::2]:
        axes.axvspan(band.low_hz, band.high_hz, color=LANE, linewidth=0.0, zorder=0)
    axes.grid(visible=True, axis="y", color=LINE, linewidth=0.8, dashes=(1.2, 3.6))
    axes.set_axisbelow(True)
    axes.set_xlabel("frequency, Hz", color=DIM, fontsize=points(SMALL))
    _octave_ticks(axes.xaxis)


def _octave_ticks(axis: Axis) -> None:
    axis.set_ticks(OCTAVE_SCALE.names_hz, [label_of(centre_hz) for centre_hz in OCTAVE_SCALE.names_hz])
    axis.set_minor_locator(NullLocator())
