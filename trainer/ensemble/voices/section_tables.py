"""Looped ensemble tables: a section of players on one pitch, as about a second of seamless sound.

Every harmonic is a clear line (what the section agrees on) in a Gaussian of noise (where its players differ),
built in the spectrum and transformed once. Layers of different brightness share all phases, so that mixing
them changes the timbre and never combs.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trainer.ensemble.voices.reading import Planes
from trainer.sound import RATE_HZ
from trainer.units import midi_to_hz

TABLE_RATE_HZ = 2 * RATE_HZ
"""Tables are made at twice the rate: between their samples four neighbours are enough."""

LOW_FRAMES = 1 << 17
HIGH_FRAMES = 1 << 16
HIGH_FROM = 58
"""A table's length: the low ones are longer, since their players differ by fewer hertz."""

LAYER_LEVELS = (0.15, 0.5, 1.0)
"""The levels (0 silent, 1 fff) the brightness layers of a table are made at."""

TOP_HZ = 18_000.0
"""Nothing is built above this, so that a table read a trill too fast still cannot alias."""

ANCHOR_EVERY = 5
"""A table serves five neighbouring semitones: it is read a little faster or slower."""

Floats = NDArray[np.float64]
Spectrum = NDArray[np.floating]
"""Frequencies or levels, in either precision."""


@dataclass(frozen=True, slots=True)
class Players:
    """How a section's players differ.

    ``spread_cents`` is the standard deviation of their tuning; ``unity_db`` how far the line stands over the
    noise around it at the fundamental, less by ``unity_fall_db`` every harmonic up; ``apart_rad`` how
    different the section sounds to the left ear and the right.
    """

    spread_cents: float = 8.0
    unity_db: float = 9.0
    unity_fall_db: float = 0.7
    apart_rad: float = 1.2


def anchor_of(pitch: int) -> int:
    """Return the pitch whose table serves a pitch."""
    return ANCHOR_EVERY * round(pitch / ANCHOR_EVERY)


def table_frames(anchor: int) -> int:
    """Return the length of an anchor's table: a power of two."""
    return HIGH_FRAMES if anchor >= HIGH_FROM else LOW_FRAMES


def cycles_of(anchor: int) -> int:
    """Return how many cycles of the anchor's fundamental a table holds: a whole number, so that it loops."""
    return round(midi_to_hz(anchor) * table_frames(anchor) / TABLE_RATE_HZ)


def reading_ratio(pitch: int) -> float:
    """Return how fast its anchor's table is read for a pitch to be in tune (ISO 16)."""
    anchor = anchor_of(pitch)
    return midi_to_hz(pitch) * table_frames(anchor) / (cycles_of(anchor) * RATE_HZ)


def ensemble_table(
    level_db: Callable[[Spectrum, float], Spectrum],
    *,
    anchor: int,
    players: Players,
    rng: np.random.Generator,
) -> Planes:
    """Return a table of brightness layers, (layers, 2, frames), each layer of rms 1.

    Parameters
    ----------
    level_db
        The spectral envelope: the level at frequencies in hertz, when played at a level of 0 to 1.
    anchor
        The MIDI note number of the table's pitch.
    players
        How the section's players differ.
    rng
        Where the phases come from.
    """
    frames = table_frames(anchor)
    bins = np.arange(int(TOP_HZ * frames / TABLE_RATE_HZ), dtype=np.float32)
    frequency_hz = np.maximum(bins * np.float32(TABLE_RATE_HZ / frames), np.float32(1.0))
    pair = _unit_spectra(len(frequency_hz), cycles_of(anchor), players, rng)
    layers = [_layer(pair, level_db(frequency_hz, level), frames) for level in LAYER_LEVELS]
    return np.stack(layers)


def layer_weights(level: Floats) -> Floats:
    """Return how much of each layer makes a level, (layers, moments): straight between its neighbours."""
    places = np.interp(level, LAYER_LEVELS, np.arange(len(LAYER_LEVELS)))
    distance = np.abs(places - np.arange(len(LAYER_LEVELS))[:, None])
    return np.asarray(np.maximum(1.0 - distance, 0.0))


def _unit_spectra(
    count: int, cycles: int, players: Players, rng: np.random.Generator
) -> NDArray[np.complex64]:
    """Return the spectra of left and right with every harmonic at power 1, up to the top."""
    bins = np.arange(count, dtype=np.float32)
    harmonic = np.maximum(np.round(bins / cycles), 1.0)
    spread = np.clip(harmonic * cycles * (2.0 ** (players.spread_cents / 1200.0) - 1.0), 0.8, cycles / 3.0)
    bell = np.exp(-0.5 * ((bins - harmonic * cycles) / spread) ** 2) / np.sqrt(spread * np.sqrt(np.pi))
    unity = 10.0 ** (np.maximum(players.unity_db - players.unity_fall_db * (harmonic - 1.0), -12.0) / 10.0)
    noise = bell / np.sqrt(1.0 + unity) * _turned(np.float32(2.0 * np.pi) * rng.random(len(bins), np.float32))
    centres = np.arange(cycles, len(bins), cycles)
    lines = np.sqrt(unity[centres] / (1.0 + unity[centres]))
    apart = _turned(players.apart_rad * rng.standard_normal(len(bins), np.float32))
    pair = np.stack([noise, noise * apart]).astype(np.complex64)
    lines = lines * _turned(np.float32(2.0 * np.pi) * rng.random(len(centres), np.float32))
    ears = _turned(players.apart_rad * 0.25 * rng.standard_normal((2, len(centres)), np.float32))
    pair[:, centres] += lines * ears
    return pair


def _turned(phase_rad: NDArray[np.float32]) -> NDArray[np.complex64]:
    turned = np.empty(phase_rad.shape, np.complex64)
    np.cos(phase_rad, out=turned.real)
    np.sin(phase_rad, out=turned.imag)
    return turned


def _layer(pair: NDArray[np.complex64], level_db: Spectrum, frames: int) -> Planes:
    """Return one layer of rms 1: left and right as the real and imaginary part of one transform."""
    from scipy import fft

    left, right = pair[:, 1:] * np.asarray(10.0 ** (level_db[1:] / 20.0), np.float32)
    power = float(np.vdot(left, left).real + np.vdot(right, right).real)
    spectrum = np.zeros(frames, np.complex64)
    spectrum[1 : len(left) + 1] = left + 1j * right
    spectrum[-len(left) :] = (left.conj() + 1j * right.conj())[::-1]
    line = fft.ifft(spectrum, overwrite_x=True)
    line *= np.float32(frames / np.sqrt(power))
    return np.stack([line.real, line.imag])
