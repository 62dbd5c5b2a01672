"""Butterworth filters against worked biquads of the Audio EQ Cookbook and the Butterworth formula."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from numpy.typing import NDArray
from scipy import signal

from tests.signals import impulse, white_noise
from trainer.dsp.filters import ORDERS, high_pass, low_pass
from trainer.sound import Sound

BANDS_HZ = (63, 125, 250, 500, 1000, 2000, 4000, 8000, 16000)


def response_db(sound: Sound, frequencies_hz: tuple[float, ...]) -> NDArray[np.float64]:
    """Return the gain at whole hertz of an impulse response that lasts a second."""
    spectrum = np.fft.rfft(sound.samples[: sound.rate_hz, 0].astype(np.float64))
    return np.asarray(20 * np.log10(np.abs(spectrum[np.asarray(frequencies_hz, int)])))


def test_second_order_filters_are_the_cookbooks_with_the_flattest_quality() -> None:
    """Audio EQ Cookbook, HPF 100 Hz and LPF 4 kHz, Q = 1/√2; coefficients as pyloudnorm's ``IIRfilter``."""
    noise = white_noise(duration_s=0.5, seed=1)
    high = [0.99078669794, -1.981573395881, 0.99078669794, 1.0, -1.981488509145, 0.981658282617]
    low = [0.049489956269, 0.098979912537, 0.049489956269, 1.0, -1.279632424998, 0.477592250073]
    for section, filtered in (
        (high, high_pass(noise, corner_hz=100)),
        (low, low_pass(noise, corner_hz=4000)),
    ):
        assert_allclose(filtered.samples[:, 0], signal.sosfilt([section], noise.samples[:, 0]), atol=1e-6)


def test_second_order_responses_are_the_cookbooks() -> None:
    """Audio EQ Cookbook, evaluated with ``scipy.signal.freqz``: HPF 100 Hz and LPF 4 kHz, Q = 1/√2."""
    click = impulse(frames=48_000)
    high_db = response_db(high_pass(click, corner_hz=100), BANDS_HZ)
    low_db = response_db(low_pass(click, corner_hz=4000), BANDS_HZ)
    assert_allclose(high_db, (-8.662, -1.491, -0.110, -0.007, 0, 0, 0, 0, 0), atol=1e-3)
    assert_allclose(low_db, (0, 0, 0, -0.001, -0.016, -0.246, -3.010, -13.532, -32.423), atol=1e-3)


@pytest.mark.parametrize("order", ORDERS)
@pytest.mark.parametrize("corner_hz", [200.0, 3000.0])
def test_the_corner_is_three_decibels_down_at_every_order(order: int, corner_hz: float) -> None:
    """Butterworth: |H|² = 1/2 at the corner whatever the order, 3.0103 dB."""
    click = impulse(frames=48_000)
    for filtered in (
        high_pass(click, corner_hz=corner_hz, order=order),
        low_pass(click, corner_hz=corner_hz, order=order),
    ):
        assert response_db(filtered, (corner_hz,))[0] == pytest.approx(-3.0103, abs=1e-3)


@pytest.mark.parametrize("order", ORDERS)
def test_the_slope_is_six_decibels_an_octave_for_each_order(order: int) -> None:
    """Butterworth: |H|² = 1 / (1 + (f / fc)^2n), far below half the rate."""
    click = impulse(frames=48_000)
    frequencies_hz = (400.0, 300.0, 200.0)
    expected_db = [-10 * np.log10(1 + (400 / hz) ** (2 * order)) for hz in frequencies_hz]
    filtered = high_pass(click, corner_hz=400, order=order)
    assert_allclose(response_db(filtered, frequencies_hz), expected_db, atol=0.02)


@pytest.mark.parametrize(
    ("order", "qualities"), [(4, (0.541196, 1.306563)), (8, (0.509796, 0.601345, 0.899976, 2.562915))]
)
def test_higher_orders_are_cascades_with_the_butterworth_qualities(
    order: int, qualities: tuple[float, ...]
) -> None:
    """Section qualities of the Butterworth cascade, each section the Audio EQ Cookbook's HPF."""
    noise = white_noise(duration_s=0.2, seed=2)
    angle = 2 * np.pi * 500 / 48_000
    cosine, cascaded = np.cos(angle), noise.samples[:, 0].astype(np.float64)
    for quality in qualities:
        alpha = np.sin(angle) / (2 * quality)
        numerator = np.array([(1 + cosine) / 2, -(1 + cosine), (1 + cosine) / 2])
        cascaded = signal.lfilter(numerator, [1 + alpha, -2 * cosine, 1 - alpha], cascaded)
    assert_allclose(high_pass(noise, corner_hz=500, order=order).samples[:, 0], cascaded, atol=1e-6)


def test_a_corner_at_half_the_rate_is_refused() -> None:
    click = impulse(frames=100)
    with pytest.raises(ValueError, match="between 0 and 24000 Hz"):
        low_pass(click, corner_hz=24_000)
    with pytest.raises(ValueError, match="not at 0 Hz"):
        high_pass(click, corner_hz=0)
    with pytest.raises(ValueError, match="did you mean 8000 Hz"):
        low_pass(click, corner_hz=8_000_000)


def test_another_order_is_refused() -> None:
    with pytest.raises(ValueError, match="not 12; did you mean dB an octave"):
        high_pass(impulse(frames=100), corner_hz=100, order=12)
