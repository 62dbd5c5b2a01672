"""How struck notes are measured: partials, decay times, brightness, likeness."""

from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from scipy import fft, signal

from trainer.sound import RATE_HZ

Floats = NDArray[np.float64]
PADDED = 1 << 19


def mono(note: NDArray[np.float32]) -> Floats:
    return note.astype(np.float64).mean(axis=1)


def peak_hz(
    sound: Floats, near_hz: float, *, within: float = 0.06, from_s: float = 0.03, for_s: float = 0.7
) -> float:
    """Return the frequency of the strongest line near one: Hann window, parabola through the top."""
    part = sound[round(from_s * RATE_HZ) :][: round(for_s * RATE_HZ)]
    level = np.log(np.abs(fft.rfft(part * np.hanning(len(part)), PADDED)) + 1e-12)
    step_hz = RATE_HZ / PADDED
    low, high = (round(near_hz * (1.0 + side * within) / step_hz) for side in (-1, 1))
    top = low + int(np.argmax(level[low:high]))
    before, here, after = level[top - 1 : top + 2]
    return float((top + 0.5 * (before - after) / (before - 2.0 * here + after)) * step_hz)


def t60_s(sound: Floats, at_hz: float, *, from_s: float = 0.05, width_hz: float = 30.0) -> float:
    """Return a line's decay time: a straight line through its level in dB, from -2 to -32 dB of its start."""
    time_s = np.arange(len(sound)) / RATE_HZ
    taps = signal.windows.hann(round(2.0 * RATE_HZ / width_hz))
    line = signal.fftconvolve(sound * np.exp(-2j * np.pi * at_hz * time_s), taps / taps.sum(), mode="same")
    level_db = 20.0 * np.log10(np.abs(line) + 1e-12)
    start = round(from_s * RATE_HZ) + int(np.argmax(level_db[round(from_s * RATE_HZ) :]))
    fallen = level_db[start:] - level_db[start]
    first, last = int(np.argmax(fallen < -2.0)), int(np.argmax(fallen < -32.0))
    slope = np.polyfit(time_s[first:last], fallen[first:last], 1)[0]
    return float(-60.0 / slope)


def centroid_hz(sound: Floats, *, for_s: float = 0.05) -> float:
    power = np.abs(fft.rfft(sound[: round(for_s * RATE_HZ)], 1 << 15)) ** 2
    return float(np.sum(power * fft.rfftfreq(1 << 15, 1.0 / RATE_HZ)) / power.sum())


def band_levels_db(sound: Floats, *, for_s: float = 0.3) -> Floats:
    """Return the levels of the octave bands from 125 Hz to 16 kHz."""
    power = np.abs(fft.rfft(sound[: round(for_s * RATE_HZ)], 1 << 15)) ** 2
    frequency_hz = fft.rfftfreq(1 << 15, 1.0 / RATE_HZ)
    edges_hz = 125.0 * 2.0 ** (np.arange(9) - 0.5)
    pairs = pairwise(edges_hz)
    sums = [power[(frequency_hz >= low) & (frequency_hz < high)].sum() for low, high in pairs]
    return np.asarray(10.0 * np.log10(np.array(sums) + 1e-12))


def likeness(one: Floats, other: Floats) -> float:
    """Return how far two strokes' waveforms are the same from their onsets on: 0 not at all, 1 entirely."""
    frames = min(len(one), len(other))
    one, other = one[:frames], other[:frames]
    return float(abs(np.vdot(one, other)) / np.sqrt(np.vdot(one, one) * np.vdot(other, other)))
