"""The tenor line: four players, each with four single-headed drums and a spock drum."""

from dataclasses import replace
from functools import lru_cache

import numpy as np

from trainer.ensemble.voices.contact import Blow, Contact
from trainer.ensemble.voices.hits import LAYERS, delayed, loudness, placed, settled, summed
from trainer.ensemble.voices.membranes import IDEAL_MEMBRANE, Drum, beat_drum
from trainer.ensemble.voices.modal import Mono
from trainer.ensemble.voices.sticks import FLAM_S, GRACE, RIM_SHOT, Player, line_up, tunings_of
from trainer.ensemble.voices.voice import Audio, Shelf, Stroke, Voice
from trainer.units import db_to_ratio

PLAYERS = 4
TUNINGS = tunings_of("tenor-line", PLAYERS, sd_cents=9.0)
DRUMS_HZ = (165.0, 205.0, 258.0, 330.0, 520.0)
"""The drums' lowest modes, from the largest up (tuned by the numbers; common practice, no source)."""

GAIN_DB = -16.0


def tenor(index: int) -> Drum:
    """Return one of a player's drums: single heads, so the ideal membrane's modes."""
    lowest_s = 0.55 - 0.05 * index
    fall = np.linspace(1.0, 0.35, len(IDEAL_MEMBRANE))
    return Drum(
        ratios=IDEAL_MEMBRANE,
        levels_db=(0.0, -2.0, -4.0, -6.0, -7.0, -9.0, -10.0, -12.0, -13.0, -13.0, -15.0),
        t60_s=tuple((lowest_s * fall).tolist()),
        contact=Contact(full_s=0.00040, exponent=0.3),
        blows=(
            Blow(60.0, 400.0, 0.012, -7.0, exponent=0.3, rise_s=0.001),
            Blow(700.0, 5_000.0, 0.006, -8.0, exponent=0.5),
            Blow(3_000.0, 12_000.0, 0.0012, -13.0, exponent=0.8, rise_s=0.0001),
        ),
        glide_depth=0.05,
        glide_s=0.04,
    )


TENORS = tuple(tenor(index) for index in range(len(DRUMS_HZ)))


def strike(stroke: Stroke, rng: np.random.Generator, shelf: Shelf) -> Audio:
    """Return one stroke of the whole line on the same drum."""
    players = line_up(rng, TUNINGS, time_sd_s=0.0035, level_sd_db=1.2, width=0.4)
    sounds = [_played(player, stroke, rng, shelf) for player in players]
    return placed(sounds, [player.pan for player in players])


def _played(player: Player, stroke: Stroke, rng: np.random.Generator, shelf: Shelf) -> Mono:
    gain = player.gain * db_to_ratio(GAIN_DB) * loudness(stroke.level)
    return settled(delayed(_gesture(stroke, player.tuning, rng, shelf), by_s=player.late_s), gain=gain)[:, 0]


def _gesture(stroke: Stroke, tuning: float, rng: np.random.Generator, shelf: Shelf) -> Mono:
    drum, lowest_hz = TENORS[stroke.pitch], DRUMS_HZ[stroke.pitch] * tuning
    if stroke.technique == "rim-shot":
        drum = _on_the_rim(drum)
    main = beat_drum(drum, lowest_hz, velocity=stroke.level, rng=rng, shelf=shelf)
    if stroke.technique == "flam":
        grace = np.float32(GRACE) * beat_drum(
            drum, lowest_hz, velocity=0.6 * stroke.level, rng=rng, shelf=shelf
        )
        return summed(grace, delayed(main, by_s=FLAM_S))
    return np.float32(RIM_SHOT if stroke.technique == "rim-shot" else 1.0) * main


@lru_cache(maxsize=8)
def _on_the_rim(drum: Drum) -> Drum:
    ring = Blow(900.0, 4_000.0, 0.010, -1.0, exponent=0.5)
    return replace(drum, contact=Contact(full_s=0.0002, exponent=0.3), blows=(*drum.blows, ring))


VOICES_OF_FAMILY: tuple[Voice, ...] = (
    Voice("tenor-line", strike, LAYERS, variants=2, blends=True, timing_sd_s=0.004, restrike_s=0.15),
)
