"""The blow against the half-sine pulse, Hertz's contact law and Butterworth's slopes."""

import numpy as np
import pytest
from scipy import signal

from tests.ensemble.voices.notes import SHELF
from trainer.ensemble.voices.contact import Blow, Contact, band_noise, noise_burst
from trainer.sound import RATE_HZ


def test_a_contact_drives_what_a_half_sine_pulse_drives() -> None:
    """Fourier: cos(pi f T) / (1 - (2 f T)^2); to 3 dB below its first null (f T = 1.5), then 12 dB/octave."""
    contact = Contact(full_s=0.001, exponent=0.3)
    below_hz = np.array([50.0, 200.0, 400.0, 600.0, 800.0, 1_000.0])
    pulse = np.abs(np.cos(np.pi * below_hz * 1e-3) / (1.0 - (2e-3 * below_hz) ** 2))
    ours = contact.gain(below_hz, velocity=1.0)
    assert np.abs(20.0 * np.log10(ours / pulse)).max() < 3.0
    high = contact.gain(np.array([8_000.0, 16_000.0]), velocity=1.0)
    assert 20.0 * np.log10(high[0] / high[1]) == pytest.approx(12.04, abs=0.05)


def test_harder_blows_touch_more_briefly_as_hertz_found() -> None:
    """Hertz: contact time falls as the fifth root of the speed."""
    contact = Contact(full_s=0.001, exponent=0.2)
    assert contact.time_s(0.5) / contact.time_s(1.0) == pytest.approx(2.0**0.2)


def test_band_noise_has_unit_power_and_second_order_butterworth_edges() -> None:
    """Butterworth (second order, computed by scipy.signal): the levels a band's edges fall to."""
    noise = band_noise(np.random.default_rng(1), 1 << 19, low_hz=500.0, high_hz=4_000.0)
    assert np.mean(noise**2) == pytest.approx(1.0, rel=0.02)
    frequency_hz, density = signal.welch(noise, RATE_HZ, nperseg=4096)
    at_hz = np.array([187.5, 375.0, 500.0, 1_500.0, 4_000.0, 8_000.0, 12_000.0])
    low = signal.butter(2, 500.0, "highpass", analog=True)
    high = signal.butter(2, 4_000.0, "lowpass", analog=True)
    wanted = np.prod([np.abs(signal.freqs(*edge, worN=at_hz)[1]) for edge in (low, high)], axis=0)
    found = np.sqrt(np.interp(at_hz, frequency_hz, density))
    difference_db = 20.0 * np.log10(found / wanted)
    assert np.ptp(difference_db) < 1.5


def test_a_tilt_is_so_many_decibels_an_octave() -> None:
    """By definition: -6 dB an octave halves the amplitude each octave."""
    noise = band_noise(
        np.random.default_rng(2), 1 << 18, low_hz=50.0, high_hz=20_000.0, tilt_db_per_octave=-6.0206
    )
    frequency_hz, density = signal.welch(noise, RATE_HZ, nperseg=4096)
    at_1k, at_4k = np.interp([1_000.0, 4_000.0], frequency_hz, density)
    assert 10.0 * np.log10(at_1k / at_4k) == pytest.approx(12.0, abs=1.0)


def test_a_burst_decays_by_its_time_constant() -> None:
    """By definition: one neper (8.686 dB) a time constant, here averaged over many bursts."""
    rng = np.random.default_rng(3)
    bursts = [noise_burst(rng, SHELF, low_hz=1_000.0, high_hz=8_000.0, decay_s=0.01) for _ in range(100)]
    power = np.mean(np.square(bursts), axis=0)
    early, late = power[240:720].mean(), power[720:1200].mean()
    assert 10.0 * np.log10(early / late) == pytest.approx(8.686, abs=0.7)


def test_a_louder_blow_is_noisier() -> None:
    blow = Blow(300.0, 3_000.0, 0.004, -20.0, exponent=1.0)
    soft, hard = (
        np.mean([np.square(blow.noise(np.random.default_rng(s), SHELF, velocity=v)).sum() for s in range(30)])
        for v in (0.35, 0.7)
    )
    assert 10.0 * np.log10(hard / soft) == pytest.approx(6.0, abs=1.0)
