"""What drummers do with sticks beside plain strokes: rims, flams, buzzes; how a line of players spreads."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from trainer.ensemble.voices.contact import noise_burst
from trainer.ensemble.voices.hits import character, eased_in, jitter, summed
from trainer.ensemble.voices.modal import Modes, Mono, Resonator
from trainer.ensemble.voices.voice import Shelf

FLAM_S = 0.027
"""How long before the beat a flam's grace note falls (common practice, no source)."""

GRACE = 0.33
"""The grace note's amplitude beside the main stroke (common practice, no source)."""

RIM_SHOT = 1.3
"""A rim shot's amplitude beside a plain stroke (common practice, no source)."""

BUZZ_S = 0.016
"""The time between the bounces of a buzz stroke (common practice, no source)."""

BUZZ_BOUNCES = 9
BUZZ_KEPT = 0.78
"""The amplitude of each bounce beside the one before."""

RIM_RATIOS = np.array([1.0, 1.47, 2.31, 3.4, 4.9, 6.6])
RIM_AMPLITUDE = 0.5 * 10.0 ** (np.array([0.0, -2.0, -4.0, -6.0, -9.0, -12.0]) / 20.0)
"""The short modes of a shell above its lowest, and how strongly a stick on the rim starts them."""


@dataclass(frozen=True, slots=True)
class Player:
    """How one player of a line differs from the next at one stroke."""

    late_s: float
    gain: float
    tuning: float
    pan: float


def line_up(
    rng: np.random.Generator,
    tunings: tuple[float, ...],
    *,
    time_sd_s: float,
    level_sd_db: float,
    width: float,
) -> tuple[Player, ...]:
    """Return the players of a line at one stroke, from left to right; the earliest is on time."""
    count = len(tunings)
    late = rng.normal(0.0, time_sd_s, count).clip(-2.0 * time_sd_s, 2.0 * time_sd_s)
    late -= late.min()
    gain = jitter(rng, count, sd_db=level_sd_db) / np.sqrt(count)
    pans = np.linspace(-width, width, count)
    rows = zip(late.tolist(), gain.tolist(), tunings, pans.tolist(), strict=True)
    return tuple(Player(*row) for row in rows)


def tunings_of(part: str, count: int, *, sd_cents: float) -> tuple[float, ...]:
    """Return how far from each other the players of a line have tuned: as ratios, the same at every stroke."""
    cents = character(part, 0).permutation(np.linspace(-1.2, 1.2, count)) * sd_cents
    return tuple((2.0 ** (cents / 1200.0)).tolist())


def rim_click(rng: np.random.Generator, shelf: Shelf, *, velocity: float, size_hz: float) -> Mono:
    """Return a stick on a rim: a woody click with a few short shell modes above ``size_hz``."""
    ringing = _shell(size_hz)
    amplitude = RIM_AMPLITUDE * jitter(rng, len(RIM_RATIOS), sd_db=2.0)
    amplitude *= (velocity / 0.7) ** (0.3 * np.log2(RIM_RATIOS))
    tone = ringing.struck(amplitude, rng.uniform(0.0, 2.0 * np.pi, len(RIM_RATIOS)))
    click = noise_burst(rng, shelf, low_hz=1_500.0, high_hz=9_000.0, decay_s=0.0025)
    return summed(eased_in(tone, over_s=0.0003), np.float32(0.35) * click)


@lru_cache(maxsize=32)
def _shell(size_hz: float) -> Resonator:
    t60_s = 0.07 * RIM_RATIOS**-0.5
    return Resonator.of(Modes(size_hz * RIM_RATIOS, t60_s, RIM_AMPLITUDE, np.zeros(len(RIM_RATIOS))))
