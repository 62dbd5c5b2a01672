"""The drum set: kick, toms and snare, hats, ride and crash, one player seen from the front."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from trainer.ensemble.voices.contact import Blow, Contact, noise_burst
from trainer.ensemble.voices.cymbals import CRASH, Cymbal, clang
from trainer.ensemble.voices.hits import LAYERS, loudness, settled, summed
from trainer.ensemble.voices.membranes import IDEAL_MEMBRANE, TWO_HEADS, Drum, beat_drum
from trainer.ensemble.voices.modal import Mono
from trainer.ensemble.voices.snares import wires
from trainer.ensemble.voices.sticks import rim_click
from trainer.ensemble.voices.voice import Audio, Shelf, Stroke, Voice
from trainer.units import db_to_ratio

Beat = Callable[[float, np.random.Generator, Shelf], Mono]

KICK = Drum(
    ratios=TWO_HEADS,
    levels_db=(0.0, -3.0, -5.0, -11.0, -16.0, -21.0, -24.0),
    t60_s=(0.42, 0.25, 0.22, 0.18, 0.15, 0.12, 0.10),
    contact=Contact(full_s=0.0007, exponent=0.3),
    blows=(Blow(1_200.0, 7_000.0, 0.004, -7.0, exponent=0.8), Blow(150.0, 900.0, 0.008, -12.0)),
    glide_depth=0.55,
    glide_s=0.028,
)
TOM = Drum(
    ratios=IDEAL_MEMBRANE[:8],
    levels_db=(0.0, -4.0, -8.0, -9.0, -12.0, -13.0, -15.0, -17.0),
    t60_s=(0.8, 0.5, 0.4, 0.35, 0.3, 0.25, 0.2, 0.2),
    contact=Contact(full_s=0.0005, exponent=0.3),
    blows=(Blow(600.0, 6_000.0, 0.006, -5.0, exponent=0.6), Blow(100.0, 600.0, 0.012, -11.0)),
    glide_depth=0.08,
    glide_s=0.06,
)
SNARE = Drum(
    ratios=(1.0, 1.76, 2.1, 2.5, 3.0, 3.6),
    levels_db=(0.0, -2.0, -8.0, -10.0, -12.0, -15.0),
    t60_s=(0.22, 0.18, 0.15, 0.12, 0.10, 0.09),
    contact=Contact(full_s=0.00035, exponent=0.3),
    blows=(Blow(2_500.0, 14_000.0, 0.0015, -9.0, rise_s=0.0001),),
    glide_depth=0.06,
    glide_s=0.03,
)
CLOSED_HAT = Cymbal(
    lowest_hz=380.0, ring_s=0.45, build_up_s=0.001, soft_hz=7_000.0, hard_hz=20_000.0, gain_db=-28.0,
    modes=70, edge_db=11.0, body_hz=2_000.0,
)  # fmt: skip
OPEN_HAT = replace(CLOSED_HAT, ring_s=2.4, gain_db=-29.0)
RIDE = Cymbal(
    lowest_hz=230.0, ring_s=5.0, build_up_s=0.006, soft_hz=2_500.0, hard_hz=14_000.0, gain_db=-23.0,
    edge_db=4.0,
)  # fmt: skip


def _drum(drum: Drum, lowest_hz: float, *, gain_db: float) -> Beat:
    gain = np.float32(db_to_ratio(gain_db))
    return lambda velocity, rng, shelf: (
        gain * beat_drum(drum, lowest_hz, velocity=velocity, rng=rng, shelf=shelf)
    )


def _cymbal(cymbal: Cymbal) -> Beat:
    gain = np.float32(db_to_ratio(cymbal.gain_db))
    return lambda velocity, rng, shelf: gain * clang(cymbal, velocity=velocity, rng=rng, shelf=shelf)


def _snare(velocity: float, rng: np.random.Generator, shelf: Shelf) -> Mono:
    head = beat_drum(SNARE, 195.0, velocity=velocity, rng=rng, shelf=shelf)
    return np.float32(0.15) * summed(head, wires(velocity, rng, shelf, ring_scale=1.2))


def _ride(velocity: float, rng: np.random.Generator, shelf: Shelf) -> Mono:
    tip = noise_burst(rng, shelf, low_hz=3_000.0, high_hz=12_000.0, decay_s=0.004)
    return summed(_cymbal(RIDE)(velocity, rng, shelf), np.float32(0.035) * tip)


def _cross_stick(velocity: float, rng: np.random.Generator, shelf: Shelf) -> Mono:
    return np.float32(0.22) * rim_click(rng, shelf, velocity=velocity, size_hz=820.0)


BEATS: tuple[Beat, ...] = (
    _drum(KICK, 54.0, gain_db=-15.0),
    _drum(TOM, 82.0, gain_db=-17.5),
    _drum(TOM, 124.0, gain_db=-17.5),
    _snare,
    _cymbal(CLOSED_HAT),
    _cymbal(OPEN_HAT),
    _ride,
    _cymbal(CRASH),
)
"""One for each drum of the part, in its order."""

PANS = (0.0, 0.35, -0.2, 0.0, -0.35, -0.35, 0.45, -0.45)


def strike(stroke: Stroke, rng: np.random.Generator, shelf: Shelf) -> Audio:
    """Return one stroke on one piece of the set."""
    beat = _cross_stick if stroke.technique == "cross-stick" else BEATS[stroke.pitch]
    return settled(beat(stroke.level, rng, shelf), gain=loudness(stroke.level))


def _pan(pitch: int) -> float:
    return PANS[pitch]


VOICES_OF_FAMILY: tuple[Voice, ...] = (
    Voice("drum-set", strike, LAYERS, variants=3, blends=True, timing_sd_s=0.005, pan=_pan, restrike_s=0.6),
)
