"""The snare line: high-tension heads, gut wires below, and sticks, six players wide."""

from dataclasses import replace

import numpy as np

from trainer.ensemble.voices.contact import Blow, Contact, noise_burst
from trainer.ensemble.voices.hits import LAYERS, delayed, loudness, placed, settled, summed
from trainer.ensemble.voices.membranes import Drum, beat_drum
from trainer.ensemble.voices.modal import Mono
from trainer.ensemble.voices.sticks import (
    BUZZ_BOUNCES,
    BUZZ_KEPT,
    BUZZ_S,
    FLAM_S,
    GRACE,
    RIM_SHOT,
    Player,
    line_up,
    rim_click,
    tunings_of,
)
from trainer.ensemble.voices.voice import Audio, Shelf, Stroke, Voice
from trainer.units import db_to_ratio

PLAYERS = 6
TUNINGS = tunings_of("snare-line", PLAYERS, sd_cents=12.0)
HEAD_HZ = 355.0
"""An aramid head at marching tension (tuned by the numbers; common practice, no source)."""

GAIN_DB = -17.0

HEAD = Drum(
    ratios=(1.0, 1.55, 1.87, 2.2, 2.62, 3.1, 3.6, 4.3, 5.2),
    levels_db=(0.0, -1.0, -3.0, -4.0, -6.0, -8.0, -10.0, -12.0, -14.0),
    t60_s=(0.13, 0.12, 0.11, 0.10, 0.09, 0.085, 0.08, 0.07, 0.06),
    contact=Contact(full_s=0.00035, exponent=0.3),
    blows=(Blow(3_000.0, 16_000.0, 0.0012, -8.0, exponent=0.6, rise_s=0.0001),),
)
ON_THE_RIM = replace(
    HEAD,
    levels_db=(1.0, 3.0, 2.0, 2.0, 0.0, -1.0, -3.0, -4.0, -6.0),
    contact=Contact(full_s=0.00018, exponent=0.3),
    blows=(*HEAD.blows, Blow(900.0, 3_500.0, 0.012, -1.0, exponent=0.5)),
)
HEADS = {"rim-shot": ON_THE_RIM}


def strike(stroke: Stroke, rng: np.random.Generator, shelf: Shelf) -> Audio:
    """Return one stroke of the whole line."""
    players = line_up(rng, TUNINGS, time_sd_s=0.0035, level_sd_db=1.2, width=0.55)
    sounds = [_played(player, stroke, rng, shelf) for player in players]
    return placed(sounds, [player.pan for player in players])


def _played(player: Player, stroke: Stroke, rng: np.random.Generator, shelf: Shelf) -> Mono:
    sound = _gesture(stroke, player.tuning, rng, shelf)
    gain = player.gain * db_to_ratio(GAIN_DB) * loudness(stroke.level)
    return settled(delayed(sound, by_s=player.late_s), gain=gain)[:, 0]


def _gesture(stroke: Stroke, tuning: float, rng: np.random.Generator, shelf: Shelf) -> Mono:
    if stroke.technique == "cross-stick":
        return rim_click(rng, shelf, velocity=stroke.level, size_hz=1_050.0 * tuning)
    if stroke.technique == "buzz":
        return _buzz(stroke.level, tuning, rng, shelf)
    main = one_stroke(HEADS.get(stroke.technique, HEAD), stroke.level, tuning, rng, shelf)
    if stroke.technique == "flam":
        grace = np.float32(GRACE) * one_stroke(HEAD, 0.6 * stroke.level, tuning, rng, shelf)
        return summed(grace, delayed(main, by_s=FLAM_S))
    return np.float32(RIM_SHOT if stroke.technique == "rim-shot" else 1.0) * main


def one_stroke(head: Drum, velocity: float, tuning: float, rng: np.random.Generator, shelf: Shelf) -> Mono:
    """Return one stroke of one drummer: the head, and the wires it shakes."""
    return summed(
        beat_drum(head, HEAD_HZ * tuning, velocity=velocity, rng=rng, shelf=shelf),
        wires(velocity, rng, shelf),
    )


def wires(velocity: float, rng: np.random.Generator, shelf: Shelf, *, ring_scale: float = 1.0) -> Mono:
    """Return the wires' rattle: noise that starts a little late, decays in two steps, louder when driven."""
    level = db_to_ratio(-5.0 - 8.0 * (0.9 - velocity))
    parts = [
        np.float32(level * share)
        * noise_burst(
            rng, shelf, low_hz=1_500.0, high_hz=11_500.0, decay_s=ring_scale * t60_s / 6.9, rise_s=0.0009,
            tilt_db_per_octave=-2.5,
        )
        for share, t60_s in ((0.78, 0.15), (0.22, 0.32))
    ]  # fmt: skip
    return summed(*parts)


def _buzz(velocity: float, tuning: float, rng: np.random.Generator, shelf: Shelf) -> Mono:
    hit = one_stroke(HEAD, 0.7 * velocity, tuning, rng, shelf)
    at = np.cumsum(BUZZ_S * rng.uniform(0.85, 1.15, BUZZ_BOUNCES)) - BUZZ_S
    kept = 0.6 * BUZZ_KEPT ** np.arange(BUZZ_BOUNCES) * rng.uniform(0.85, 1.15, BUZZ_BOUNCES)
    bounces = [np.float32(gain) * delayed(hit, by_s=max(0.0, by)) for gain, by in zip(kept, at, strict=True)]
    return summed(*bounces)


VOICES_OF_FAMILY: tuple[Voice, ...] = (
    Voice("snare-line", strike, LAYERS, variants=3, blends=True, timing_sd_s=0.004, restrike_s=0.12),
)
