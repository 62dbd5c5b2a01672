"""The keyboards: marimba, vibraphone, xylophone and glockenspiel, tuned bars over their tubes."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache, partial

import numpy as np

from trainer.ensemble.voices.contact import Blow, Contact
from trainer.ensemble.voices.hits import (
    FEW_LAYERS,
    LAYERS,
    character,
    eased_in,
    jitter,
    loudness,
    settled,
    summed,
)
from trainer.ensemble.voices.modal import DECAY_60_DB, Floats, Modes, Mono, Resonator
from trainer.ensemble.voices.voice import Audio, Shelf, Stroke, Voice
from trainer.sound import RATE_HZ
from trainer.units import db_to_ratio, midi_to_hz

MIDDLE_C_HZ = midi_to_hz(60)
TAKE_PHASES = (0.0, 1.0, -1.0)
"""Where in its swing the fundamental starts, take by take: apart enough to tell, never opposite."""


@dataclass(frozen=True, slots=True)
class Bars:
    """A keyboard: its partials beside the fundamental, how long they ring, its mallets and its tubes.

    Attributes
    ----------
    ratios, levels_db
        Frequencies and levels of the modes; the first is the fundamental.
    t60_s
        How long a fundamental of so many hertz rings.
    ring_exponent
        A partial at ``ratio`` rings ``ratio ** -ring_exponent`` times as long.
    grading
        Players take harder mallets higher up: the contact time falls as the pitch above middle C to this
        power (common practice, no source).
    brightening
        How fast a partial grows with velocity beyond the fundamental: its exponent an octave above it.
    tube_db, tube_q
        What the tube adds to the fundamental, and its resonance, which takes time to build up.
    """

    part: str
    ratios: tuple[float, ...]
    levels_db: tuple[float, ...]
    t60_s: Callable[[float], float]
    ring_exponent: float
    contact: Contact
    grading: float
    brightening: float
    tube_db: float
    tube_q: float
    blows: tuple[Blow, ...]
    gain_db: float


def wood(*, loss: float, shortest_s: float, longest_s: float) -> Callable[[float], float]:
    """Return how long wooden bars ring: ``2.2 / (loss f)``, the decay of a constant loss factor."""
    return lambda frequency_hz: min(max(2.2 / (loss * frequency_hz), shortest_s), longest_s)


def metal(*, at_hz: float, t60_s: float, exponent: float) -> Callable[[float], float]:
    """Return how long metal bars ring: a power law through one point (tuned by ear of the numbers)."""
    return lambda frequency_hz: t60_s * (at_hz / frequency_hz) ** exponent


MARIMBA = Bars(
    part="marimba",
    ratios=(1.0, 3.98, 9.6, 16.6, 23.9, 33.0, 1.62),
    levels_db=(0.0, -1.0, -4.0, -9.0, -14.0, -18.0, -21.0),
    t60_s=wood(loss=0.0045, shortest_s=0.1, longest_s=3.8),
    ring_exponent=0.9,
    contact=Contact(full_s=0.00030, exponent=0.55),
    grading=1.0,
    brightening=0.4,
    tube_db=6.0,
    tube_q=18.0,
    blows=(Blow(300.0, 3_000.0, 0.004, -16.0), Blow(2_000.0, 7_000.0, 0.0015, -23.0, exponent=1.0)),
    gain_db=-12.0,
)

VIBRAPHONE = Bars(
    part="vibraphone",
    ratios=(1.0, 4.0, 9.8, 17.5, 1.9),
    levels_db=(0.0, -8.0, -6.0, -12.0, -27.0),
    t60_s=metal(at_hz=174.6, t60_s=7.5, exponent=0.55),
    ring_exponent=0.75,
    contact=Contact(full_s=0.00018, exponent=0.5),
    grading=0.5,
    brightening=0.4,
    tube_db=4.0,
    tube_q=18.0,
    blows=(Blow(500.0, 4_000.0, 0.004, -22.0), Blow(3_000.0, 9_000.0, 0.0015, -28.0, exponent=1.0)),
    gain_db=-11.0,
)

XYLOPHONE = Bars(
    part="xylophone",
    ratios=(1.0, 3.0, 5.85, 8.45, 13.0, 17.6),
    levels_db=(0.0, -4.0, 0.0, -5.0, -8.0, -12.0),
    t60_s=wood(loss=0.006, shortest_s=0.12, longest_s=1.1),
    ring_exponent=0.9,
    contact=Contact(full_s=0.00008, exponent=0.5),
    grading=0.2,
    brightening=0.4,
    tube_db=4.0,
    tube_q=12.0,
    blows=(Blow(900.0, 4_000.0, 0.003, -14.0), Blow(2_500.0, 10_000.0, 0.0015, -18.0, exponent=1.0)),
    gain_db=-14.5,
)

GLOCKENSPIEL = Bars(
    part="glockenspiel",
    ratios=(1.0, 2.74, 5.30, 8.675, 1.93, 3.31),
    levels_db=(0.0, -5.0, -4.0, -6.0, -26.0, -28.0),
    t60_s=metal(at_hz=784.0, t60_s=5.5, exponent=0.6),
    ring_exponent=0.6,
    contact=Contact(full_s=0.000045, exponent=0.5),
    grading=0.0,
    brightening=0.45,
    tube_db=0.0,
    tube_q=10.0,
    blows=(Blow(4_000.0, 15_000.0, 0.0015, -18.0, exponent=1.0),),
    gain_db=-16.0,
)


@dataclass(frozen=True, slots=True, eq=False)
class _Bar:
    """One bar over its tube: what rings, and how strongly each partial starts at velocity 0.7."""

    resonator: Resonator
    frequency_hz: Floats
    amplitude: Floats
    exponent: Floats
    mallet: Contact
    tube_share: float


def strike(bars: Bars, stroke: Stroke, rng: np.random.Generator, shelf: Shelf) -> Audio:
    """Return one stroke on a bar."""
    bar = _bar(bars, stroke.pitch)
    amplitude = _struck(bar, stroke.level, rng)
    phase = rng.uniform(0.0, 2.0 * np.pi, len(amplitude))
    phase[0] = TAKE_PHASES[stroke.variant % len(TAKE_PHASES)] + rng.uniform(-0.35, 0.35)
    phase[-1] = phase[0]
    tone = bar.resonator.struck(amplitude, phase, frames=stroke.heard_frames)
    tone = eased_in(tone, over_s=bars.contact.time_s(stroke.level))
    noise: list[Mono] = [blow.noise(rng, shelf, velocity=stroke.level) for blow in bars.blows]
    return settled(summed(tone, *noise), gain=db_to_ratio(bars.gain_db) * loudness(stroke.level))


def _struck(bar: _Bar, velocity: float, rng: np.random.Generator) -> Floats:
    """Return how strongly each mode starts: the partials by chance, the fundamental with its tube for certain.

    The tube's share of the fundamental builds up, so a short opposite mode, the last, is taken from it.
    """
    amplitude = bar.amplitude * bar.mallet.gain(bar.frequency_hz, velocity=velocity)
    amplitude *= (velocity / 0.7) ** bar.exponent * jitter(rng, len(amplitude), sd_db=2.7)
    amplitude /= 1.0 + bar.tube_share
    amplitude[0] = 1.0
    amplitude[-1] = -bar.tube_share / (1.0 + bar.tube_share)
    return amplitude


@lru_cache(maxsize=512)
def _bar(bars: Bars, pitch: int) -> _Bar:
    fundamental_hz = midi_to_hz(pitch)
    ratios = np.append(_ratios_of_bar(bars, pitch), 1.0)
    t60_s = bars.t60_s(fundamental_hz) * ratios**-bars.ring_exponent
    build_up_s = bars.tube_q / (np.pi * fundamental_hz) * DECAY_60_DB
    t60_s[-1] = 1.0 / (1.0 / t60_s[0] + 1.0 / build_up_s)
    amplitude = np.append(10.0 ** (np.array(bars.levels_db) / 20.0), 1.0)
    modes = Modes(fundamental_hz * ratios, t60_s, amplitude, np.zeros(len(ratios)))
    return _Bar(
        Resonator.of(modes),
        modes.frequency_hz,
        amplitude,
        bars.brightening * np.log2(ratios),
        _mallet(bars, fundamental_hz),
        db_to_ratio(bars.tube_db) - 1.0,
    )


def _mallet(bars: Bars, fundamental_hz: float) -> Contact:
    harder = max(1.0, fundamental_hz / MIDDLE_C_HZ) ** -bars.grading
    return Contact(bars.contact.full_s * harder, bars.contact.exponent)


def _ratios_of_bar(bars: Bars, pitch: int) -> Floats:
    ratios = np.array(bars.ratios)
    ratios[1:] *= 1.0 + character(bars.part, pitch).normal(0.0, 0.003, len(ratios) - 1).clip(-0.006, 0.006)
    return ratios


MOTOR_HZ = 4.1
MOTOR_DEPTH = 0.4


def motor(stem: Audio, rng: np.random.Generator) -> Audio:
    """Turn the vibraphone's fans: the level swells about four times a second, whole turns to the loop."""
    frames = len(stem)
    turns = max(1, round(MOTOR_HZ * frames / RATE_HZ))
    angle = np.arange(frames, dtype=np.float32) * np.float32(2.0 * np.pi * turns / frames)
    swell = np.cos(angle + np.float32(rng.uniform(0.0, 2.0 * np.pi)))
    swell *= np.float32(-0.5 * MOTOR_DEPTH)
    swell += np.float32(1.0 - 0.5 * MOTOR_DEPTH)
    return np.asarray(stem * swell[:, None], np.float32)


def _spread(pitch: int, *, lowest: int, highest: int, width: float, centre: float) -> float:
    """Return where a bar stands: one of three places from low to high."""
    third = min(2, max(0, (pitch - lowest) * 3 // (highest - lowest + 1)))
    return centre + width * (third - 1)


VOICES_OF_FAMILY: tuple[Voice, ...] = (
    Voice(
        "marimba", partial(strike, MARIMBA), LAYERS, variants=3, keeps=False, restrike_s=0.25,
        pan=partial(_spread, lowest=36, highest=96, width=0.2, centre=-0.3),
    ),
    Voice(
        "vibraphone", partial(strike, VIBRAPHONE), LAYERS, variants=3, keeps=False, restrike_s=0.4,
        finish=motor, pan=partial(_spread, lowest=53, highest=89, width=0.2, centre=0.3),
    ),
    Voice(
        "xylophone", partial(strike, XYLOPHONE), LAYERS, variants=3, keeps=False, restrike_s=0.2,
        pan=partial(_spread, lowest=65, highest=108, width=0.15, centre=-0.5),
    ),
    Voice(
        "glockenspiel", partial(strike, GLOCKENSPIEL), FEW_LAYERS, variants=3, keeps=False, restrike_s=0.5,
        pan=partial(_spread, lowest=77, highest=113, width=0.1, centre=0.5),
    ),
)  # fmt: skip
