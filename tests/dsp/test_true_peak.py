"""True peak against EBU Tech 3341 (2023), Table 1, cases 15 to 19, libebur128 and plain oversampling."""

import math

import numpy as np
import pyebur128  # type: ignore[import-untyped]
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import signal

from tests.signals import pink_noise, sine, white_noise
from trainer.dsp.fades import fade_in, fade_out
from trainer.dsp.level import sample_peak_db
from trainer.dsp.loudness import true_peak_dbtp
from trainer.sound import RATE_HZ, Sound


def tone(divisor: int, phase_deg: float, amplitude: float) -> Sound:
    """Return a faded sine at a whole fraction of the rate, in two channels."""
    whole = sine(
        frequency_hz=RATE_HZ / divisor,
        duration_s=0.5,
        phase_deg=phase_deg,
        peak_dbfs=20 * math.log10(amplitude),
        channels=2,
    )
    return fade_out(fade_in(whole, duration_s=0.05), duration_s=0.05)


CASES = (
    (4, 0.0, 0.5, -6.0, -6.02),
    (4, 45.0, 0.5, -6.0, -9.03),
    (6, 60.0, 0.5, -6.0, -7.27),
    (8, 67.5, 0.5, -6.0, -6.71),
    (4, 45.0, 1.41, 3.0, -0.03),
)
"""Rate over frequency, phase, amplitude; true peak; what a sample-peak meter reads."""


@pytest.mark.parametrize(("divisor", "phase_deg", "amplitude", "peak_dbtp", "sample_db"), CASES)
def test_peaks_between_samples_are_found(
    divisor: int, phase_deg: float, amplitude: float, peak_dbtp: float, sample_db: float
) -> None:
    """EBU Tech 3341 (2023), Table 1, cases 15 to 19: +0.2 / -0.4 dB."""
    sound = tone(divisor, phase_deg, amplitude)
    assert peak_dbtp - 0.4 <= true_peak_dbtp(sound) <= peak_dbtp + 0.2
    assert sample_peak_db(sound) == pytest.approx(sample_db, abs=0.01)


def test_the_tones_read_as_in_libebur128() -> None:
    """libebur128 (pyebur128 0.1.1), its own 49-tap interpolation: within 0.08 dB."""
    for divisor, phase_deg, amplitude, _, _ in CASES:
        sound = tone(divisor, phase_deg, amplitude)
        state = pyebur128.R128State(2, RATE_HZ, pyebur128.MeasurementMode.MODE_TRUE_PEAK)
        state.add_frames(np.ascontiguousarray(sound.samples.ravel()), sound.frames)
        reference_db = 20 * math.log10(pyebur128.get_true_peak(state, 0))
        assert true_peak_dbtp(sound) == pytest.approx(reference_db, abs=0.08)


@settings(deadline=None, max_examples=40)
@given(frames=st.integers(1, 4000), seed=st.integers(0, 99), decay=st.sampled_from([0.0, 5.0, 200.0]))
def test_passing_over_blocks_changes_nothing(frames: int, seed: int, decay: float) -> None:
    """``scipy.signal.resample_poly`` of the whole sound, samples as they are: within 1e-4 dB."""
    noise = white_noise(duration_s=frames / RATE_HZ, seed=seed, channels=2)
    sound = Sound.of(noise.samples * np.exp(-decay * np.arange(frames) / 4000)[:, None])
    whole = signal.resample_poly(sound.samples.astype(np.float64), 4, 1, axis=0)
    whole[::4] = sound.samples
    assert true_peak_dbtp(sound) == pytest.approx(20 * math.log10(np.abs(whole).max()), abs=1e-4)


def test_the_seam_of_a_loop_counts_only_where_it_loops() -> None:
    """A sine of whole periods has its own peak at the seam; cut off, the step rings above it."""
    whole = sine(frequency_hz=12_000, duration_s=0.5, phase_deg=45, peak_dbfs=-6)
    assert true_peak_dbtp(whole, loop=True) == pytest.approx(-6.0, abs=0.02)
    assert true_peak_dbtp(whole) > -5.9


def test_where_a_loop_starts_does_not_matter() -> None:
    noise = pink_noise(duration_s=0.1, seed=1, channels=2)
    expected_db = true_peak_dbtp(noise, loop=True)
    for shift in (1, 17, 2000):
        turned = Sound(np.roll(noise.samples, shift, axis=0))
        assert true_peak_dbtp(turned, loop=True) == pytest.approx(expected_db, abs=1e-5)


def test_a_loop_of_a_few_frames_is_measured_too() -> None:
    assert true_peak_dbtp(Sound.of([1.0, 1.0, -1.0, -1.0]), loop=True) == pytest.approx(3.01, abs=0.05)


def test_silence_and_what_is_no_number() -> None:
    assert true_peak_dbtp(Sound.silence(100)) == -math.inf
    assert true_peak_dbtp(Sound.silence(0)) == -math.inf
    with pytest.raises(ValueError, match="no numbers"):
        true_peak_dbtp(Sound.of([0.0, math.nan]))
    with pytest.raises(ValueError, match="no numbers"):
        true_peak_dbtp(Sound.of([0.0, math.inf]))


def test_a_true_peak_below_what_is_of_interest_is_not_looked_for() -> None:
    """EBU Tech 3341: the tone at a quarter of the rate, 45 degrees off, reads -6 dBTP and not its samples' -9."""
    tone = fade_in(
        fade_out(sine(frequency_hz=12_000.0, duration_s=0.5, peak_dbfs=-6.0, phase_deg=45.0), duration_s=0.1),
        duration_s=0.1,
    )
    assert true_peak_dbtp(tone, at_least_dbtp=-8.0) == true_peak_dbtp(tone) == pytest.approx(-6.0, abs=0.2)
    assert true_peak_dbtp(tone, at_least_dbtp=-1.0) == pytest.approx(-1.0)
