"""The peak limiter against what it promises: the ceiling, the frames it may touch, the seam."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal

from tests.signals import pink_noise, sine
from trainer.dsp.dynamics import hold_peaks, limit_peaks
from trainer.dsp.level import sample_peak
from trainer.sound import RATE_HZ, Sound

REACH = round(0.003 * RATE_HZ)


@settings(deadline=None, max_examples=60)
@given(
    ratio=st.floats(0.1, 0.999), seed=st.integers(0, 50), frames=st.integers(1, 6000),
    look_ahead_s=st.sampled_from([0.0, 0.0005, 0.003, 0.02]),
)  # fmt: skip
def test_no_sample_passes_the_ceiling_and_the_greatest_reaches_it(
    ratio: float, seed: int, frames: int, look_ahead_s: float
) -> None:
    noise = pink_noise(duration_s=frames / RATE_HZ + 0.001, seed=seed, channels=2)
    ceiling = ratio * sample_peak(noise)
    peak = sample_peak(limit_peaks(noise, ceiling=ceiling, look_ahead_s=look_ahead_s))
    assert peak <= ceiling
    assert peak == pytest.approx(ceiling, rel=1e-6)


def test_below_the_ceiling_the_same_sound_comes_back() -> None:
    noise = pink_noise(duration_s=0.1, seed=1)
    assert limit_peaks(noise, ceiling=1.0) is noise


def with_peaks(*places: int) -> Sound:
    samples = np.array(sine(frequency_hz=200, duration_s=0.5, peak_dbfs=-12, channels=2).samples)
    samples[list(places), 0] = 1.0
    return Sound(samples)


@pytest.mark.parametrize(
    "places", [(5000,), (5000, 5200), (5000, 9000, 20_000), (3,), (23_999,), (3, 23_990)]
)
def test_only_the_moments_around_a_peak_are_touched(places: tuple[int, ...]) -> None:
    sound = with_peaks(*places)
    held = limit_peaks(sound, ceiling=0.5)
    distance = np.min([np.abs((np.arange(24_000) - p + 12_000) % 24_000 - 12_000) for p in places], axis=0)
    assert_array_equal(held.samples[distance > REACH], sound.samples[distance > REACH])
    near = (distance < REACH // 2) & (np.abs(sound.samples[:, 1]) > 0.01)
    assert np.all(np.abs(held.samples[near]) < np.abs(sound.samples[near]))
    assert_allclose(held.samples[list(places), 0], 0.5, rtol=1e-6)


def test_the_gain_is_one_for_both_channels_and_moves_smoothly() -> None:
    """From 0 to 6 dB in 3 ms: a raised cosine never falls by more than π/2 times the mean slope a frame."""
    sound = Sound.of(np.where(np.arange(2400)[:, None] == 1200, (1.0, 0.5), (0.25, 0.125)))
    gain = limit_peaks(sound, ceiling=0.5).samples / sound.samples
    assert_allclose(gain[:, 0], gain[:, 1], rtol=1e-6)
    assert gain[1200, 0] == pytest.approx(0.5, rel=1e-6)
    assert np.abs(np.diff(gain[:, 0])).max() <= 1.3 * 0.5 * np.pi / 2 / REACH


def test_the_gain_falls_as_the_integral_of_a_raised_cosine() -> None:
    """After a fraction x it has gone x - sin(2πx) / 2π of the way: 0.0908 at a quarter, 0.5 at the half."""
    sound = Sound.of(np.where(np.arange(2400) == 1200, 1.0, 0.25))
    fallen = 2 * (1 - limit_peaks(sound, ceiling=0.5).samples[:, 0] / sound.samples[:, 0])
    for fraction, expected in ((0.25, 0.0908), (0.5, 0.5), (0.75, 0.9092)):
        before, after = 1200 - round((1 - fraction) * REACH), 1200 + round((1 - fraction) * REACH)
        assert fallen[before] == pytest.approx(expected, abs=0.01)
        assert fallen[after] == pytest.approx(expected, abs=0.01)


@pytest.mark.parametrize("ratio", [0.1, 0.3, 0.5, 0.7])
def test_a_short_loop_with_peaks_everywhere_has_no_seam_either(ratio: float) -> None:
    """Three turns of a loop, limited, are three turns of the limited loop."""
    noise = pink_noise(duration_s=0.02, seed=4, channels=2)
    ceiling = ratio * sample_peak(noise)
    limited = limit_peaks(noise, ceiling=ceiling).samples
    three = Sound(np.tile(noise.samples, (3, 1)))
    assert_allclose(limit_peaks(three, ceiling=ceiling).samples, np.tile(limited, (3, 1)), atol=1e-6)


@pytest.mark.parametrize("shift", [1, 700, 23_000])
def test_the_end_and_the_start_are_neighbours(shift: int) -> None:
    """A loop limited and turned round is the loop turned round and limited."""
    sound = with_peaks(10, 12_000, 23_995)
    turned = Sound(np.roll(sound.samples, shift, axis=0))
    wanted = np.roll(limit_peaks(sound, ceiling=0.5).samples, shift, axis=0)
    assert_allclose(limit_peaks(turned, ceiling=0.5).samples, wanted, atol=1e-7)


def test_a_loop_over_the_ceiling_everywhere_is_only_scaled() -> None:
    flat = Sound.of(np.ones((1000, 2)))
    assert_allclose(limit_peaks(flat, ceiling=0.25).samples, 0.25, rtol=1e-6)


def test_a_ceiling_that_is_no_magnitude_is_refused() -> None:
    with pytest.raises(ValueError, match="positive magnitude"):
        limit_peaks(Sound.silence(10), ceiling=-1.0)


def test_holding_in_place_is_limiting() -> None:
    """By definition: the same samples, without a copy."""
    sound = with_peaks(3, 5000, 5200, 23_999)
    held = np.array(sound.samples)
    hold_peaks(held, ceiling=0.5, rate_hz=RATE_HZ)
    assert_array_equal(held, limit_peaks(sound, ceiling=0.5).samples)
    assert sample_peak(Sound(held)) <= 0.5
