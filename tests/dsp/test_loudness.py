"""Loudness against ITU-R BS.1770, EBU Tech 3341 (2023), ITU-R BS.2217, libebur128 and pyloudnorm."""

import math

import numpy as np
import pyebur128  # type: ignore[import-untyped]
import pyloudnorm  # type: ignore[import-untyped]
import pytest
from numpy.testing import assert_allclose
from scipy import signal

from tests.signals import pink_noise, sine, tone_steps
from trainer.dsp.level import gain
from trainer.dsp.loudness import (
    integrated_loudness_lufs,
    k_weighting,
    momentary_loudness_lufs,
    short_term_loudness_lufs,
)
from trainer.sound import Sound


def test_the_weighting_is_the_recommendations_at_48_khz() -> None:
    """ITU-R BS.1770, Annex 1, Tables 1 and 2."""
    shelf = (1.53512485958697, -2.69169618940638, 1.19839281085285, 1, -1.69065929318241, 0.73248077421585)
    high_pass = (1, -2, 1, 1, -1.99004745483398, 0.99007225036621)
    assert_allclose(k_weighting(48_000), [shelf, high_pass], atol=1e-13)


def test_the_weighting_at_44_khz() -> None:
    """The analogue parameters behind ITU-R BS.1770's tables, transformed to 44.1 kHz; as in libebur128."""
    shelf = (1.53084123005035, -2.65097999515473, 1.16907907992159, 1, -1.66365511325602, 0.71259542807323)
    high_pass = (1, -2, 1, 1, -1.98916967362980, 0.98919903578704)
    assert_allclose(k_weighting(44_100), [shelf, high_pass], atol=1e-13)


def test_the_gain_of_the_weighting() -> None:
    """ITU-R BS.1770, Annex 1: the transfer function of Tables 1 and 2 in dB."""
    frequencies_hz = [20, 31.5, 63, 100, 125, 250, 500, 997, 1000, 2000, 4000, 8000, 16000]
    expected_db = [-13.275, -7.790, -2.664, -1.133, -0.728, -0.153, 0.042]
    expected_db += [0.691, 0.698, 3.071, 3.968, 4.039, 4.043]
    _, response = signal.sosfreqz(k_weighting(48_000), worN=frequencies_hz, fs=48_000)
    assert_allclose(20 * np.log10(np.abs(response)), expected_db, atol=6e-4)


CASES: dict[str, tuple[list[tuple[float, float]], float]] = {
    "1": ([(-23.0, 20)], -22.993),
    "2": ([(-33.0, 20)], -32.993),
    "3": ([(-36, 10), (-23, 60), (-36, 10)], -23.014),
    "4": ([(-72, 10), (-36, 10), (-23, 60), (-36, 10), (-72, 10)], -23.014),
    "5": ([(-26, 20), (-20, 20.1), (-26, 20)], -22.979),
}
"""Steps of EBU Tech 3341 (2023), Table 1, and what the coefficients of BS.1770 exactly give for them."""


@pytest.mark.parametrize("case", CASES)
def test_programme_loudness_of_the_ebu_cases(case: str) -> None:
    """EBU Tech 3341 (2023), Table 1: -23.0 ± 0.1 LUFS (case 2: -33.0); to 0.002 what libebur128 reads."""
    steps, exact_lufs = CASES[case]
    found = integrated_loudness_lufs(tone_steps(steps))
    assert found == pytest.approx(-33.0 if case == "2" else -23.0, abs=0.1)
    assert found == pytest.approx(exact_lufs, abs=0.002)


def test_programme_loudness_of_the_surround_case() -> None:
    """EBU Tech 3341 (2023), Table 1, case 6: L R -28, C -24, Ls Rs -30 dBFS give -23.0 ± 0.1 LUFS."""
    one = sine(frequency_hz=1000, duration_s=20).samples
    surround = Sound.of(one * 10 ** (np.array([-28, -28, -24, -30, -30]) / 20))
    assert integrated_loudness_lufs(surround) == pytest.approx(-23.0, abs=0.1)
    assert integrated_loudness_lufs(surround) == pytest.approx(-23.016, abs=0.002)


def test_short_term_loudness_of_alternating_levels() -> None:
    """EBU Tech 3341 (2023), Table 1, case 9: after 3 s, S = -23.0 ± 0.1 LUFS throughout."""
    levels_lufs = short_term_loudness_lufs(tone_steps([(-20, 1.34), (-30, 1.66)] * 5))
    assert_allclose(levels_lufs, -23.0, atol=0.1)


def test_the_greatest_short_term_loudness_follows_each_burst() -> None:
    """EBU Tech 3341 (2023), Table 1, case 11 (each segment alone): bursts of 3 s read -38, -37 … -19 LUFS."""
    for burst_dbfs in range(-38, -18, 3):
        burst = tone_steps([(-200, 1.0), (burst_dbfs, 3.0), (-200, 1.0)])
        assert short_term_loudness_lufs(burst).max() == pytest.approx(burst_dbfs, abs=0.1)


def test_momentary_loudness_of_alternating_levels() -> None:
    """EBU Tech 3341 (2023), Table 1, case 12: after 1 s, M = -23.0 ± 0.1 LUFS throughout."""
    levels_lufs = momentary_loudness_lufs(tone_steps([(-20, 0.18), (-30, 0.22)] * 25))
    assert_allclose(levels_lufs[6:], -23.0, atol=0.1)


def test_the_calibration_tone() -> None:
    """ITU-R BS.1770: 0 dBFS at 997 Hz in one channel reads -3.01 LKFS; in both, 3.01 LU more."""
    left = sine(frequency_hz=997, duration_s=5).samples[:, 0]
    one = Sound.of(np.column_stack([left, np.zeros_like(left)]))
    assert integrated_loudness_lufs(one) == pytest.approx(-3.01, abs=0.001)
    both = Sound.of(np.column_stack([left, left]))
    assert integrated_loudness_lufs(both) == pytest.approx(0.0, abs=0.001)
    assert integrated_loudness_lufs(Sound.of(left)) == pytest.approx(-3.01, abs=0.001)


@pytest.mark.parametrize(
    ("frequency_hz", "peak_dbfs"),
    [(25, -11.916), (100, -21.176), (500, -22.351), (1000, -23.007), (2000, -25.380), (10_000, -26.351)],
)
def test_tones_across_the_spectrum_read_as_loud(frequency_hz: float, peak_dbfs: float) -> None:
    """ITU-R BS.2217, frequency sweep of compliance tones: each reads -23.0 ± 0.1 LKFS in stereo."""
    tone = sine(frequency_hz=frequency_hz, duration_s=8, peak_dbfs=peak_dbfs, channels=2)
    assert integrated_loudness_lufs(tone) == pytest.approx(-23.0, abs=0.1)
    assert integrated_loudness_lufs(tone, loop=True) == pytest.approx(-23.0, abs=0.005)


def test_the_relative_gate() -> None:
    """ITU-R BS.2217, relative gate: -10.0 ± 0.1 LKFS (-7.94 with the old -8 LU gate, -10.98 without one)."""
    steps = [(-400, 0.5), (-19.9, 0.9), (-7.1, 1.3), (-19.9, 0.8), (-400, 0.5)]
    assert integrated_loudness_lufs(tone_steps(steps)) == pytest.approx(-10.0, abs=0.1)


def test_the_absolute_gate() -> None:
    """ITU-R BS.2217, absolute gate: -69.5 ± 0.1 LKFS (-71.53 without one)."""
    steps = [(-400, 0.8), *([(-69.5, 0.5), (-400, 0.5)] * 3)]
    assert integrated_loudness_lufs(tone_steps(steps)) == pytest.approx(-69.5, abs=0.1)


@pytest.mark.parametrize("rate_hz", [44_100, 48_000, 96_000])
@pytest.mark.parametrize("channels", [1, 2])
def test_noise_reads_as_in_the_reference_libraries(rate_hz: int, channels: int) -> None:
    """libebur128 (pyebur128 0.1.1) within 1e-6 LU; pyloudnorm 0.2.0 with its exact filters within 1e-3 LU."""
    swelling = pink_noise(duration_s=5, seed=8, channels=channels, rate_hz=rate_hz)
    swelling = Sound(
        swelling.samples * np.linspace(0.05, 1, swelling.frames, dtype=np.float32)[:, None], rate_hz
    )
    state = pyebur128.R128State(channels, rate_hz, pyebur128.MeasurementMode.MODE_I)
    state.add_frames(np.ascontiguousarray(swelling.samples.ravel()), swelling.frames)
    found = integrated_loudness_lufs(swelling)
    assert found == pytest.approx(pyebur128.get_loudness_global(state), abs=1e-6)
    meter = pyloudnorm.Meter(rate_hz, filter_class="DeMan")
    assert found == pytest.approx(meter.integrated_loudness(swelling.samples.astype(np.float64)), abs=1e-3)


def libebur128_lufs(sound: Sound) -> float:
    state = pyebur128.R128State(sound.channels, sound.rate_hz, pyebur128.MeasurementMode.MODE_I)
    state.add_frames(np.ascontiguousarray(sound.samples.ravel()), sound.frames)
    return float(pyebur128.get_loudness_global(state))


@pytest.mark.parametrize(("seconds", "tolerance_lu"), [(6.0, 0.005), (7.3, 0.005), (6.5217, 0.05)])
def test_a_loop_reads_as_many_turns_of_it(seconds: float, tolerance_lu: float) -> None:
    """libebur128 over forty turns of the loop, where its start and end no longer count.

    Where the loop is no whole number of its steps of 100 ms, libebur128 sees other blocks each turn.
    """
    loop = pink_noise(duration_s=seconds, seed=9, channels=2)
    fading = Sound(loop.samples * np.linspace(1, 0.02, loop.frames, dtype=np.float32)[:, None] ** 2)
    many = Sound(np.tile(fading.samples, (40, 1)))
    assert integrated_loudness_lufs(fading, loop=True) == pytest.approx(
        libebur128_lufs(many), abs=tolerance_lu
    )


@pytest.mark.parametrize("shift_s", [0.1, 1.7])
def test_where_a_loop_starts_does_not_matter(shift_s: float) -> None:
    loop = Sound(tone_steps([(-10, 1.0), (-30, 1.5), (-18, 0.5)], frequency_hz=100.0).samples)
    turned = Sound(np.roll(loop.samples, round(shift_s * 48_000), axis=0))
    found = integrated_loudness_lufs(turned, loop=True)
    assert found == pytest.approx(integrated_loudness_lufs(loop, loop=True), abs=1e-6)


def test_gain_moves_loudness_by_what_it_says() -> None:
    """ITU-R BS.1770: a gain in dB is the same number of LU."""
    noise = pink_noise(duration_s=2, seed=10, channels=2)
    louder = integrated_loudness_lufs(gain(noise, gain_db=7.5))
    assert louder - integrated_loudness_lufs(noise) == pytest.approx(7.5, abs=1e-4)


def test_silence_has_no_loudness() -> None:
    assert integrated_loudness_lufs(Sound.silence(48_000)) == -math.inf
    assert integrated_loudness_lufs(Sound.silence(48_000), loop=True) == -math.inf
    assert np.all(np.isneginf(momentary_loudness_lufs(Sound.silence(48_000))))


@pytest.mark.parametrize("loop", [False, True])
def test_what_cannot_be_measured_is_refused(loop: bool) -> None:
    with pytest.raises(ValueError, match=r"needs 0\.4 s of sound, not 0\.396 s"):
        integrated_loudness_lufs(Sound.silence(19_000), loop=loop)
    broken = np.zeros((48_000, 2), np.float32)
    broken[100, 1] = np.nan
    with pytest.raises(ValueError, match="no numbers"):
        integrated_loudness_lufs(Sound(broken), loop=loop)
    with pytest.raises(ValueError, match=r"\[1, 2, 3, 5\] channels, not 4"):
        integrated_loudness_lufs(Sound.silence(48_000, channels=4), loop=loop)
