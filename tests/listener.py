"""A computational listener: it is given plain and changed sound, nothing else, and names what was done.

It stands outside the program: it measures spectra by its own Fourier transform, knows the bell from the Audio EQ
Cookbook's analogue prototype (W3C Note, 2021), and knows the sections by what they sounded like in other excerpts.
"""

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trainer.sound import Sound

Floats = NDArray[np.float64]

CENTRES_HZ = 1000.0 * 10.0 ** (0.3 * np.arange(-5, 5))
"""The exact octave centres of IEC 61260-1."""
NOMINAL_HZ = (31.5, 63.0, 125.0, 250.0, 500.0, 1000.0, 2000.0, 4000.0, 8000.0, 16000.0)
SIXTHS_HZ = 1000.0 * 10.0 ** (0.05 * np.arange(-33, 27))
"""Sixths of an octave from 22 Hz to 20 kHz, at which spectra are compared."""
SIZES_DB = (1.0, 2.0, 3.0, 4.5, 6.0, 8.0, 10.0, 12.0, 15.0)
LEAST_DB = 0.5
"""A change of the spectrum that is smaller is no change."""


@dataclass(frozen=True)
class HeardTone:
    """A boost or cut that was heard."""

    band_hz: float
    direction: str


SHARES = (0.03, 0.1, 0.3, 0.6, 0.95)
"""What share of the mix's power a part of it may have where it has most."""


def hear_tone(
    plain: Sound,
    changed: Sound,
    *,
    offered: Sequence[float] = NOMINAL_HZ,
    profile: Floats | None = None,
) -> HeardTone | None:
    """Return which of the octave bands on offer was boosted or cut, or None if nothing was heard.

    On a part of the mix a bell moves it only as far as the part is heard in it: what the part sounds like is known
    from other excerpts (its ``profile``), how loud it is here is not.
    """
    before_db = spectrum_db(plain)
    shift_db = spectrum_db(changed) - before_db
    shift_db -= np.median(shift_db)
    if np.max(np.abs(shift_db)) < LEAST_DB:
        return None
    shares = [np.ones(len(SIXTHS_HZ))] if profile is None else _shares(profile, before_db)
    misfits = {
        (band_hz, sign): min(
            _misfit(shift_db, shift_of(band_hz, sign * size, share)) for size in SIZES_DB for share in shares
        )
        for band_hz in offered
        for sign in (1.0, -1.0)
    }
    band_hz, sign = min(misfits, key=lambda heard: misfits[heard])
    return HeardTone(band_hz, "boost" if sign > 0 else "cut")


def _shares(profile: Floats, mix_db: Floats) -> list[Floats]:
    """Return what share of the mix's power a part may have in each sixth of an octave, as loud as it may be."""
    over_mix = 10.0 ** ((profile - mix_db) / 10.0)
    return [np.minimum(1.0, most * over_mix / np.max(over_mix)) for most in SHARES]


def shift_of(band_hz: float, gain_db: float, share: Floats) -> Floats:
    """Return by how much a mix moves in each sixth of an octave when a bell is put on what has such a share of it."""
    added = 10.0 ** (bell_db(SIXTHS_HZ, CENTRES_HZ[NOMINAL_HZ.index(band_hz)], gain_db) / 10.0) - 1.0
    return 10.0 * np.log10(np.maximum(1.0 + share * added, 1e-3))


def _misfit(shift_db: Floats, shape_db: Floats) -> float:
    """Return the variance that is left when the shape is taken away; a difference in level does not count."""
    return float(np.var(shift_db - shape_db))


def bell_db(frequency_hz: Floats, centre_hz: float, gain_db: float) -> Floats:
    """Return the analogue peaking equaliser's response: H = (s² + sA/Q + 1) / (s² + s/(AQ) + 1), an octave wide."""
    amplitude, quality = 10.0 ** (gain_db / 40.0), np.sqrt(2.0)
    s = 1j * frequency_hz / centre_hz
    response = (s**2 + s * amplitude / quality + 1.0) / (s**2 + s / (amplitude * quality) + 1.0)
    return 20.0 * np.log10(np.abs(response))


def spectrum_db(sound: Sound) -> Floats:
    """Return the level in each sixth of an octave."""
    power = np.abs(np.fft.rfft(np.mean(sound.samples, axis=1, dtype=np.float64))) ** 2
    edges = np.append(SIXTHS_HZ, SIXTHS_HZ[-1] * 10.0**0.05) / 10.0**0.025
    bins = np.clip(np.round(edges * sound.frames / sound.rate_hz).astype(int), 1, len(power))
    level = np.array([power[low : max(high, low + 1)].sum() for low, high in itertools.pairwise(bins)])
    return 10.0 * np.log10(level + 1e-12)


@dataclass(frozen=True)
class HeardLevel:
    """A section that was heard to move."""

    section: str
    direction: str


def hear_level(plain: Sound, changed: Sound, profiles: Mapping[str, Floats]) -> HeardLevel | None:
    """Return which section moved: what was added (or taken away) is compared with each section's profile."""
    moved = changed.samples - plain.samples
    if np.sqrt(np.mean(np.square(moved))) < 1e-4:
        return None
    heard = profile_of(Sound(moved, plain.rate_hz))
    section = max(profiles, key=lambda name: float(np.corrcoef(heard, profiles[name])[0, 1]))
    return HeardLevel(section, "up" if float(np.sum(moved * plain.samples)) > 0.0 else "down")


def profile_of(sound: Sound) -> Floats:
    """Return a sound's spectrum for comparison by shape: what lies 40 dB below its strongest counts as nothing."""
    level_db = spectrum_db(sound)
    return np.maximum(level_db - np.max(level_db), -40.0)


COMPRESSED_FROM = 0.03
"""The share of the change that goes both ways from which on a compressor is heard."""


def hear_compression(plain: Sound, changed: Sound) -> bool:
    """Return whether a gain moved with time: whether one octave band is louder here and softer there.

    A boost, a cut and a fader move a band the same way all the time; a compressor, its level made up, pushes
    the loud down and the soft up.
    """
    return both_ways(plain, changed) > COMPRESSED_FROM


def both_ways(plain: Sound, changed: Sound) -> float:
    """Return which share of the change goes against the band's own trend, for the band where it is largest."""
    moved = _bands_over_time(changed.samples - plain.samples, plain.samples)
    against = np.minimum(np.sum(np.maximum(moved, 0.0), axis=0), np.sum(np.maximum(-moved, 0.0), axis=0))
    return float(np.max(against) / max(np.sum(np.abs(moved)), 1e-9))


WINDOW = 8192


def _bands_over_time(moved: NDArray[np.float32], plain: NDArray[np.float32]) -> Floats:
    """Return in each window and octave the covariance of what was added with what was there."""
    windows = len(plain) // WINDOW
    shape = (windows, WINDOW, plain.shape[1])
    taper = np.hanning(WINDOW)[None, :, None]
    spectra = [
        np.fft.rfft(part[: windows * WINDOW].reshape(shape) * taper, axis=1) for part in (moved, plain)
    ]
    together = np.sum((spectra[0] * np.conj(spectra[1])).real, axis=2)
    edges = np.round(np.append(CENTRES_HZ, CENTRES_HZ[-1] * 2.0) / np.sqrt(2.0) * WINDOW / 48_000).astype(int)
    edges = np.clip(edges, 1, WINDOW // 2 + 1)
    return np.stack([together[:, low:high].sum(axis=1) for low, high in itertools.pairwise(edges)], axis=1)
