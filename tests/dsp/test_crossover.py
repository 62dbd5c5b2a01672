"""The Linkwitz–Riley crossover against its Butterworth halves and what follows from them."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from numpy.typing import NDArray
from scipy import signal

from tests.signals import impulse
from trainer.dsp.crossover import rejoined, split
from trainer.sound import RATE_HZ, Sound

FRAMES = RATE_HZ
"""An impulse response of a second: bins of 1 Hz."""
CROSSOVERS_HZ = (80.0, 1000.0, 8000.0)


def response(sound: Sound) -> NDArray[np.complex128]:
    """Return the spectrum of an impulse response, a bin a hertz."""
    return np.fft.rfft(sound.samples[:, 0].astype(np.float64))


def level_db(spectrum: NDArray[np.complex128]) -> NDArray[np.float64]:
    return 20.0 * np.log10(np.maximum(np.abs(spectrum), 1e-12))


@pytest.mark.parametrize("crossover_hz", CROSSOVERS_HZ)
def test_each_path_is_a_second_order_butterworth_twice(crossover_hz: float) -> None:
    """scipy.signal.butter of order 2, its magnitude squared, where it is above -80 dB: within 0.01 dB."""
    paths = split(impulse(frames=FRAMES), crossover_hz=crossover_hz)
    at_hz = np.arange(10.0, 20_000.0)
    for path, kind in zip(paths, ("lowpass", "highpass"), strict=True):
        _, single = signal.sosfreqz(
            signal.butter(2, crossover_hz, kind, fs=RATE_HZ, output="sos"), at_hz, fs=RATE_HZ
        )
        wanted_db = 2.0 * level_db(single)
        found_db = level_db(response(path))[10:20_000]
        heard = wanted_db > -80.0
        assert heard.sum() > 500
        assert_allclose(found_db[heard], wanted_db[heard], atol=0.01)


@pytest.mark.parametrize("crossover_hz", CROSSOVERS_HZ)
def test_both_paths_are_six_decibels_down_where_they_cross(crossover_hz: float) -> None:
    """A Butterworth filter is 3.0103 dB down at its corner; two of them 6.0206 dB."""
    for path in split(impulse(frames=FRAMES), crossover_hz=crossover_hz):
        assert level_db(response(path))[round(crossover_hz)] == pytest.approx(-6.0206, abs=0.002)


@pytest.mark.parametrize(("ratio", "low_db"), [(2.0, -24.61), (4.0, -48.20)])
def test_a_path_falls_by_24_decibels_an_octave(ratio: float, low_db: float) -> None:
    """The analog prototype 1 / (1 + (f / fc)^4), squared twice over: -20 lg(1 + 2^4) = -24.61 dB, -48.20 at 4."""
    low, _ = split(impulse(frames=FRAMES), crossover_hz=200.0)
    assert level_db(response(low))[round(200.0 * ratio)] == pytest.approx(low_db, abs=0.05)


@pytest.mark.parametrize("crossover_hz", CROSSOVERS_HZ)
def test_in_phase_the_paths_sum_to_an_even_level(crossover_hz: float) -> None:
    """A fourth-order Linkwitz–Riley sum is an all-pass: flat within 0.01 dB from 10 Hz to 23 kHz."""
    whole = rejoined(impulse(frames=FRAMES), crossover_hz=crossover_hz)
    assert_allclose(level_db(response(whole))[10:23_000], 0.0, atol=0.01)
    assert np.ptp(np.unwrap(np.angle(response(whole))[10:23_000])) > np.pi


@pytest.mark.parametrize("crossover_hz", CROSSOVERS_HZ)
def test_with_one_path_inverted_there_is_a_null_at_the_crossover(crossover_hz: float) -> None:
    """The paths are in phase and equal there, so their difference is nothing; far off it is the whole."""
    turned_db = level_db(
        response(rejoined(impulse(frames=FRAMES), crossover_hz=crossover_hz, is_low_inverted=True))
    )
    assert turned_db[round(crossover_hz)] < -60.0
    assert np.argmin(turned_db[20:20_000]) + 20 == pytest.approx(crossover_hz, abs=1.0)
    assert turned_db[round(crossover_hz / 4.0)] > -0.1 < turned_db[round(min(4.0 * crossover_hz, 23_000.0))]


def test_it_is_the_low_path_that_is_inverted() -> None:
    turned = response(rejoined(impulse(frames=FRAMES), crossover_hz=1000.0, is_low_inverted=True))
    assert turned[10].real == pytest.approx(-1.0, abs=0.01)
    assert turned[22_000].real == pytest.approx(1.0, abs=0.05)


@pytest.mark.parametrize("crossover_hz", [0.0, 24_000.0])
def test_a_crossover_beyond_the_band_is_refused(crossover_hz: float) -> None:
    with pytest.raises(ValueError, match="between 0 and 24000 Hz"):
        split(impulse(frames=10), crossover_hz=crossover_hz)
