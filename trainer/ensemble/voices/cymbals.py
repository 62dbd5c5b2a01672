"""The cymbals: a dense field of modes below, bands of noise above that build up as the energy climbs."""

from dataclasses import dataclass

import numpy as np

from trainer.ensemble.voices.contact import band_noise
from trainer.ensemble.voices.hits import FEW_LAYERS, jitter, loudness, settled
from trainer.ensemble.voices.modal import Floats, Modes, Mono, ring
from trainer.ensemble.voices.voice import Audio, Shelf, Stroke, Voice
from trainer.sound import RATE_HZ
from trainer.units import db_to_ratio

NOISE_S = 3.0
TILT_SD = 0.25
"""How far the modes' balance tilts from stroke to stroke, as the stick lands nearer the edge or the bell."""


@dataclass(frozen=True, slots=True)
class Cymbal:
    """A cymbal: where its modes begin, how long 300 Hz rings, how fast its top builds up, how bright it is.

    ``soft_hz`` and ``hard_hz`` are where its spectrum bends down at velocity 0.2 and at full;
    ``edge_db`` is the noise's level beside the modes, which fall below ``body_hz``.
    """

    lowest_hz: float
    ring_s: float
    build_up_s: float
    soft_hz: float
    hard_hz: float
    gain_db: float
    modes: int = 150
    edge_db: float = 5.0
    body_hz: float = 1_100.0


SUSPENDED = Cymbal(
    lowest_hz=90.0, ring_s=6.5, build_up_s=0.030, soft_hz=1_500.0, hard_hz=12_000.0, gain_db=-20.0
)
CRASH = Cymbal(
    lowest_hz=110.0, ring_s=5.5, build_up_s=0.012, soft_hz=2_200.0, hard_hz=18_000.0, gain_db=-21.5
)
SPLASH = Cymbal(
    lowest_hz=260.0, ring_s=2.2, build_up_s=0.004, soft_hz=3_500.0, hard_hz=18_000.0, gain_db=-24.5,
    edge_db=8.0, body_hz=1_600.0,
)  # fmt: skip
CYMBALS = (SUSPENDED, CRASH, SPLASH)

MODES_TOP_HZ = 4_200.0
BANDS_HZ = ((3_800.0, 7_000.0), (7_000.0, 10_500.0), (10_500.0, 18_000.0))


def clang(cymbal: Cymbal, *, velocity: float, rng: np.random.Generator, shelf: Shelf) -> Mono:
    """Return one stroke on a cymbal, at about unit level."""
    low = ring(_field(cymbal, velocity, rng), longest_s=min(7.0, cymbal.ring_s))
    low *= _rise(len(low), 0.0015)
    high = [_edge(cymbal, index, velocity, rng, shelf) for index in range(len(BANDS_HZ))]
    out = np.zeros(max(len(low), *(len(part) for part in high)), np.float32)
    for part in (low, *high):
        out[: len(part)] += part
    return out


def _field(cymbal: Cymbal, velocity: float, rng: np.random.Generator) -> Modes:
    frequency = cymbal.lowest_hz * (MODES_TOP_HZ / cymbal.lowest_hz) ** rng.random(cymbal.modes) ** 0.75
    amplitude = _brightness(cymbal, frequency, velocity) * rng.rayleigh(1.0, cymbal.modes)
    amplitude *= (frequency / 1_500.0) ** rng.normal(0.0, TILT_SD)
    amplitude *= np.minimum(1.0, frequency / cymbal.body_hz) / np.sqrt(cymbal.modes)
    phase = rng.uniform(0.0, 2.0 * np.pi, cymbal.modes)
    return Modes(frequency, _t60_s(cymbal, frequency), amplitude, phase)


def _edge(cymbal: Cymbal, index: int, velocity: float, rng: np.random.Generator, shelf: Shelf) -> Mono:
    low_hz, high_hz = BANDS_HZ[index]
    middle = np.array([np.sqrt(low_hz * high_hz)])
    t60_s = float(_t60_s(cymbal, middle)[0])
    frames = int(min(t60_s * 1.05, NOISE_S) * RATE_HZ)
    level = float(_brightness(cymbal, middle, velocity)[0]) * db_to_ratio(cymbal.edge_db - 4.0 - 1.0 * index)
    level *= float(jitter(rng, 1, sd_db=1.5)[0])
    pool = shelf.keep(("cymbal noise", index), lambda: _pool(index))[:, 0]
    start = int(rng.integers(0, len(pool)))
    noise = np.concatenate([pool[start:], pool[:start]])[:frames]
    t = np.arange(frames, dtype=np.float32) / np.float32(RATE_HZ)
    envelope = np.exp(t * np.float32(-6.9 / t60_s)) * np.float32(level)
    rise_s = cymbal.build_up_s * (0.5 + 0.5 * index)
    envelope *= 1.0 - np.float32(0.85) * np.exp(t / np.float32(-rise_s))
    envelope *= _rise(frames, 0.0004)
    return np.asarray(noise * envelope, np.float32)


def _pool(index: int) -> Audio:
    low_hz, high_hz = BANDS_HZ[index]
    rng = np.random.default_rng(1_000 + index)
    return band_noise(rng, 1 << 17, low_hz=low_hz, high_hz=high_hz, tilt_db_per_octave=-1.0)[:, None]


def _brightness(cymbal: Cymbal, frequency: Floats, velocity: float) -> Floats:
    share = np.clip((velocity - 0.2) / 0.75, 0.0, 1.0)
    corner = cymbal.soft_hz * (cymbal.hard_hz / cymbal.soft_hz) ** share
    return np.asarray(1.0 / (1.0 + (frequency / corner) ** 2) ** 0.75)


def _t60_s(cymbal: Cymbal, frequency: Floats) -> Floats:
    return cymbal.ring_s * (frequency / 300.0) ** -0.58


def _rise(frames: int, time_s: float) -> Mono:
    t = np.arange(frames, dtype=np.float32) / np.float32(RATE_HZ)
    return np.asarray(1.0 - np.exp(t / np.float32(-time_s)), np.float32)


def strike(stroke: Stroke, rng: np.random.Generator, shelf: Shelf) -> Audio:
    """Return one stroke on a cymbal: its loudness grows less of itself, for its top grows too."""
    cymbal = CYMBALS[stroke.pitch]
    sound = clang(cymbal, velocity=stroke.level, rng=rng, shelf=shelf)
    return settled(sound, gain=db_to_ratio(cymbal.gain_db) * loudness(stroke.level) ** 0.75)


PANS = (-0.35, 0.1, 0.4)


def _pan(pitch: int) -> float:
    return PANS[pitch]


VOICES_OF_FAMILY: tuple[Voice, ...] = (
    Voice("cymbals", strike, FEW_LAYERS, variants=3, blends=True, pan=_pan),
)
"""Strokes add up here, so that a roll grows: nothing of the last is damped by the next."""
