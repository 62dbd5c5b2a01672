"""The modal sum against its own formula in double precision, and the glide against a chirp's closed form."""

import numpy as np
import pytest

from trainer.ensemble.voices.modal import FLOOR_DB, TOP_HZ, Modes, glide, modal_sum, ring
from trainer.sound import RATE_HZ


def random_modes(count: int, seed: int) -> Modes:
    rng = np.random.default_rng(seed)
    return Modes(
        np.exp(rng.uniform(np.log(40.0), np.log(15_000.0), count)),
        rng.uniform(0.05, 5.0, count),
        rng.uniform(0.01, 1.0, count),
        rng.uniform(0.0, 2.0 * np.pi, count),
    )


@pytest.mark.parametrize(("count", "frames"), [(1, 1_000), (7, 96_000), (40, 48_123)])
def test_the_matrix_product_is_the_textbook_sum(count: int, frames: int) -> None:
    """Textbook: sum of a exp(-6.9078 t / T60) sin(2 pi f t + ph), mode by mode in float64."""
    modes = random_modes(count, seed=count)
    t = np.arange(frames) / RATE_HZ
    textbook = np.zeros(frames)
    rows = zip(modes.frequency_hz, modes.t60_s, modes.amplitude, modes.phase_rad, strict=True)
    for frequency_hz, t60_s, amplitude, phase in rows:
        textbook += (
            amplitude * np.exp(np.log(1e-3) * t / t60_s) * np.sin(2.0 * np.pi * frequency_hz * t + phase)
        )
    error = modal_sum(modes, frames=frames) - textbook
    assert 10.0 * np.log10(np.mean(error**2) / np.mean(textbook**2)) < -120.0


def test_ringing_apart_by_length_changes_only_what_lies_at_the_floor() -> None:
    """The same sum uncut: each mode may differ from it by no more than the floor."""
    modes = random_modes(30, seed=9)
    sound = ring(modes)
    whole = modal_sum(modes, frames=len(sound))
    loudest = modes.amplitude.max()
    assert np.abs(sound - whole).max() < 30 * loudest * 10.0 ** (FLOOR_DB / 20.0)


def test_modes_too_high_for_the_rate_are_left_out_not_folded_down() -> None:
    """Nyquist: 30 kHz sampled at 48 kHz would sound at 18 kHz."""
    modes = Modes(np.array([30_000.0, TOP_HZ + 1.0]), np.full(2, 1.0), np.ones(2), np.zeros(2))
    assert not ring(modes).any()


def test_a_ring_is_cut_where_it_is_told_and_ends_in_silence() -> None:
    modes = Modes(np.array([200.0]), np.array([20.0]), np.ones(1), np.zeros(1))
    sound = ring(modes, longest_s=1.0)
    assert len(sound) == RATE_HZ
    assert abs(sound[-1]) < 1e-6


@pytest.mark.parametrize("depth", [0.06, 0.5])
def test_a_glide_is_the_warped_sine(depth: float) -> None:
    """Closed form: sin(2 pi f (t + d tau (1 - exp(-t / tau)))), whose frequency falls from f (1 + d) to f."""
    frequency_hz, time_s, frames = 60.0, 0.03, 24_000
    t = np.arange(frames) / RATE_HZ
    plain = np.sin(2.0 * np.pi * frequency_hz * np.arange(frames + 2_000) / RATE_HZ).astype(np.float32)
    wanted = np.sin(2.0 * np.pi * frequency_hz * (t + depth * time_s * (1.0 - np.exp(-t / time_s))))
    error = glide(plain, depth=depth, time_s=time_s)[:frames] - wanted
    assert np.abs(error).max() < 3e-4
