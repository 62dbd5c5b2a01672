"""Octave and third-octave bands (IEC 61260-1:2014) and the power of a sound in each of them."""

from dataclasses import dataclass

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

from trainer.sound import Samples, Sound
from trainer.units import seconds_to_frames

OCTAVE_RATIO = 10.0**0.3
"""G of IEC 61260-1:2014, formula 1: the ratio of an octave, base ten."""

REFERENCE_HZ = 1000.0

NOMINAL_HZ = (31.5, 63.0, 125.0, 250.0, 500.0, 1000.0, 2000.0, 4000.0, 8000.0, 16000.0)
"""The names of the ten octave bands (ISO 266)."""

THIRD_NOMINAL_HZ = (
    25.0, 31.5, 40.0, 50.0, 63.0, 80.0, 100.0, 125.0, 160.0, 200.0, 250.0, 315.0, 400.0, 500.0, 630.0, 800.0,
    1000.0, 1250.0, 1600.0, 2000.0, 2500.0, 3150.0, 4000.0, 5000.0, 6300.0, 8000.0, 10000.0, 12500.0, 16000.0,
    20000.0,
)  # fmt: skip
"""The names of the thirty third-octave bands (ISO 266)."""


@dataclass(frozen=True, slots=True)
class Band:
    """A band: the name it goes by, and its exact centre and edges."""

    nominal_hz: float
    centre_hz: float
    low_hz: float
    high_hz: float


def _bands(names_hz: tuple[float, ...], *, lowest: int, per_octave: int) -> tuple[Band, ...]:
    """Return bands by formulas 2, 4 and 5 of the standard, numbered from 1 kHz upwards."""

    def edge_hz(number: float) -> float:
        return float(REFERENCE_HZ * OCTAVE_RATIO ** (number / per_octave))

    numbered = enumerate(names_hz, start=lowest)
    return tuple(Band(name_hz, edge_hz(x), edge_hz(x - 0.5), edge_hz(x + 0.5)) for x, name_hz in numbered)


OCTAVES = _bands(NOMINAL_HZ, lowest=-5, per_octave=1)
THIRD_OCTAVES = _bands(THIRD_NOMINAL_HZ, lowest=-16, per_octave=3)
_OCTAVE_BY_NAME = {band.nominal_hz: band for band in OCTAVES}


def octave(nominal_hz: float) -> Band:
    """Return the octave band of that name.

    Raises
    ------
    ValueError
        If no octave band has that name.
    """
    if nominal_hz not in _OCTAVE_BY_NAME:
        names = ", ".join(f"{name_hz:g}" for name_hz in NOMINAL_HZ)
        slip = "; did you mean kHz?" if 1000.0 * nominal_hz in _OCTAVE_BY_NAME else ""
        raise ValueError(f"the octave bands are {names} Hz, not {nominal_hz:g}{slip}")
    return _OCTAVE_BY_NAME[nominal_hz]


def band_powers(sound: Sound, *, bands: tuple[Band, ...] = OCTAVES) -> NDArray[np.float64]:
    """Return the mean power of a sound in each band, averaged over its channels.

    The whole sound is taken as one period of a loop: nothing is faded, so a sound that does not loop
    smears a little of the step at its ends into the other bands.

    Parameters
    ----------
    bands
        Where to measure. A band whose upper edge lies above half the sample rate is cut off there.

    Returns
    -------
    Mean squares, shape ``(bands,)``. A full-scale sine has 0.5.

    Raises
    ------
    ValueError
        If the sound is empty, or a band lies wholly above half the sample rate.
    """
    if sound.frames == 0:
        raise ValueError("an empty sound has no spectrum")
    powers = _bin_powers(np.ascontiguousarray(sound.samples.T)).mean(axis=0)
    return _between_edges(powers, bands, sound.frames, sound.rate_hz)


def band_levels_db(sound: Sound, *, bands: tuple[Band, ...] = OCTAVES) -> NDArray[np.float64]:
    """Return the level of each band in dB below a mean square of 1; ``-inf`` where there is nothing."""
    with np.errstate(divide="ignore"):
        return np.asarray(10.0 * np.log10(band_powers(sound, bands=bands)))


def band_powers_over_time(
    sound: Sound, *, window_s: float = 0.17, hop_s: float = 0.1, bands: tuple[Band, ...] = OCTAVES
) -> NDArray[np.float64]:
    """Return the mean power of a loop in each band, window by window.

    Parameters
    ----------
    window_s, hop_s
        The length of a window (Hann shape) and the step from one to the next. The last windows run over
        the end into the start, since the sound loops.

    Returns
    -------
    Mean squares, shape ``(windows, bands)``, averaged over channels.
    """
    frames, hop = seconds_to_frames(window_s, sound.rate_hz), seconds_to_frames(hop_s, sound.rate_hz)
    if frames < 2 or hop < 1 or sound.frames == 0:
        came = f"{frames} frames every {hop} of {sound.frames}"
        raise ValueError(f"windows need at least two frames, a hop of at least one and a sound, not {came}")
    starts = np.arange(0, sound.frames, hop)
    wrapped = _wrapped(sound.samples, starts[-1] + frames)
    windows = sliding_window_view(wrapped, frames, axis=1)[:, ::hop][:, : len(starts)]
    shaped = windows * _hann(frames)
    powers = _bin_powers(shaped).mean(axis=0)
    return _between_edges(powers, bands, frames, sound.rate_hz)


def _wrapped(samples: Samples, frames: int) -> Samples:
    """Return the first ``frames`` of the loop played on, as ``(channels, frames)``."""
    turns = -(-frames // samples.shape[0])
    return np.ascontiguousarray(np.tile(samples, (turns, 1))[:frames].T)


def _hann(frames: int) -> Samples:
    """Return a periodic Hann window of mean power 1."""
    shape = 0.5 - 0.5 * np.cos(2.0 * np.pi * np.arange(frames) / frames)
    return np.asarray(shape / np.sqrt(np.mean(shape**2)), dtype=np.float32)


def _bin_powers(samples: Samples) -> NDArray[np.float32]:
    """Return the mean square in each bin of the spectrum along the last axis.

    A bin reaches half a bin to either side; of those at zero and at half the rate one half is mirrored and
    lies outside, so that they too count double.
    """
    from scipy import fft  # here, so that the names of the bands come without waiting for it

    frames = samples.shape[-1]
    spectrum = fft.rfft(samples, axis=-1)
    powers = np.square(spectrum.real) + np.square(spectrum.imag)
    powers *= 2.0 / frames**2
    return np.asarray(powers)


def _between_edges(
    powers: NDArray[np.float32], bands: tuple[Band, ...], frames: int, rate_hz: int
) -> NDArray[np.float64]:
    """Return the power between the exact edges of each band; a bin cut by an edge gives its share."""
    edges = np.array([(band.low_hz, band.high_hz) for band in bands])
    if edges[:, 0].max() >= rate_hz / 2:
        raise ValueError(f"a band from {edges[:, 0].max():.0f} Hz up lies above half the rate {rate_hz} Hz")
    edges = np.minimum(edges, rate_hz / 2)
    running = np.zeros((*powers.shape[:-1], powers.shape[-1] + 1))
    np.cumsum(powers, axis=-1, dtype=np.float64, out=running[..., 1:])
    places = edges * frames / rate_hz + 0.5
    whole = np.minimum(places.astype(np.intp), powers.shape[-1] - 1)
    below = running[..., whole]
    at_edges = below + (places - whole) * (running[..., whole + 1] - below)
    return np.asarray(at_edges[..., 1] - at_edges[..., 0])
