"""Drums with heads: one way to strike them, for timpani, bass drums, tenors and toms alike."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from trainer.ensemble.voices.contact import Blow, Contact
from trainer.ensemble.voices.hits import character, eased_in, jitter, summed
from trainer.ensemble.voices.modal import Floats, Modes, Mono, Resonator, glide
from trainer.ensemble.voices.voice import ENDLESS, Shelf

IDEAL_MEMBRANE = (1.0, 1.5933, 2.1355, 2.2954, 2.6531, 2.9173, 3.1555, 3.5001, 3.5985, 3.6475, 4.0589)
"""Frequencies of an ideal circular membrane beside its lowest: the zeros of the Bessel functions."""

TWO_HEADS = (1.0, 1.72, 1.86, 2.72, 3.64, 4.5, 5.46)
"""A bass drum, two heads coupled by the air: 50, 86, 93, 136, 182, 225 and 273 Hz, beside the lowest."""

UPPER_JITTER_DB = 4.0
"""How far the modes of a drum's top scatter from stroke to stroke."""


@dataclass(frozen=True, slots=True)
class Drum:
    """A drum: its modes beside the lowest, how it is struck, and its noises.

    Attributes
    ----------
    ratios, levels_db, t60_s
        A mode at each place; ``t60_s`` in seconds.
    upper
        How many more modes there are, scattered between ``upper_hz``: the heads' dense short top.
    brightening
        How fast a mode grows with velocity beyond the lowest: its exponent an octave above it.
    glide_depth, glide_s
        A hard blow stretches the head: how much too high it starts at velocity 1, and for how long.
    """

    ratios: tuple[float, ...]
    levels_db: tuple[float, ...]
    t60_s: tuple[float, ...]
    contact: Contact
    blows: tuple[Blow, ...]
    brightening: float = 0.3
    upper: int = 0
    upper_hz: tuple[float, float] = (300.0, 2_500.0)
    upper_db: float = -24.0
    upper_t60_s: float = 0.2
    glide_depth: float = 0.0
    glide_s: float = 0.05
    own_jitter_db: float = 1.8


@dataclass(frozen=True, slots=True, eq=False)
class _Head:
    """A drum as tuned: what rings, and how strongly each of it starts at velocity 0.7 without a stick's say."""

    resonator: Resonator
    frequency_hz: Floats
    amplitude: Floats
    exponent: Floats


def beat_drum(
    drum: Drum,
    lowest_hz: float,
    *,
    velocity: float,
    rng: np.random.Generator,
    shelf: Shelf,
    frames: int = ENDLESS,
) -> Mono:
    """Return one stroke on a drum tuned to ``lowest_hz``, its modes summing to about one.

    Where no more than so many ``frames`` are listened to, no more of its ringing is worked out.
    """
    head = _main(drum, lowest_hz)
    gains = jitter(rng, len(head.amplitude), sd_db=drum.own_jitter_db)
    tone = _rung(head, drum, velocity, _phases(rng, len(gains)), gains, frames=frames)
    if drum.glide_depth:
        tone = glide(tone, depth=drum.glide_depth * velocity**2, time_s=drum.glide_s)
    tone = eased_in(tone, over_s=0.5 * drum.contact.time_s(velocity))
    if drum.upper:
        tone = summed(tone, _top(drum, lowest_hz, velocity, rng, frames=frames))
    return summed(tone, *(blow.noise(rng, shelf, velocity=velocity) for blow in drum.blows))


def _top(drum: Drum, lowest_hz: float, velocity: float, rng: np.random.Generator, *, frames: int) -> Mono:
    gains = jitter(rng, drum.upper, sd_db=UPPER_JITTER_DB)
    phase = rng.uniform(0.0, 2.0 * np.pi, drum.upper)
    top = _rung(_upper(drum, lowest_hz), drum, velocity, phase, gains, frames=frames)
    return eased_in(top, over_s=0.0003)


def _rung(head: _Head, drum: Drum, velocity: float, phase_rad: Floats, gains: Floats, *, frames: int) -> Mono:
    driven = drum.contact.gain(head.frequency_hz, velocity=velocity) * (velocity / 0.7) ** head.exponent
    return head.resonator.struck(head.amplitude * driven * gains, phase_rad, frames=frames)


@lru_cache(maxsize=256)
def _main(drum: Drum, lowest_hz: float) -> _Head:
    ratios = np.array(drum.ratios)
    exponent = drum.brightening * np.log2(np.maximum(ratios, 1.0))
    amplitude = 10.0 ** (np.array(drum.levels_db) / 20.0)
    return _head(drum, lowest_hz * ratios, np.array(drum.t60_s), amplitude, exponent)


@lru_cache(maxsize=64)
def _upper(drum: Drum, lowest_hz: float) -> _Head:
    """Return the dense short top of a drum: scattered by chance, but the same at every stroke."""
    low_hz, high_hz = drum.upper_hz
    rng = character("top", round(lowest_hz))
    frequency = low_hz * (high_hz / low_hz) ** rng.random(drum.upper)
    t60 = drum.upper_t60_s * np.sqrt(low_hz / frequency) * rng.uniform(0.7, 1.3, drum.upper)
    amplitude = np.full(drum.upper, 10.0 ** (drum.upper_db / 20.0))
    return _head(drum, frequency, t60, amplitude, np.full(drum.upper, drum.brightening))


def _head(drum: Drum, frequency: Floats, t60: Floats, amplitude: Floats, exponent: Floats) -> _Head:
    at_full = amplitude * drum.contact.gain(frequency, velocity=1.0)
    return _Head(
        Resonator.of(Modes(frequency, t60, at_full, np.zeros(len(t60)))), frequency, amplitude, exponent
    )


def _phases(rng: np.random.Generator, count: int) -> Floats:
    """Return phases: the lowest mode's nearly its own at each stroke, the others' signs by chance."""
    phase = rng.uniform(-1.1, 1.1, count)
    phase[1:] += np.pi * rng.integers(0, 2, count - 1)
    return phase
