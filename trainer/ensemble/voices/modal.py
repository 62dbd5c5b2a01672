"""The modal sum: a struck thing as decaying sines, rendered as one matrix product."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from trainer.ensemble.voices.voice import ENDLESS
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


@dataclass(frozen=True, slots=True, eq=False)
class _Group:
    """Modes that end together: their places among all, their length, their powers from block to block and within.

    ``starts`` is (blocks, modes); ``within`` has for each mode an imaginary row and a real one.
    """

    places: NDArray[np.intp]
    frames: int
    starts: NDArray[np.complex64]
    within: Mono

    def sum_of(self, complex_amplitude: NDArray[np.complex64], *, frames: int) -> Mono:
        """Return the first frames of the modes' sum, faded out if it comes to its end."""
        frames = min(frames, self.frames)
        starts = self.starts[: -(-frames // _BLOCK)] * complex_amplitude[self.places]
        out = (starts.view(np.float32) @ self.within).reshape(-1)[:frames]
        if frames == self.frames:
            fade = 1 << max(0, int(frames * _FADE).bit_length() - 1)
            out[-fade:] *= fall(fade)
        return out


@dataclass(frozen=True, slots=True, eq=False)
class Resonator:
    """A thing that always rings at the same frequencies and decays, ready to be struck in any way.

    All that is dear, the powers of its modes, is worked out once; a stroke is one matrix product a group.
    """

    groups: tuple[_Group, ...]

    @classmethod
    def of(cls, modes: Modes, *, longest_s: float = 8.0) -> "Resonator":
        """Return what rings in these modes, each down to the floor when it starts as they do.

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
        lengths = _lengths(modes, longest_s=longest_s)
        lengths[modes.frequency_hz >= TOP_HZ] = 0
        order = np.argsort(-lengths, kind="stable")
        lengths = lengths[order]
        together = 0.08 if len(lengths) <= _FEW_MODES else 0.3
        groups = []
        first = 0
        while first < len(lengths) and lengths[first] > 0:
            shortest = max(1.0, lengths[first] * together)
            last = int(np.searchsorted(-lengths, -shortest, side="right"))
            groups.append(_group(modes, order[first:last], frames=int(lengths[first])))
            first = last
        return cls(tuple(groups))

    def struck(self, amplitude: Floats, phase_rad: Floats, *, frames: int = ENDLESS) -> Mono:
        """Return a stroke: no more than its first frames, the modes starting with these amplitudes and phases."""
        if not self.groups:
            return np.zeros(1, np.float32)
        complex_amplitude = (amplitude * np.exp(1j * phase_rad)).astype(np.complex64)
        out, *others = (group.sum_of(complex_amplitude, frames=frames) for group in self.groups)
        for other in others:
            out[: len(other)] += other
        return out


def ring(modes: Modes, *, longest_s: float = 8.0) -> Mono:
    """Return the sum of the modes, each down to the floor, faded out at its end."""
    return Resonator.of(modes, longest_s=longest_s).struck(modes.amplitude, modes.phase_rad)


def _group(modes: Modes, places: NDArray[np.intp], *, frames: int) -> _Group:
    starts, within = _factors(modes.where(places), frames=frames)
    return _Group(places, frames, starts, within)


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
    starts, within = _factors(modes, frames=frames)
    starts *= (modes.amplitude * np.exp(1j * modes.phase_rad)).astype(np.complex64)
    return (starts.view(np.float32) @ within).reshape(-1)[:frames]


def _factors(modes: Modes, *, frames: int) -> tuple[NDArray[np.complex64], Mono]:
    """Return the two matrices of the sum, for amplitudes of one: (blocks, K), and (2K, B) to its real view."""
    step = np.asarray(-DECAY_60_DB / modes.t60_s + 2j * np.pi * modes.frequency_hz, np.complex128) / RATE_HZ
    starts = np.ascontiguousarray(_powers(step * _BLOCK, -(-frames // _BLOCK)).T, np.complex64)
    powers = _powers(step, _BLOCK)
    within = np.stack([powers.imag, powers.real], axis=1).astype(np.float32)
    return starts, within.reshape(2 * len(step), _BLOCK)


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
