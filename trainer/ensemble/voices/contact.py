"""The blow: how long a mallet or stick touches what it strikes, which partials that drives, its noise."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from trainer.ensemble.voices.modal import Floats, Mono
from trainer.ensemble.voices.voice import Shelf
from trainer.sound import RATE_HZ
from trainer.units import db_to_ratio

POOL_FRAMES = 1 << 15
"""How much noise is kept for each band: 0.7 s, of which a blow takes some hundredths anywhere."""


@dataclass(frozen=True, slots=True)
class Contact:
    """A mallet on a surface: contact time at full velocity, and how fast it grows for softer blows.

    Hertz's law of elastic contact gives an exponent of 0.2; felt and yarn, which harden as they are
    pressed, 0.4 to 0.5 (from memory).
    """

    full_s: float
    exponent: float

    def time_s(self, velocity: float) -> float:
        """Return how long a blow of this velocity touches."""
        return float(self.full_s * velocity**-self.exponent)

    def gain(self, frequency_hz: Floats, *, velocity: float) -> Floats:
        """Return how strongly a blow drives each frequency: the half-sine's spectrum without its nulls."""
        return np.asarray(1.0 / np.sqrt(1.0 + (frequency_hz * self.time_s(velocity) / 0.6) ** 4))


@dataclass(frozen=True, slots=True)
class Blow:
    """The noise of a blow: a band of noise that rises and decays, at a level beside the note's modes.

    ``exponent`` is how its amplitude grows with velocity beyond the note's own growth.
    """

    low_hz: float
    high_hz: float
    decay_s: float
    level_db: float
    exponent: float = 0.6
    rise_s: float = 0.0002
    tilt_db_per_octave: float = 0.0

    def noise(self, rng: np.random.Generator, shelf: Shelf, *, velocity: float) -> Mono:
        """Return the noise of one blow beside modes whose amplitudes sum to about one."""
        sound = noise_burst(
            rng,
            shelf,
            low_hz=self.low_hz,
            high_hz=self.high_hz,
            decay_s=self.decay_s,
            rise_s=self.rise_s,
            tilt_db_per_octave=self.tilt_db_per_octave,
        )
        loudness = db_to_ratio(self.level_db + rng.normal(0.0, 0.8)) * (velocity / 0.7) ** self.exponent
        sound *= np.float32(loudness)
        return sound


def noise_burst(
    rng: np.random.Generator,
    shelf: Shelf,
    *,
    low_hz: float,
    high_hz: float,
    decay_s: float,
    rise_s: float = 0.0002,
    tilt_db_per_octave: float = 0.0,
) -> Mono:
    """Return a burst of band noise, of unit rms before its envelope ``(1 - e^{-t/rise}) e^{-t/decay}``.

    Parameters
    ----------
    rng
        Chooses the stretch of noise.
    shelf
        Keeps the noise: one long stretch for each band.
    low_hz, high_hz
        The band's edges, 12 dB per octave outside.
    decay_s, rise_s
        Time constants of the envelope; the burst lasts 7.5 decays, to -65 dB.
    tilt_db_per_octave
        The slope inside the band.
    """
    frames = int(7.5 * decay_s * RATE_HZ)
    band = (low_hz, high_hz, tilt_db_per_octave)
    pool = shelf.keep(("noise", *band), lambda: _pool(*band))[:, 0]
    start = int(rng.integers(0, len(pool) - frames))
    return np.asarray(pool[start : start + frames] * _envelope(frames, decay_s, rise_s))


def _pool(low_hz: float, high_hz: float, tilt_db_per_octave: float) -> Mono:
    rng = np.random.default_rng([round(low_hz), round(high_hz)])
    noise = band_noise(
        rng, POOL_FRAMES, low_hz=low_hz, high_hz=high_hz, tilt_db_per_octave=tilt_db_per_octave
    )
    return noise[:, None]


@lru_cache(maxsize=256)
def _envelope(frames: int, decay_s: float, rise_s: float) -> Mono:
    t = np.arange(frames, dtype=np.float32) / np.float32(RATE_HZ)
    envelope = np.exp(t / np.float32(-decay_s)) * (1.0 - np.exp(t / np.float32(-rise_s)))
    return np.asarray(envelope, np.float32)


def band_noise(
    rng: np.random.Generator, frames: int, *, low_hz: float, high_hz: float, tilt_db_per_octave: float = 0.0
) -> Mono:
    """Return ``frames`` of Gaussian noise of unit rms in a band, with a slope inside it."""
    from scipy import fft

    size = 1 << max(6, int(frames - 1).bit_length())
    frequency = np.fft.rfftfreq(size, 1.0 / RATE_HZ).astype(np.float32)[1:]
    shape = np.zeros(size // 2 + 1, np.float32)
    shape[1:] = (frequency / low_hz) ** (tilt_db_per_octave / 6.0206)
    shape[1:] /= np.sqrt((1.0 + (low_hz / frequency) ** 4) * (1.0 + (frequency / high_hz) ** 4))
    shape[1:][frequency > 20_500.0] = 0.0
    spectrum = rng.standard_normal((size // 2 + 1, 2), dtype=np.float32).view(np.complex64)[:, 0]
    noise = fft.irfft(spectrum * shape, size)[:frames]
    noise *= np.float32(size / np.sqrt(4.0 * np.sum(np.square(shape))))
    return np.asarray(noise, np.float32)
