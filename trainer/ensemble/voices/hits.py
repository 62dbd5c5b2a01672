"""What all struck voices share: how loudness follows velocity, what varies from hit to hit, a hit's ends."""

import zlib
from collections.abc import Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from trainer.ensemble.voices.modal import Floats, Mono, fall
from trainer.ensemble.voices.voice import Audio
from trainer.sound import RATE_HZ

LOUDNESS_EXPONENT = 1.6
"""Amplitude grows as velocity to this power: 16 dB from a soft (0.3) to a full (0.95) stroke."""

LAYERS = (0.3, 0.5, 0.7, 0.9)
"""The velocities that struck voices are made at."""

FEW_LAYERS = (0.33, 0.6, 0.87)
"""Those of voices that are dear to make and seldom struck."""

_SETTLE_S = 0.05
_OUT_S = 0.004


def loudness(velocity: float) -> float:
    """Return the amplitude of a stroke beside one at velocity 0.7."""
    return float((velocity / 0.7) ** LOUDNESS_EXPONENT)


def character(part: str, pitch: int) -> np.random.Generator:
    """Return the chance that made this one bar or drum what it is: the same at every stroke of it."""
    return np.random.default_rng(zlib.crc32(f"{part} {pitch}".encode()))


def jitter(rng: np.random.Generator, count: int, *, sd_db: float) -> Floats:
    """Return gains that scatter about one."""
    return 10.0 ** (rng.normal(0.0, sd_db, count) / 20.0)


def summed(*sounds: Mono) -> Mono:
    """Return sounds of different lengths on top of each other, all from the start; the longest is used up."""
    out, *others = sorted(sounds, key=len, reverse=True)
    for sound in others:
        out[: len(sound)] += sound
    return out


def delayed(sound: Mono, *, by_s: float) -> Mono:
    """Return a sound after so much silence."""
    return np.concatenate([np.zeros(round(by_s * RATE_HZ), np.float32), sound])


def eased_in(sound: Mono, *, over_s: float) -> Mono:
    """Raise a sound from silence along half a cosine (in place), as the mallet's push does."""
    frames = min(len(sound), max(2, round(over_s * RATE_HZ)))
    sound[:frames] *= fall(frames)[::-1]
    return sound


def settled(sound: Mono, *, gain: float = 1.0) -> Audio:
    """Return a hit as one channel, scaled in place, its end faded out and its sum made zero.

    The sum is taken out as one hump of 50 ms: no DC is left, and nothing changes above 20 Hz.
    """
    out = sound
    out *= np.float32(gain)
    fade = min(len(out), round(_OUT_S * RATE_HZ))
    out[-fade:] *= fall(fade)
    settling = hump(min(len(out), round(_SETTLE_S * RATE_HZ)))
    out[: len(settling)] -= settling * total(out)
    return out[:, None]


def total(sound: Mono) -> np.float32:
    """Return the sum of a sound: as a product with ones, several times quicker than adding up."""
    return np.float32(sound @ _ones(len(sound)))


def total_of_both(line: NDArray[np.complex64]) -> np.complex64:
    """Return the sum of a line of left and right."""
    left, right = _ones(len(line)) @ line.view(np.float32).reshape(-1, 2)
    return np.complex64(left + 1j * right)


def _ones(count: int) -> Mono:
    return _ONES[:count] if count <= len(_ONES) else np.ones(count, np.float32)


_ONES = np.ones(8 * RATE_HZ, np.float32)


@lru_cache(maxsize=256)
def hump(frames: int) -> Mono:
    """Return a smooth hump whose sum is one."""
    rounded = np.hanning(frames + 2)[1:-1]
    return np.asarray(rounded / rounded.sum(), np.float32)


def placed(sounds: Sequence[Mono], pans: Sequence[float]) -> Audio:
    """Return several players' sounds as two channels, each where it stands (equal power)."""
    out = np.zeros((max(len(sound) for sound in sounds), 2), np.float32)
    for sound, pan in zip(sounds, pans, strict=True):
        left, right = gains_at(pan)
        out[: len(sound), 0] += np.float32(left) * sound
        out[: len(sound), 1] += np.float32(right) * sound
    return out


def gains_at(pan: float) -> tuple[float, float]:
    """Return the gains of left and right for a place from -1 to 1: equal power, -3 dB each at the centre."""
    angle = (pan + 1.0) * np.pi / 4.0
    return float(np.cos(angle)), float(np.sin(angle))
