"""What drummers do with sticks beside plain strokes: rims, flams, buzzes; how a line of players spreads."""

from dataclasses import dataclass

import numpy as np

from trainer.ensemble.voices.contact import noise_burst
from trainer.ensemble.voices.hits import eased_in, jitter, summed
from trainer.ensemble.voices.modal import Modes, Mono, ring
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


@dataclass(frozen=True, slots=True)
class Player:
    """How one player of a line differs from the next at one stroke."""

    late_s: float
    gain: float
    tuning: float
    pan: float


def line_up(
    rng: np.random.Generator,
    count: int,
    *,
    time_sd_s: float,
    level_sd_db: float,
    tuning_sd_cents: float,
    width: float,
) -> tuple[Player, ...]:
    """Return the players of a line at one stroke, from left to right; the earliest is on time."""
    late = rng.normal(0.0, time_sd_s, count).clip(-2.0 * time_sd_s, 2.0 * time_sd_s)
    late -= late.min()
    gain = jitter(rng, count, sd_db=level_sd_db) / np.sqrt(count)
    tuning = 2.0 ** (rng.normal(0.0, tuning_sd_cents, count) / 1200.0)
    pans = np.linspace(-width, width, count)
    rows = zip(late.tolist(), gain.tolist(), tuning.tolist(), pans.tolist(), strict=True)
    return tuple(Player(*row) for row in rows)


def rim_click(rng: np.random.Generator, shelf: Shelf, *, velocity: float, size_hz: float) -> Mono:
    """Return a stick on a rim: a woody click with a few short shell modes above ``size_hz``."""
    ratios = np.array([1.0, 1.47, 2.31, 3.4, 4.9, 6.6])
    levels_db = np.array([0.0, -2.0, -4.0, -6.0, -9.0, -12.0])
    amplitude = 0.5 * 10.0 ** (levels_db / 20.0) * jitter(rng, len(ratios), sd_db=2.0)
    amplitude *= (velocity / 0.7) ** (0.3 * np.log2(ratios))
    t60 = 0.07 * ratios**-0.5
    phase = rng.uniform(0.0, 2.0 * np.pi, len(ratios))
    ringing = eased_in(ring(Modes(size_hz * ratios, t60, amplitude, phase)), over_s=0.0003)
    click = noise_burst(rng, shelf, low_hz=1_500.0, high_hz=9_000.0, decay_s=0.0025)
    return summed(ringing, 0.35 * click)
