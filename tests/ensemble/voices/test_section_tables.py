"""Looped tables and the clock that reads them, against exact sines and the arithmetic of sums."""

import numpy as np
import pytest

from trainer.ensemble.voices import reading
from trainer.ensemble.voices.section_tables import (
    LAYER_LEVELS,
    TABLE_RATE_HZ,
    Floats,
    Players,
    anchor_of,
    cycles_of,
    ensemble_table,
    layer_weights,
    reading_ratio,
    table_frames,
)
from trainer.sound import RATE_HZ
from trainer.units import midi_to_hz


def falling_db(frequency_hz: Floats, level: float) -> Floats:
    return np.asarray(-(20.0 - 10.0 * level) * np.log2(np.maximum(frequency_hz, 200.0) / 200.0))


def table_of(pitch: int, seed: int = 1) -> np.ndarray:
    return ensemble_table(
        falling_db, anchor=anchor_of(pitch), players=Players(), rng=np.random.default_rng(seed)
    )


@pytest.mark.parametrize("frequency_hz", [300.0, 2000.0, 5000.0, 8000.0])
def test_reading_is_true_to_a_sine(frequency_hz: float) -> None:
    """Against the exact complex exponential, read 0.07 % fast from a broken place: 54 dB true up to 8 kHz."""
    length, frames, start, ratio = 1 << 15, 24_000, 33.3, 2.0014
    cycles = round(frequency_hz * length / TABLE_RATE_HZ)
    line = np.exp(2j * np.pi * cycles * np.arange(length) / length).astype(np.complex64)
    time_s = reading.moments(frames)
    place = reading.clock(np.zeros(len(time_s)), ratio=ratio, start=start)
    table, weights = np.stack([line.real, line.imag])[None], np.ones((1, len(time_s)))
    read = reading.read(table, place=place, weights=weights, frames=frames)
    exact = np.exp(2j * np.pi * cycles / length * (start + ratio * np.arange(frames)))
    assert 10.0 * np.log10(np.mean(np.abs(read - exact) ** 2)) < -54.0


def test_a_clock_strays_as_told() -> None:
    """By definition of the cent: 1200 cents up for a second reads twice as far."""
    time_s = reading.moments(RATE_HZ)
    place = reading.clock(np.full(len(time_s), 1200.0), ratio=1.0, start=7.0)
    assert place[-1] - place[0] == pytest.approx(2.0 * RATE_HZ, rel=1e-9)


@pytest.mark.parametrize("pitch", range(28, 96, 7))
def test_a_table_and_its_reading_give_the_standard_pitch(pitch: int) -> None:
    """ISO 16: the cycles of the table times the reading ratio are the note's frequency."""
    anchor = anchor_of(pitch)
    read_hz = cycles_of(anchor) * RATE_HZ / table_frames(anchor) * reading_ratio(pitch)
    assert read_hz == pytest.approx(midi_to_hz(pitch), rel=1e-12)
    assert 0.88 < reading_ratio(pitch) * RATE_HZ / TABLE_RATE_HZ < 1.13


def test_a_table_loops_without_a_seam() -> None:
    """The step from the last frame to the first is like the steps beside it."""
    table = table_of(60)[0].T
    steps = np.abs(np.diff(table, axis=0))
    assert np.abs(table[0] - table[-1]).max() < steps.max()
    assert np.abs(table.mean(axis=0)).max() < 1e-5


def test_mixing_layers_never_combs() -> None:
    """Layers share their phases, so half of one and half of the next is as loud as the two spectra say.

    By the arithmetic of coherent sums: power ((a + b) / 2) squared, harmonic by harmonic; incoherent layers
    would lose 3 dB.
    """
    layers = table_of(60)
    assert np.allclose(np.square(layers).mean(axis=(1, 2)), 1.0, rtol=1e-3)
    mixed = 0.5 * (layers[0] + layers[1])
    correlation = float((layers[0] * layers[1]).mean())
    assert np.square(mixed).mean() == pytest.approx(0.5 + 0.5 * correlation, rel=1e-3)
    assert correlation > 0.85


def test_layer_weights_run_straight_between_the_levels() -> None:
    """Linear interpolation: weights sum to one, and each layer is alone at its own level."""
    assert np.allclose(layer_weights(np.array(LAYER_LEVELS)), np.eye(len(LAYER_LEVELS)))
    assert np.allclose(layer_weights(np.linspace(0.0, 1.4, 29)).sum(axis=0), 1.0)


def test_two_ears_hear_a_section_differently() -> None:
    """Written for this project: left and right correlate by 0.4 to 0.95 before any room."""
    table = table_of(55)
    assert 0.4 < np.corrcoef(table.swapaxes(0, 1).reshape(2, -1))[0, 1] < 0.95
