"""Signals to test with, each made by a formula and, where chance is in it, a seed."""

from collections.abc import Sequence

import numpy as np

from trainer.sound import RATE_HZ, Sound
from trainer.units import db_to_ratio, seconds_to_frames


def sine(
    *,
    frequency_hz: float,
    duration_s: float,
    peak_dbfs: float = 0.0,
    phase_deg: float = 0.0,
    channels: int = 1,
    rate_hz: int = RATE_HZ,
) -> Sound:
    """Return a sine, the same in every channel."""
    time_s = np.arange(seconds_to_frames(duration_s, rate_hz)) / rate_hz
    wave = db_to_ratio(peak_dbfs) * np.sin(2.0 * np.pi * frequency_hz * time_s + np.radians(phase_deg))
    return Sound.of(np.repeat(wave[:, None], channels, axis=1), rate_hz)


def tone_steps(
    steps: Sequence[tuple[float, float]],
    *,
    frequency_hz: float = 1000.0,
    channels: int = 2,
    rate_hz: int = RATE_HZ,
) -> Sound:
    """Return one unbroken sine whose peak level steps through ``(dBFS, seconds)`` pairs."""
    levels = [
        np.full(seconds_to_frames(for_s, rate_hz), db_to_ratio(peak_dbfs)) for peak_dbfs, for_s in steps
    ]
    level = np.concatenate(levels)
    wave = level * np.sin(2.0 * np.pi * frequency_hz * np.arange(level.size) / rate_hz)
    return Sound.of(np.repeat(wave[:, None], channels, axis=1), rate_hz)


def white_noise(
    *, duration_s: float, seed: int, rms_dbfs: float = -20.0, channels: int = 1, rate_hz: int = RATE_HZ
) -> Sound:
    """Return Gaussian noise of equal power at every frequency, independent in each channel."""
    shape = (seconds_to_frames(duration_s, rate_hz), channels)
    return Sound.of(db_to_ratio(rms_dbfs) * np.random.default_rng(seed).standard_normal(shape), rate_hz)


def pink_noise(
    *, duration_s: float, seed: int, rms_dbfs: float = -20.0, channels: int = 1, rate_hz: int = RATE_HZ
) -> Sound:
    """Return noise of equal power in every octave from 5 Hz up, independent in each channel; it loops."""
    frames = seconds_to_frames(duration_s, rate_hz)
    spectrum = np.fft.rfft(np.random.default_rng(seed).standard_normal((frames, channels)), axis=0)
    frequency_hz = np.fft.rfftfreq(frames, 1.0 / rate_hz)[:, None]
    shaped = np.where(frequency_hz < 5.0, 0.0, spectrum / np.sqrt(np.maximum(frequency_hz, 5.0)))
    noise = np.fft.irfft(shaped, frames, axis=0)
    return Sound.of(db_to_ratio(rms_dbfs) * noise / np.sqrt(np.mean(noise**2)), rate_hz)


def flat_spectrum_pink(
    *, duration_s: float, seed: int, rms_dbfs: float = -20.0, rate_hz: int = RATE_HZ
) -> Sound:
    """Return mono pink noise whose every bin has exactly its share of power, only the phases by chance."""
    frames = seconds_to_frames(duration_s, rate_hz)
    frequency_hz = np.fft.rfftfreq(frames, 1.0 / rate_hz)
    phases = np.random.default_rng(seed).uniform(0.0, 2.0 * np.pi, frequency_hz.size)
    magnitude = np.where(frequency_hz < 5.0, 0.0, 1.0 / np.sqrt(np.maximum(frequency_hz, 5.0)))
    noise = np.fft.irfft(magnitude * np.exp(1j * phases), frames)
    return Sound.of(db_to_ratio(rms_dbfs) * noise / np.sqrt(np.mean(noise**2)), rate_hz)


def impulse(*, frames: int, channels: int = 1, rate_hz: int = RATE_HZ) -> Sound:
    """Return silence that begins with one full-scale sample."""
    samples = np.zeros((frames, channels), np.float32)
    samples[0] = 1.0
    return Sound(samples, rate_hz)
