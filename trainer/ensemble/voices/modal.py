"""The modal sum: a struck thing as decaying sines, rendered as one matrix product."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from trainer.sound import RATE_HZ

Floats = NDArray[np.float64]
Mono = NDArray[np.float32]
"""Float32 samples of one channel, shape (frames,)."""

DECAY_60_DB = 6.907755278982137
"""The natural logarithm of 60 dB (1000): what an envelope falls by in its T60."""

TOP_HZ = 0.46 * RATE_HZ
"""Modes above this are left out, so nothing can alias."""

FLOOR_DB = -64.0
"""A mode ends where it has fallen to this beside the loudest mode's start."""

_BLOCK = 256
_FADE = 0.08
_FEW_MODES = 16


@dataclass(frozen=True, slots=True, eq=False)
class Modes:
    """Decaying sines: four arrays of one length, a mode at each place.

    ``frequency_hz``, ``t60_s`` (time to fall by 60 dB), ``amplitude`` and ``phase_rad`` of its start.
    """

    frequency_hz: Floats
    t60_s: Floats
    amplitude: Floats
    phase_rad: Floats

    def where(self, chosen: NDArray[np.bool_] | NDArray[np.intp] | slice) -> "Modes":
        """Return the modes chosen by a mask, by places or as a stretch."""
        return Modes(
            self.frequency_hz[chosen], self.t60_s[chosen], self.amplitude[chosen], self.phase_rad[chosen]
        )


def ring(modes: Modes, *, longest_s: float = 8.0) -> Mono:
    """Return the sum of the modes, each down to the floor, faded out at its end.

    Parameters
    ----------
    modes
        Any number of modes; those too high for the sample rate are left out.
    longest_s
        Where the sound is cut (with a fade) if modes ring on.

    Notes
    -----
    Modes that end early are rendered apart and short (a cymbal costs a fifth of its longest mode times
    all), where there are enough of them to be worth it.
    """
    modes = modes.where(modes.frequency_hz < TOP_HZ)
    lengths = _lengths(modes, longest_s=longest_s)
    order = np.argsort(-lengths)
    modes, lengths = modes.where(order), lengths[order]
    together = 0.08 if len(lengths) <= _FEW_MODES else 0.3
    out: Mono | None = None
    first = 0
    while first < len(lengths) and lengths[first] > 0:
        last = int(np.searchsorted(-lengths, -lengths[first] * together, side="right"))
        part = modal_sum(modes.where(slice(first, last)), frames=int(lengths[first]))
        fade = 1 << max(0, int(len(part) * _FADE).bit_length() - 1)
        part[-fade:] *= fall(fade)
        if out is None:
            out = part
        else:
            out[: len(part)] += part
        first = last
    return np.zeros(1, np.float32) if out is None else out


@lru_cache(maxsize=64)
def fall(frames: int) -> Mono:
    """Return a fade from one to zero: half a cosine."""
    return (0.5 + 0.5 * np.cos(np.linspace(0.0, np.pi, frames))).astype(np.float32)


def modal_sum(modes: Modes, *, frames: int) -> Mono:
    """Return ``frames`` of the modes' sum, ``sum_k a_k exp(-6.9078 t / T_k) sin(2 pi f_k t + ph_k)``.

    Notes
    -----
    With ``z_k = exp((-6.9078 / T_k + 2 pi i f_k) / rate)`` and ``n = i B + j`` the sum factors into
    ``Im sum_k (a_k e^{i ph_k} z_k^{iB}) (z_k^j)``: a product of a (frames / B, 2K) and a (2K, B) matrix.
    The powers are built in double precision, the product is done in single.
    """
    rows = -(-frames // _BLOCK)
    step = np.asarray(-DECAY_60_DB / modes.t60_s + 2j * np.pi * modes.frequency_hz, np.complex128) / RATE_HZ
    within = _powers(step, _BLOCK)
    starts = _powers(step * _BLOCK, rows) * (modes.amplitude * np.exp(1j * modes.phase_rad))[:, None]
    left = np.concatenate([starts.real, starts.imag]).T.astype(np.float32, order="C")
    right = np.concatenate([within.imag, within.real]).astype(np.float32)
    return (left @ right).reshape(-1)[:frames]


def glide(sound: Mono, *, depth: float, time_s: float) -> Mono:
    """Return a sound whose pitch starts ``1 + depth`` times too high and falls to its own within ``time_s``.

    Notes
    -----
    The sound is read along ``t + depth tau (1 - exp(-t / tau))`` with linear interpolation, so it suits
    low drums: at 500 Hz the error is below -80 dB.
    """
    place, between = (row[: len(sound)] for row in _glide_places(depth, time_s))
    moving = len(place)
    ahead = depth * time_s * RATE_HZ
    padded = np.append(sound, np.zeros(int(ahead) + 2, np.float32))
    out = np.empty_like(sound)
    here = padded[place]
    out[:moving] = here + between * (padded[1:][place] - here)
    whole, part = int(ahead), np.float32(ahead % 1.0)
    rest = padded[moving + whole : len(sound) + whole + 1]
    out[moving:] = rest[:-1] + part * (rest[1:] - rest[:-1])
    return out


@lru_cache(maxsize=64)
def _glide_places(depth: float, time_s: float) -> tuple[NDArray[np.intp], Mono]:
    """Return where a glide reads while it moves: whole frames, and how far beyond them."""
    t = np.arange(int(11.0 * time_s * RATE_HZ)) / RATE_HZ
    place = (t + depth * time_s * (1.0 - np.exp(-t / time_s))) * RATE_HZ
    whole = place.astype(np.intp)
    return whole, (place - whole).astype(np.float32)


def _lengths(modes: Modes, *, longest_s: float) -> NDArray[np.intp]:
    level = np.abs(modes.amplitude)
    below_db = 20.0 * np.log10(np.maximum(level, 1e-12) / max(float(level.max(initial=0.0)), 1e-9))
    length_s = np.clip(modes.t60_s * (below_db - FLOOR_DB) / 60.0, 0.0, longest_s)
    return (length_s * RATE_HZ).astype(np.intp)


def _powers(step: NDArray[np.complex128], count: int) -> NDArray[np.complex128]:
    """Return ``exp(step n)`` for n from 0 to ``count - 1``: each a product of a coarse and a fine power."""
    fine = 1 << (count.bit_length() // 2)
    coarse = -(-count // fine)
    fine_powers = np.exp(step[:, None] * np.arange(fine))
    coarse_powers = np.exp((step * fine)[:, None] * np.arange(coarse))
    powers = coarse_powers[:, :, None] * fine_powers[:, None, :]
    return np.asarray(powers.reshape(len(step), coarse * fine)[:, :count], np.complex128)
