"""The charts of a sound: curves and lanes where the standards put them."""

from pathlib import Path

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from trainer.reports import paper
from trainer.reports.sound_charts import spectrogram_chart, spectrum_chart

PROGRAMME_HZ = (31.5, 63.0, 125.0, 250.0, 500.0, 1000.0, 2000.0, 4000.0, 8000.0, 16000.0)
PROGRAMME_DB = (-7.4, -2.3, -0.5, 0.0, 0.0, -0.1, -1.0, -3.7, -9.4, -18.2)
"""IEC 60268-1:1985, Table II, at the octave bands' centres."""


@pytest.fixture
def drawn(monkeypatch: pytest.MonkeyPatch) -> list[Figure]:
    kept: list[Figure] = []

    def keep(figure: Figure, _path: Path, _ending: str) -> None:
        FigureCanvasAgg(figure).draw()
        kept.append(figure)

    monkeypatch.setattr(paper, "_save", keep)
    return kept


def test_the_curves_are_the_numbers_and_the_lanes_are_the_octave_bands(
    drawn: list[Figure], tmp_path: Path
) -> None:
    """IEC 60268-1:1985, Table II for the reference; IEC 61260-1:2014 for the edges at 44.67 and 89.13 Hz."""
    levels = np.arange(10.0)
    spectrum_chart(
        PROGRAMME_HZ,
        levels,
        tmp_path / "s.png",
        title="Mix",
        reference_hz=PROGRAMME_HZ,
        reference_db=PROGRAMME_DB,
    )
    axes = drawn[0].axes[1]
    line, dashes = axes.lines
    assert list(line.get_ydata()) == list(levels)
    assert list(dashes.get_ydata()) == list(PROGRAMME_DB)
    assert dashes.is_dashed()
    edges = axes.patches[0].get_extents().transformed(axes.transData.inverted())
    assert (edges.x0, edges.x1) == pytest.approx((44.668, 89.125), rel=1e-4)
    assert [label.get_text() for label in axes.get_xticklabels()] == [
        "31.5",
        "63",
        "125",
        "250",
        "500",
        "1k",
        "2k",
        "4k",
        "8k",
        "16k",
    ]


def test_without_a_reference_nothing_is_dashed(drawn: list[Figure], tmp_path: Path) -> None:
    spectrum_chart(PROGRAMME_HZ, PROGRAMME_DB, tmp_path / "s.png", title="Mix")
    assert len(drawn[0].axes[1].lines) == 1
    assert not any("dashes" in text.get_text() for text in drawn[0].axes[0].texts)


def test_the_loudest_point_of_a_spectrogram_is_the_lightest(drawn: list[Figure], tmp_path: Path) -> None:
    levels = np.full((20, 30), -100.0)
    levels[7, 11] = -12.0
    spectrogram_chart(
        np.linspace(0, 3, 30), np.geomspace(30, 15000, 20), levels, tmp_path / "s.png", title="Mix"
    )
    (mesh,) = drawn[0].axes[1].collections
    colours = mesh.to_rgba(mesh.get_array())[..., :3].sum(axis=-1)
    assert np.unravel_index(np.argmax(colours), levels.shape) == (7, 11)
    assert mesh.get_clim() == (-92.0, -12.0)


def test_the_scale_of_levels_rises_evenly_to_the_eye() -> None:
    """Lighter is always louder: the relative luminance (WCAG 2.1) never falls along the scale."""
    from trainer.reports.sound_charts import CHALK_ON_SLATE

    shades = CHALK_ON_SLATE(np.linspace(0, 1, 64))[:, :3] ** 2.2 @ (0.2126, 0.7152, 0.0722)
    assert np.all(np.diff(shades) > 0)


def test_both_are_written(tmp_path: Path) -> None:
    spectrum_chart(PROGRAMME_HZ, PROGRAMME_DB, tmp_path / "spectrum.svg", title="Mix")
    spectrogram_chart([0.0, 1.0], [0.0, 100.0, 1000.0], np.zeros((3, 2)), tmp_path / "gram.png", title="Mix")
    assert {file.stem for file in tmp_path.iterdir()} == {"spectrum", "gram"}
