"""The compressor against Giannoulis, Massberg and Reiss (JAES 60(6), 2012) and a plain one-pole."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from numpy.typing import NDArray

from tests.signals import pink_noise, sine
from trainer.dsp.dynamics import (
    Compressor,
    compress,
    envelope,
    envelope_db,
    gain_computer_db,
    gain_reduction_db,
    is_active,
    reduction_db,
)
from trainer.sound import RATE_HZ, Sound

LEVELS_DB = (-25, -24, -22, -20, -18, -15, -10, -6, 0)


def constant(*levels: tuple[float, float]) -> Sound:
    """Return a constant that steps through ``(magnitude, seconds)``, inverted in the second channel."""
    steps = np.concatenate([np.full(round(for_s * RATE_HZ), magnitude) for magnitude, for_s in levels])
    return Sound.of(np.column_stack([steps, -steps]))


@pytest.mark.parametrize(
    ("threshold_db", "ratio", "knee_db", "expected_db"),
    [
        (-20, 4, 0, (-25, -24, -22, -20, -19.5, -18.75, -17.5, -16.5, -15)),
        (-20, 4, 10, (-25, -24.0375, -22.3375, -20.9375, -19.8375, -18.75, -17.5, -16.5, -15)),
        (-24, 2, 6, (-25.1667, -24.375, -23.0417, -22, -21, -19.5, -17, -15, -12)),
        (-18, 8, 12, (-25, -24, -22.1458, -20.5833, -19.3125, -17.9531, -17, -16.5, -15.75)),
    ],
)
def test_the_gain_computer_follows_the_paper(
    threshold_db: float, ratio: float, knee_db: float, expected_db: tuple[float, ...]
) -> None:
    """Giannoulis et al. (2012), equation 4; values equal audiocomplib 0.2.0's ``target_gain_reduction``."""
    levels_db = gain_computer_db(LEVELS_DB, threshold_db=threshold_db, ratio=ratio, knee_db=knee_db)
    assert_allclose(levels_db, expected_db, atol=5e-5)


@given(threshold_db=st.floats(-60, 0), ratio=st.floats(1, 50), knee_db=st.floats(0, 24))
def test_the_gain_computer_rises_and_never_amplifies(
    threshold_db: float, ratio: float, knee_db: float
) -> None:
    levels_db = np.linspace(-90, 12, 400)
    made_db = gain_computer_db(levels_db, threshold_db=threshold_db, ratio=ratio, knee_db=knee_db)
    slopes = np.diff(made_db) / np.diff(levels_db)
    assert np.all(made_db <= levels_db + 1e-9)
    assert np.all(slopes >= 1 / ratio - 1e-6)
    assert np.all(np.diff(slopes) <= 1e-6)


@given(threshold_db=st.floats(-60, 0), ratio=st.floats(1, 50), knee_db=st.floats(0.1, 24))
def test_at_the_threshold_the_knee_has_an_eighth(threshold_db: float, ratio: float, knee_db: float) -> None:
    """Giannoulis et al. (2012), equation 4 at x = T: the reduction is (1 - 1/R) W / 8."""
    made_db = gain_computer_db([threshold_db], threshold_db=threshold_db, ratio=ratio, knee_db=knee_db)
    assert threshold_db - made_db[0] == pytest.approx((1 - 1 / ratio) * knee_db / 8, abs=1e-9)


@pytest.mark.parametrize(("tau_s", "alpha"), [(0.001, 0.979382181), (0.01, 0.997918835), (0.1, 0.999791688)])
def test_attack_and_release_are_true_time_constants(tau_s: float, alpha: float) -> None:
    """Giannoulis et al. (2012): 63.2 % of a step after tau; alpha = exp(-1 / (tau fs)) a frame."""
    step = envelope(constant((0.0, 0.01), (0.5, 6 * tau_s + 0.01)), attack_s=tau_s, release_s=tau_s)
    rising = step[480:]
    assert rising[round(tau_s * RATE_HZ) - 1] == pytest.approx(0.5 * (1 - math.exp(-1)), rel=1e-4)
    assert (0.5 - rising[40]) / (0.5 - rising[0]) == pytest.approx(alpha**40, rel=1e-3)
    fall = envelope(constant((0.5, 8 * tau_s), (0.0, 2 * tau_s)), attack_s=tau_s / 10, release_s=tau_s)
    last = round(8 * tau_s * RATE_HZ) - 1
    assert fall[last + round(tau_s * RATE_HZ)] / fall[last] == pytest.approx(math.exp(-1), rel=1e-3)


def branching_one_pole(
    detected: NDArray[np.float64], *, attack_s: float, release_s: float
) -> NDArray[np.float64]:
    """Return the textbook envelope, sample by sample."""
    rising, falling = (math.exp(-1 / (tau_s * RATE_HZ)) for tau_s in (attack_s, release_s))
    state, states = 0.0, []
    for value in detected:
        alpha = rising if value > state else falling
        state = alpha * state + (1 - alpha) * value
        states.append(state)
    return np.array(states)


@pytest.mark.parametrize(("attack_s", "release_s"), [(0.0005, 0.05), (0.01, 0.1), (0.03, 0.5)])
def test_the_envelope_is_a_branching_one_pole(attack_s: float, release_s: float) -> None:
    """Giannoulis et al. (2012), the branching smoother, written out sample by sample: within 0.01 dB."""
    noise = pink_noise(duration_s=0.5, seed=1, channels=2)
    detected = np.abs(noise.samples.astype(np.float64)).max(axis=1)
    wanted = branching_one_pole(detected, attack_s=attack_s, release_s=release_s)
    found = envelope(noise, attack_s=attack_s, release_s=release_s)
    assert found.shape == (noise.frames,)
    assert_allclose(20 * np.log10(found[100:] / wanted[100:]), 0.0, atol=0.01)


def test_compressing_is_what_the_paper_says_frame_by_frame() -> None:
    """Giannoulis et al. (2012): one-pole, then equation 4, then the gain, written out: within 0.01 dB."""
    noise = pink_noise(duration_s=0.5, seed=2, channels=2, rms_dbfs=-12)
    detected = np.abs(noise.samples.astype(np.float64)).max(axis=1)
    level_db = 20 * np.log10(branching_one_pole(detected, attack_s=0.005, release_s=0.08))
    over_db = level_db + 20
    bent = np.where(over_db > 3, 0.75 * over_db, np.where(over_db < -3, 0, 0.75 * (over_db + 3) ** 2 / 12))
    settings = Compressor(-20, 4, 0.005, 0.08, knee_db=6, makeup_db=3)
    assert_allclose(gain_reduction_db(noise, settings)[100:], bent[100:], atol=0.01)
    wanted = noise.samples * (10 ** ((3 - bent) / 20))[:, None]
    assert_allclose(compress(noise, settings).samples[100:], wanted[100:], rtol=2e-3)


@pytest.mark.parametrize(("level_db", "made_db"), [(-30, -30), (-19, -19.75), (-10, -17.5), (0, -15)])
def test_a_constant_comes_out_on_the_static_curve(level_db: float, made_db: float) -> None:
    """Giannoulis et al. (2012), equation 4, threshold -20 dB, ratio 4, after the attack has settled."""
    steady = compress(constant((10 ** (level_db / 20), 0.5)), Compressor(-20, 4, 0.001, 0.01))
    assert 20 * math.log10(steady.samples[-1, 0]) == pytest.approx(made_db, abs=1e-3)


def test_below_the_threshold_nothing_is_touched() -> None:
    noise = pink_noise(duration_s=0.2, seed=3, rms_dbfs=-40)
    assert np.array_equal(compress(noise, Compressor(0, 4, 0.01, 0.1)).samples, noise.samples)


def test_channels_are_turned_down_together() -> None:
    """A loud left channel takes the right one down with it, so the image stays."""
    loud, soft = sine(frequency_hz=500, duration_s=0.2), sine(frequency_hz=700, duration_s=0.2, peak_dbfs=-30)
    both = Sound.of(np.column_stack([loud.samples[:, 0], soft.samples[:, 0]]))
    turned = compress(both, Compressor(-20, 4, 0.001, 0.1)).samples
    heard = np.abs(both.samples[:, 1]) > 1e-3
    factors = turned[heard] / both.samples[heard]
    audible = np.abs(both.samples[heard, 0]) > 1e-3
    assert_allclose(factors[audible, 0], factors[audible, 1], rtol=1e-4)
    assert factors[-1, 1] < 10 ** (-13 / 20)


@pytest.mark.parametrize(
    ("attack_ms", "release_ms", "reduction_db"),
    [(0.1, 100, 14.95), (1, 100, 14.79), (10, 100, 14.13), (30, 300, 14.13)],
)
def test_regression_a_sine_is_compressed_less_than_its_peak_says(
    attack_ms: float, release_ms: float, reduction_db: float
) -> None:
    """Measured on pedalboard 0.9.26 (its times are 2π time constants): 1 kHz, 0 dBFS, T -20 dB, R 4."""
    times = {"attack_s": attack_ms / 2000 / math.pi, "release_s": release_ms / 2000 / math.pi}
    reduction = gain_reduction_db(sine(frequency_hz=1000, duration_s=1.0), Compressor(-20, 4, **times))
    assert np.mean(reduction[RATE_HZ // 2 :]) == pytest.approx(reduction_db, abs=0.05)


def test_the_envelope_in_decibels_is_the_envelope() -> None:
    """20 lg of it, and nothing below -120 dB."""
    burst = constant((0.5, 0.05), (0.0, 2.0))
    level_db = envelope_db(burst, attack_s=0.001, release_s=0.01)
    assert level_db[2300] == pytest.approx(-6.0206, abs=1e-3)
    assert level_db[-1] == pytest.approx(-120.0, abs=1e-3)


def test_active_is_what_lies_within_thirty_decibels_of_the_loudest() -> None:
    """Of a hundred values the 99th percentile is the last but one: what one frame reaches is not the loudest."""
    levels_db = np.array([0.0, *[-10.0] * 50, *[-39.9] * 25, *[-40.1] * 25])
    assert is_active(levels_db).tolist() == [True] * 76 + [False] * 25
    with pytest.raises(ValueError, match="no envelope"):
        is_active(np.empty(0))


@given(
    threshold_db=st.floats(-60, 0), ratio=st.floats(1, 50), knee_db=st.floats(0, 24), level_db=st.floats(-90, 12)
)  # fmt: skip
def test_the_reduction_is_level_in_less_level_out(
    threshold_db: float, ratio: float, knee_db: float, level_db: float
) -> None:
    settings = {"threshold_db": threshold_db, "ratio": ratio, "knee_db": knee_db}
    made_db = gain_computer_db(level_db, **settings)
    assert reduction_db(level_db, **settings) == pytest.approx(level_db - made_db, abs=1e-9)


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"ratio": 0.5}, "at least 1"),
        ({"attack_s": -1.0}, "not negative"),
        ({"release_s": 100.0}, "did you mean ms"),
    ],
)
def test_settings_that_cannot_be_are_refused(changed: dict[str, float], said: str) -> None:
    settings = {"threshold_db": -20.0, "ratio": 4.0, "attack_s": 0.01, "release_s": 0.1}
    with pytest.raises(ValueError, match=said):
        Compressor(**(settings | changed))
