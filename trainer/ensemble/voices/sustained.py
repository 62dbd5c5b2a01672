"""A held note of a section: its table read in tune and shaped by breath, as a row of a table describes it."""

import zlib
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

import numpy as np

from trainer.ensemble.voices import reading
from trainer.ensemble.voices.reading import Curve, Planes, Stereo
from trainer.ensemble.voices.section_tables import (
    Players,
    Spectrum,
    anchor_of,
    cycles_of,
    ensemble_table,
    layer_weights,
    reading_ratio,
    table_frames,
)
from trainer.ensemble.voices.voice import Audio, Shelf, Stroke, as_audio
from trainer.sound import RATE_HZ

LEVEL_EXPONENT = 1.6
"""Amplitude grows with velocity to this power: 16 dB from 0.3 to 0.95."""

BURST_FRAMES = 6144
"""The onset noise is over by then: 128 ms, seven of its time constants."""

RMS_AT_FULL = 0.25
"""A held note's rms at velocity 1."""


@dataclass(frozen=True, slots=True)
class Manner:
    """How a technique begins a note.

    ``haste`` divides the attack's time; ``scoop_cents`` below pitch at first, gone with ``scoop_s``; ``bite``
    is the overshoot; ``breath_db`` is added to the onset noise; ``trill_cents`` above is trilled to.
    """

    haste: float = 1.0
    scoop_cents: float = 14.0
    scoop_s: float = 0.025
    bite: float = 0.16
    breath_db: float = 0.0
    trill_cents: float = 0.0


MANNERS = {
    "plain": Manner(),
    "scoop": Manner(haste=0.7, scoop_cents=190.0, scoop_s=0.075),
    "slurred": Manner(haste=1.4, scoop_cents=30.0, scoop_s=0.012, bite=0.0, breath_db=-30.0),
    "accented": Manner(haste=1.5, scoop_cents=20.0, scoop_s=0.018, bite=0.5, breath_db=6.0),
    "trill": Manner(haste=1.0, scoop_cents=8.0, bite=0.05, trill_cents=200.0),
}


@dataclass(frozen=True, slots=True)
class Tone:
    """How a section's held notes sound.

    Attributes
    ----------
    part
        The part it belongs to.
    level_db
        The spectral envelope: level at frequencies in hertz, for a level of 0 to 1 and a pitch.
    players
        How the section's players differ.
    attack_s
        The rise at a middling level.
    noise_hz, noise_db
        The band of the onset noise, and its level beside the note's.
    air_db
        The level of the steady breath, in the same band.
    vibrato_cents, vibrato_hz
        Depth and rate of the vibrato, once a note has settled.
    swell
        How far the brightness swings by itself, a fifth of a hertz slow, of the level.
    """

    part: str
    level_db: Callable[[Spectrum, float, int], Spectrum]
    players: Players
    attack_s: float
    noise_hz: tuple[float, float]
    noise_db: float
    air_db: float = -90.0
    vibrato_cents: float = 0.0
    vibrato_hz: float = 5.3
    swell: float = 0.0


def held_note(tone: Tone, stroke: Stroke, rng: np.random.Generator, shelf: Shelf) -> Audio:
    """Return the first ``length_s`` of a held note of a section without an end: float32 (frames, 2)."""
    manner = MANNERS[stroke.technique]
    frames = round(stroke.length_s * RATE_HZ)
    made = frames + reading.STEP
    time_s = reading.moments(made)
    rise = _rise(time_s, tone, manner, stroke.level)
    table = _table(tone, anchor_of(stroke.pitch), shelf)
    place = _clock(time_s, tone, manner, stroke, rng)
    level = _brightness(time_s, tone, stroke.level, rise, rng)
    note = reading.read(table, place=place, weights=layer_weights(level), frames=made)
    loudness = RMS_AT_FULL * stroke.level**LEVEL_EXPONENT
    note *= reading.drawn(rise * loudness, made)
    _add_breath(note, time_s, tone, manner, loudness, rng, shelf)
    return as_audio(note[:frames])


def without_dc(note: Stereo, window: Audio) -> Stereo:
    """Return a note with its mean taken off under a window that is silent where the note is."""
    note -= np.complex64(note.mean() / window.mean()) * window
    return note


def noise_pool(key: str, shelf: Shelf, *, low_hz: float, high_hz: float) -> Audio:
    """Return looping stereo noise of rms 1 in a band with soft edges (a second of it, kept)."""
    return shelf.keep(("noise", key, low_hz, high_hz), partial(_band_noise, key, low_hz, high_hz))


def _band_noise(key: str, low_hz: float, high_hz: float) -> Audio:
    from scipy import fft

    frames = RATE_HZ
    rng = np.random.default_rng(zlib.crc32(key.encode()))
    frequency_hz = np.maximum(fft.rfftfreq(frames, 1.0 / RATE_HZ), 1.0)
    gain = 1.0 / np.sqrt((1.0 + (low_hz / frequency_hz) ** 6) * (1.0 + (frequency_hz / high_hz) ** 6))
    spectrum = fft.rfft(rng.standard_normal((2, frames)), axis=1) * gain
    spectrum[:, 0] = 0.0
    noise = fft.irfft(spectrum, n=frames, axis=1)
    noise /= np.sqrt(np.square(noise).mean())
    return np.ascontiguousarray(noise.T, dtype=np.float32)


def slice_of(pool: Audio, frames: int, rng: np.random.Generator) -> Stereo:
    """Return so many frames of a looping pool from a place chance chooses."""
    line = pool.view(np.complex64)[:, 0]
    start = int(rng.integers(len(line)))
    return np.take(line, np.arange(start, start + frames), mode="wrap")


def _table(tone: Tone, anchor: int, shelf: Shelf) -> Planes:
    def level_db(frequency_hz: Spectrum, level: float) -> Spectrum:
        return tone.level_db(frequency_hz, level, anchor)

    def make() -> Planes:
        rng = np.random.default_rng(zlib.crc32(f"{tone.part} {anchor}".encode()))
        return ensemble_table(level_db, anchor=anchor, players=tone.players, rng=rng)

    return shelf.keep(("section", tone.part, anchor), make)


def _clock(time_s: Curve, tone: Tone, manner: Manner, stroke: Stroke, rng: np.random.Generator) -> Curve:
    """Return the note's clock: it starts on a whole cycle, so that two takes of a note agree in phase."""
    cents = reading.scoop_cents(
        time_s, depth_cents=manner.scoop_cents * rng.uniform(0.8, 1.2), time_constant_s=manner.scoop_s
    )
    cents += reading.vibrato_cents(
        time_s,
        depth_cents=tone.vibrato_cents * rng.uniform(0.85, 1.15),
        rate_hz=tone.vibrato_hz + rng.uniform(-0.3, 0.3),
        onset_s=0.25,
        phase_rad=rng.uniform(0.0, 2.0 * np.pi),
    )
    if manner.trill_cents:
        rate_hz = 6.0 + rng.uniform(-0.3, 0.3)
        cents += reading.trill_cents(time_s, step_cents=manner.trill_cents, rate_hz=rate_hz)
    anchor = anchor_of(stroke.pitch)
    cycles = cycles_of(anchor)
    start = float(rng.integers(cycles)) * table_frames(anchor) / cycles + reading.STEP
    return reading.clock(cents, ratio=reading_ratio(stroke.pitch), start=start)


def _rise(time_s: Curve, tone: Tone, manner: Manner, level: float) -> Curve:
    """Return the attack: quicker when loud, shooting over by the manner's bite and settling in 90 ms."""
    attack_s = tone.attack_s * (1.25 - 0.6 * level) / manner.haste
    rise = np.sin(0.5 * np.pi * np.minimum(time_s / attack_s, 1.0)) ** 2
    over = manner.bite * level * np.exp(-np.maximum(time_s - attack_s, 0.0) / 0.09)
    return np.asarray(rise * (1.0 + over))


def _brightness(time_s: Curve, tone: Tone, level: float, envelope: Curve, rng: np.random.Generator) -> Curve:
    """Return the level the timbre follows: the dynamic, as far as the envelope has come."""
    phase = rng.uniform(0.0, 2.0 * np.pi) if tone.swell else 0.0
    swing = 1.0 + tone.swell * np.sin(2.0 * np.pi * 0.21 * time_s + phase)
    return np.asarray(level * np.maximum(envelope, 0.0) ** 0.9 * swing)


def _add_breath(
    note: Stereo,
    time_s: Curve,
    tone: Tone,
    manner: Manner,
    loudness: float,
    rng: np.random.Generator,
    shelf: Shelf,
) -> None:
    """Add the burst of the onset and the steady air under the note, where there is any to be heard."""
    low_hz, high_hz = tone.noise_hz
    pool = noise_pool(tone.part, shelf, low_hz=low_hz, high_hz=high_hz)
    burst = 10.0 ** ((tone.noise_db + manner.breath_db) / 20.0) * np.exp(-time_s / 0.018)
    air = 10.0 ** (tone.air_db / 20.0)
    heard = len(note) if tone.air_db > -80.0 else min(len(note), BURST_FRAMES)
    shape = (burst * 3.0 + air) * np.minimum(time_s / 0.003, 1.0) * loudness
    note[:heard] += slice_of(pool, heard, rng) * reading.drawn(shape[: -(-heard // reading.STEP) + 1], heard)
