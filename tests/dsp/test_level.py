"""Levels against their definitions: decibels of a sine, of a square, of sums."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.signals import sine, white_noise
from trainer.dsp.level import gain, mix_of, rms_db, sample_peak_db
from trainer.sound import Sound


def test_a_full_scale_sine_reads_three_decibels_below_full_scale() -> None:
    """By definition of the mean square: 10 lg(1/2) = -3.0103 dB; its peak is 0 dB."""
    tone = sine(frequency_hz=1000, duration_s=1, channels=2)
    assert rms_db(tone) == pytest.approx(-3.0103, abs=1e-4)
    assert sample_peak_db(tone) == pytest.approx(0.0, abs=1e-6)


def test_a_negative_peak_counts() -> None:
    assert sample_peak_db(Sound.of([0.1, -0.5, 0.2])) == pytest.approx(-6.0206, abs=1e-4)


def test_silence_has_no_level() -> None:
    assert rms_db(Sound.silence(10)) == -math.inf
    assert sample_peak_db(Sound.silence(10)) == -math.inf
    assert sample_peak_db(Sound.silence(0)) == rms_db(Sound.silence(0)) == -math.inf


@given(gain_db=st.floats(-60, 20))
def test_gain_moves_the_level_by_what_it_says(gain_db: float) -> None:
    noise = white_noise(duration_s=0.01, seed=1)
    assert rms_db(gain(noise, gain_db=gain_db)) == pytest.approx(rms_db(noise) + gain_db, abs=1e-4)


def test_no_gain_at_all_is_silence() -> None:
    assert rms_db(gain(white_noise(duration_s=0.01, seed=1), gain_db=-math.inf)) == -math.inf


def test_sums_of_two_equally_loud_sounds() -> None:
    """Sum of equal signals +6.02 dB, of uncorrelated ones +3.01 dB, with one inverted silence."""
    one, other = white_noise(duration_s=5, seed=1), white_noise(duration_s=5, seed=2)
    assert rms_db(mix_of([one, one])) - rms_db(one) == pytest.approx(6.0206, abs=1e-3)
    assert rms_db(mix_of([one, other])) - rms_db(one) == pytest.approx(3.0103, abs=0.05)
    assert rms_db(mix_of([one, Sound(-one.samples)])) == -math.inf


def test_a_mix_of_unlike_sounds_is_refused() -> None:
    with pytest.raises(ValueError, match=r"\(9, 2, 48000\), \(10, 2, 48000\)"):
        mix_of([Sound.silence(10), Sound.silence(9)])
    with pytest.raises(ValueError, match="not \\[\\]"):
        mix_of([])


def test_mixing_leaves_the_parts_alone() -> None:
    part = white_noise(duration_s=0.01, seed=3)
    before = part.samples.copy()
    mixed = mix_of([part])
    assert mixed.samples is not part.samples
    assert np.array_equal(part.samples, before)
