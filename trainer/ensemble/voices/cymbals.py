"""The cymbals: a dense field of modes below, bands of noise above that build up as the energy climbs."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from trainer.ensemble.voices.contact import band_noise
from trainer.ensemble.voices.hits import FEW_LAYERS, character, jitter, loudness, settled, summed
from trainer.ensemble.voices.modal import Floats, Modes, Mono, Resonator
from trainer.ensemble.voices.voice import Audio, Shelf, Stroke, Voice
from trainer.sound import RATE_HZ
from trainer.units import db_to_ratio

NOISE_S = 3.0
POOL_FRAMES = 1 << 17
RISE_FRAMES = 1 << 10
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
    body = _body(cymbal)
    amplitude = body.amplitude * _brightness(cymbal, body.frequency_hz, velocity)
    amplitude *= rng.rayleigh(1.0, cymbal.modes) * (body.frequency_hz / 1_500.0) ** rng.normal(0.0, TILT_SD)
    low = body.resonator.struck(amplitude, rng.uniform(0.0, 2.0 * np.pi, cymbal.modes))
    rise = _rise(RISE_FRAMES, 0.0015)[: len(low)]
    low[: len(rise)] *= rise
    high = [_edge(cymbal, index, velocity, rng, shelf) for index in range(len(BANDS_HZ))]
    return summed(low, *high)


@dataclass(frozen=True, slots=True, eq=False)
class _Body:
    """A cymbal's modes: what rings, and how strongly each starts when the stick is no softer than the metal."""

    resonator: Resonator
    frequency_hz: Floats
    amplitude: Floats


@lru_cache(maxsize=16)
def _body(cymbal: Cymbal) -> _Body:
    """Return the modes of one cymbal: scattered by chance, but the same at every stroke."""
    rng = character("cymbal", round(cymbal.lowest_hz))
    frequency = cymbal.lowest_hz * (MODES_TOP_HZ / cymbal.lowest_hz) ** rng.random(cymbal.modes) ** 0.75
    amplitude = np.minimum(1.0, frequency / cymbal.body_hz) / np.sqrt(cymbal.modes)
    modes = Modes(frequency, _t60_s(cymbal, frequency), amplitude, np.zeros(cymbal.modes))
    return _Body(Resonator.of(modes, longest_s=min(7.0, cymbal.ring_s)), frequency, amplitude)


def _edge(cymbal: Cymbal, index: int, velocity: float, rng: np.random.Generator, shelf: Shelf) -> Mono:
    middle = _middle_hz(index)
    level = float(_brightness(cymbal, middle, velocity)[0]) * db_to_ratio(cymbal.edge_db - 4.0 - 1.0 * index)
    level *= float(jitter(rng, 1, sd_db=1.5)[0])
    pool = shelf.keep(("cymbal noise", index), lambda: _pool(index))[:, 0]
    start = int(rng.integers(0, POOL_FRAMES))
    envelope = _edge_envelope(cymbal, index)
    noise: Mono = pool[start : start + len(envelope)] * envelope
    noise *= np.float32(level)
    return noise


@lru_cache(maxsize=64)
def _edge_envelope(cymbal: Cymbal, index: int) -> Mono:
    t60_s = float(_t60_s(cymbal, _middle_hz(index))[0])
    frames = int(min(t60_s * 1.05, NOISE_S) * RATE_HZ)
    t = np.arange(frames, dtype=np.float32) / np.float32(RATE_HZ)
    envelope: Mono = np.exp(t * np.float32(-6.9 / t60_s))
    rise_s = cymbal.build_up_s * (0.5 + 0.5 * index)
    envelope *= 1.0 - np.float32(0.85) * np.exp(t / np.float32(-rise_s))
    envelope *= _rise(frames, 0.0004)
    return envelope


def _middle_hz(index: int) -> Floats:
    low_hz, high_hz = BANDS_HZ[index]
    return np.array([np.sqrt(low_hz * high_hz)])


def _pool(index: int) -> Audio:
    """Return a loop of noise, and so much of it again that it can be read on from anywhere."""
    low_hz, high_hz = BANDS_HZ[index]
    rng = np.random.default_rng(1_000 + index)
    noise = band_noise(rng, POOL_FRAMES, low_hz=low_hz, high_hz=high_hz, tilt_db_per_octave=-1.0)
    return np.tile(noise, 2 + int(NOISE_S * RATE_HZ) // POOL_FRAMES)[:, None]


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
