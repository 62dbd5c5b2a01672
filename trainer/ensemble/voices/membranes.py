"""Drums with heads: one way to strike them, for timpani, bass drums, tenors and toms alike."""

from dataclasses import dataclass

import numpy as np

from trainer.ensemble.voices.contact import Blow, Contact
from trainer.ensemble.voices.hits import eased_in, jitter, summed
from trainer.ensemble.voices.modal import Floats, Modes, Mono, glide, ring
from trainer.ensemble.voices.voice import Shelf

IDEAL_MEMBRANE = (1.0, 1.5933, 2.1355, 2.2954, 2.6531, 2.9173, 3.1555, 3.5001, 3.5985, 3.6475, 4.0589)
"""Frequencies of an ideal circular membrane beside its lowest: the zeros of the Bessel functions."""

TWO_HEADS = (1.0, 1.72, 1.86, 2.72, 3.64, 4.5, 5.46)
"""A bass drum, two heads coupled by the air: 50, 86, 93, 136, 182, 225 and 273 Hz, beside the lowest."""


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


def beat_drum(
    drum: Drum, lowest_hz: float, *, velocity: float, rng: np.random.Generator, shelf: Shelf
) -> Mono:
    """Return one stroke on a drum tuned to ``lowest_hz``, its modes summing to about one."""
    tone = ring(_modes(drum, lowest_hz, velocity, rng))
    if drum.glide_depth:
        tone = glide(tone, depth=drum.glide_depth * velocity**2, time_s=drum.glide_s)
    tone = eased_in(tone, over_s=0.5 * drum.contact.time_s(velocity))
    if drum.upper:
        tone = summed(tone, eased_in(ring(_upper_modes(drum, velocity, rng)), over_s=0.0003))
    return summed(tone, *(blow.noise(rng, shelf, velocity=velocity) for blow in drum.blows))


def _modes(drum: Drum, lowest_hz: float, velocity: float, rng: np.random.Generator) -> Modes:
    ratios = np.array(drum.ratios)
    frequency = lowest_hz * ratios
    amplitude = 10.0 ** (np.array(drum.levels_db) / 20.0) * jitter(rng, len(ratios), sd_db=drum.own_jitter_db)
    amplitude *= drum.contact.gain(frequency, velocity=velocity)
    amplitude *= (velocity / 0.7) ** (drum.brightening * np.log2(np.maximum(ratios, 1.0)))
    return Modes(frequency, np.array(drum.t60_s), amplitude, _phases(rng, len(ratios)))


def _upper_modes(drum: Drum, velocity: float, rng: np.random.Generator) -> Modes:
    low_hz, high_hz = drum.upper_hz
    frequency = low_hz * (high_hz / low_hz) ** rng.random(drum.upper)
    amplitude = 10.0 ** (drum.upper_db / 20.0) * jitter(rng, drum.upper, sd_db=4.0)
    amplitude *= drum.contact.gain(frequency, velocity=velocity) * (velocity / 0.7) ** drum.brightening
    t60 = drum.upper_t60_s * np.sqrt(low_hz / frequency) * rng.uniform(0.7, 1.3, drum.upper)
    return Modes(frequency, t60, amplitude, rng.uniform(0.0, 2.0 * np.pi, drum.upper))


def _phases(rng: np.random.Generator, count: int) -> Floats:
    """Return phases: the lowest mode's nearly its own at each stroke, the others' signs by chance."""
    phase = rng.uniform(-1.1, 1.1, count)
    phase[1:] += np.pi * rng.integers(0, 2, count - 1)
    return phase
