"""Noise with the spectrum of programme (IEC 60268-1:1985, clause 7, Table II), to set a listening level by.

It is wanted before anything else is heard, so it is made with numpy's Fourier transform alone.
"""

import math

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from trainer.dsp.loudness import CALIBRATION_DB, k_weighting
from trainer.sound import RATE_HZ, Samples, Sound
from trainer.units import seconds_to_frames

LOWEST_THIRD = -17
"""The number of the table's first third-octave band, counted from 1 kHz: 20 Hz."""

THIRD_LEVELS_DB = (
    -13.5, -10.2, -7.4, -5.2, -3.5, -2.3, -1.4, -0.9, -0.5, -0.2, -0.1,
    0.0, 0.0, 0.0, 0.0, 0.0, 0.0, -0.1, -0.3, -0.6, -1.0, -1.6,
    -2.5, -3.7, -5.1, -7.0, -9.4, -11.9, -14.8, -18.2, -21.6,
)  # fmt: skip
"""IEC 60268-1:1985, Table II: the relative level of each third-octave band from 20 Hz to 20 kHz."""

PHASE_SPREAD_RAD = 1.8955
"""How far the phases of the channels part, to either side: sin(a) / a = 0.5 is their correlation."""

HIGHEST_LUFS = -14.0
"""The loudest it is made: its true peaks, 9 to 12 dB above its loudness, then keep below -1 dBTP."""


def programme_noise(
    *, duration_s: float, rng: Generator, rate_hz: int = RATE_HZ, loudness_lufs: float = -23.0
) -> Sound:
    """Return steady stereo noise, a loop without a seam.

    Parameters
    ----------
    duration_s
        The length of the loop; from about 2 s on the lowest bands are full too.
    rng
        Draws the phases, and nothing else: every loop has exactly the same spectrum and loudness.
    loudness_lufs
        The loudness by ITU-R BS.1770 of the loop played round and round.

    Raises
    ------
    ValueError
        If the loop is shorter than 0.4 s, the block loudness is measured in, or would be too loud for its
        peaks.

    Notes
    -----
    A sum of all the loop's harmonics between the outer edges of the table's bands, each at the level of the
    table (straight lines through the centres on a logarithmic scale) and at a random phase. Between left and
    right the phase differs evenly by up to ``PHASE_SPREAD_RAD``: their correlation is 0.5, half way between
    one point and two unrelated sources.
    """
    if duration_s < 0.4:
        raise ValueError(f"programme noise lasts at least 0.4 s, not {duration_s:g} s")
    if loudness_lufs > HIGHEST_LUFS:
        raise ValueError(f"programme noise is made up to {HIGHEST_LUFS:g} LUFS, not at {loudness_lufs:g}")
    frames = seconds_to_frames(duration_s, rate_hz)
    harmonics = _harmonics(frames, rate_hz)
    frequencies_hz = np.arange(harmonics.start, harmonics.stop) * (rate_hz / frames)
    power = _powers(frequencies_hz)
    power *= 10.0 ** ((loudness_lufs - _loudness_lufs(power, frequencies_hz, rate_hz)) / 10.0)
    amplitude = np.sqrt(power * (frames**2 / 2.0)).astype(np.float32)
    return Sound(_with_phases(amplitude, harmonics, frames, rng), rate_hz)


def _third_hz(number: float) -> float:
    """Return the frequency so many third octaves above 1 kHz (IEC 61260-1:2014, formula 2)."""
    return float(1000.0 * 10.0 ** (number / 10.0))


def _harmonics(frames: int, rate_hz: int) -> slice:
    """Return which harmonics of the loop lie in the table's bands."""
    highest_hz = min(_third_hz(LOWEST_THIRD + len(THIRD_LEVELS_DB) - 0.5), 0.499 * rate_hz)
    lowest = math.ceil(_third_hz(LOWEST_THIRD - 0.5) * frames / rate_hz)
    return slice(lowest, math.floor(highest_hz * frames / rate_hz) + 1)


def _powers(frequencies_hz: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return relative powers of evenly spaced harmonics, so that each third octave has its level."""
    first, second, *_, last_but_one, last = THIRD_LEVELS_DB
    known_db = [2.0 * first - second, *THIRD_LEVELS_DB, 2.0 * last - last_but_one]
    centres_hz = [_third_hz(LOWEST_THIRD + place) for place in range(-1, len(THIRD_LEVELS_DB) + 1)]
    levels_db = np.interp(np.log(frequencies_hz), np.log(centres_hz), known_db)
    return np.asarray(np.exp(levels_db * (math.log(10.0) / 10.0)) / frequencies_hz)


def _loudness_lufs(power: NDArray[np.float64], frequencies_hz: NDArray[np.float64], rate_hz: int) -> float:
    """Return the loudness of two channels of these powers (their sum, BS.1770; steady, so no gate closes)."""
    weighted = float(np.dot(power, _k_gain(frequencies_hz, rate_hz)))
    return CALIBRATION_DB + 10.0 * math.log10(2.0 * weighted)


def _k_gain(frequencies_hz: NDArray[np.float64], rate_hz: int) -> NDArray[np.float64]:
    """Return the power gain of the K weighting at each frequency."""
    cosine = np.cos(2.0 * np.pi / rate_hz * frequencies_hz)
    gain = np.ones(frequencies_hz.size)
    for section in k_weighting(rate_hz):
        gain *= _square_of(section[:3], cosine) / _square_of(section[3:], cosine)
    return gain


def _square_of(terms: NDArray[np.float64], cosine: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the squared magnitude of ``a + b z + c z²`` on the unit circle, where ``z`` has this cosine."""
    a, b, c = (float(term) for term in terms)
    return np.asarray(((a - c) ** 2 + b * b) + cosine * (2.0 * b * (a + c) + 4.0 * a * c * cosine))


def _with_phases(amplitude: Samples, harmonics: slice, frames: int, rng: Generator) -> Samples:
    """Return the two channels of harmonics at these amplitudes."""
    common, apart = rng.random((2, amplitude.size), np.float32)
    left = np.float32(2.0 * np.pi) * common
    right = left + np.float32(PHASE_SPREAD_RAD) * (2.0 * apart - 1.0)
    samples = np.empty((frames, 2), np.float32)
    spectrum = np.zeros(frames // 2 + 1, np.complex64)
    for channel, phase in enumerate((left, right)):
        spectrum.real[harmonics] = amplitude * np.cos(phase)
        spectrum.imag[harmonics] = amplitude * np.sin(phase)
        samples[:, channel] = np.fft.irfft(spectrum, frames)
    return samples
