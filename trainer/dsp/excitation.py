"""Excitation: the power that rounded-exponential filters of an ear let through (Glasberg and Moore 1990).

A loop is taken in frames of 8192 points every 0.1 s, the last of which run over the end into the start. Its
spectrum is summed in sub-bands: single bins up to 500 Hz, then quarters of an equivalent rectangular bandwidth.
One matrix product makes channels of them: third octaves below 100 Hz, from there one for each bandwidth.

Powers are mean squares averaged over a sound's channels: a full-scale sine has 0.5.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

from trainer.dsp.hearing import erb_hz, erb_number, erb_number_to_hz
from trainer.dsp.octave_bands import THIRD_OCTAVES
from trainer.sound import RATE_HZ, Sound
from trainer.units import seconds_to_frames

FRAME = 8192
HOP_S = 0.1
SINGLE_BINS_TO_HZ = 500.0
THIRD_OCTAVES_TO_HZ = 100.0
HIGHEST_HZ = 20_000.0

LEAST_THROUGH = 1e-10
"""What a filter lets through less of counts as nothing: products this small would be slow to work out."""

Spectra = NDArray[np.complex64]
"""The spectrum of each frame, shape ``(channels of the sound, frames, bins)``."""
Powers = NDArray[np.float32]
"""Powers by frame and sub-band, or by frame and channel of the ear."""


@dataclass(frozen=True, eq=False)
class Contribution:
    """What a part of a mix adds to it: by frame and sub-band its power, and its cross-spectrum with the mix.

    ``cross`` is the part's spectrum times the conjugate of the mix's.
    """

    power: Powers
    cross: NDArray[np.complex64]


def _bin_hz() -> float:
    return RATE_HZ / FRAME


@lru_cache(maxsize=1)
def _first_bins() -> NDArray[np.intp]:
    """Return the first bin of each sub-band, and the one after the last sub-band."""
    singles = np.arange(1, int(SINGLE_BINS_TO_HZ / _bin_hz()) + 1)
    quarters = np.arange(4.0 * erb_number(SINGLE_BINS_TO_HZ), 4.0 * erb_number(HIGHEST_HZ)) / 4.0
    edges = np.ceil(erb_number_to_hz(quarters) / _bin_hz()).astype(np.intp)
    return np.concatenate((singles, edges))


@lru_cache(maxsize=1)
def sub_bands_hz() -> NDArray[np.float64]:
    """Return the middle frequency of each sub-band."""
    first = _first_bins()
    return np.asarray((first[:-1] + first[1:] - 1) / 2.0 * _bin_hz())


@lru_cache(maxsize=1)
def channels_hz() -> NDArray[np.float64]:
    """Return the centre frequency of each channel of the ear."""
    low = [band.centre_hz for band in THIRD_OCTAVES if band.high_hz < THIRD_OCTAVES_TO_HZ]
    numbers = np.arange(erb_number(THIRD_OCTAVES_TO_HZ), erb_number(HIGHEST_HZ))
    return np.concatenate((low, erb_number_to_hz(numbers)))


@lru_cache(maxsize=1)
def filters() -> Powers:
    """Return how much of each sub-band's power each channel lets through, shape ``(sub-bands, channels)``.

    Notes
    -----
    ``W(g) = (1 + p g) exp(-p g)`` with ``g = |f - fc| / fc`` and ``p = 4 fc / ERB(fc)``: all of a tone on the
    centre, and of noise as much as a rectangle of one ERB.
    """
    centre_hz = channels_hz()
    steep = 4.0 * np.abs(sub_bands_hz()[:, None] - centre_hz) / erb_hz(centre_hz)
    through = (1.0 + steep) * np.exp(-steep)
    return np.asarray(np.where(through < LEAST_THROUGH, 0.0, through), dtype=np.float32)


def frames_in(sound_frames: int) -> int:
    """Return how many frames a loop of a length is taken in."""
    return -(-sound_frames // seconds_to_frames(HOP_S, RATE_HZ))


def spectra_of(sound: Sound, *, every: int = 1) -> Spectra:
    """Return the spectrum of each frame of a loop, or of every so many, scaled so that squares are powers.

    Raises
    ------
    ValueError
        If the sound is empty, or not at the rate everything is made at.
    """
    from scipy import fft

    if sound.rate_hz != RATE_HZ or sound.frames == 0:
        raise ValueError(
            f"an excitation is of a sound at {RATE_HZ} Hz, not of {sound.frames} at {sound.rate_hz}"
        )
    scale = np.float32(np.sqrt(2.0 / sound.channels) / FRAME)
    shaped = _framed(np.ascontiguousarray(sound.samples.T))[:, ::every] * (_hann() * scale)
    spectra = fft.rfft(shaped, axis=-1, overwrite_x=True)
    return np.ascontiguousarray(spectra[..., : _first_bins()[-1]])


def powers_of(spectra: Spectra) -> Powers:
    """Return the power by frame and sub-band."""
    powers = np.square(spectra.real) + np.square(spectra.imag)
    return np.asarray(_summed(powers), dtype=np.float32)


def contribution_of(spectra: Spectra, mix: Spectra) -> Contribution:
    """Return what a part, by its spectra, adds to a mix."""
    cross = np.asarray(_summed(spectra * np.conj(mix)), dtype=np.complex64)
    return Contribution(powers_of(spectra), cross)


def _summed(bins: NDArray[np.inexact]) -> NDArray[np.inexact]:
    """Return the sums over the sound's channels and each sub-band's bins."""
    first = _first_bins()
    return np.asarray(np.add.reduceat(bins.sum(axis=0), first[:-1], axis=-1))


def _framed(line: NDArray[np.floating]) -> NDArray[np.floating]:
    """Return a loop's frames along a new axis before the last one."""
    hop, last = seconds_to_frames(HOP_S, RATE_HZ), line.shape[-1]
    beyond = (frames_in(last) - 1) * hop + FRAME - last
    whole = [(0, 0)] * (line.ndim - 1) + [(0, max(beyond, 0))]
    return sliding_window_view(np.pad(line, whole, mode="wrap"), FRAME, axis=-1)[..., ::hop, :]


@lru_cache(maxsize=1)
def _hann() -> NDArray[np.float32]:
    """Return a periodic Hann window of mean power 1."""
    shape = 0.5 - 0.5 * np.cos(2.0 * np.pi * np.arange(FRAME) / FRAME)
    return np.asarray(shape / np.sqrt(np.mean(shape**2)), dtype=np.float32)
