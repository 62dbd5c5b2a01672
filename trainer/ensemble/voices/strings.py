"""The bass guitar: a plucked string as the sum of its modes, stiff, damped, and heard through a pickup."""

import numpy as np

from trainer.ensemble.voices import reading
from trainer.ensemble.voices.modal import Modes, modal_sum
from trainer.ensemble.voices.section_tables import Floats
from trainer.ensemble.voices.sustained import LEVEL_EXPONENT, noise_pool, slice_of, without_dc
from trainer.ensemble.voices.voice import Audio, Shelf, Stroke, Voice, as_audio
from trainer.sound import RATE_HZ
from trainer.units import midi_to_hz

MODES = 64
STIFFNESS = 6e-5
PLUCK_AT = 0.16
PICKUP_AT = 0.045
"""Where along the string it is plucked, and where the pickup listens."""

RELEASE_S = 0.07
MUTED_T60_S = 0.22


def plucked_note(stroke: Stroke, rng: np.random.Generator, shelf: Shelf) -> Audio:
    """Return a plucked note: float32 (frames, 2), DC-free, the finger damping it after its length."""
    frames = round((stroke.length_s + RELEASE_S) * RATE_HZ)
    time_s = reading.moments(frames)
    string = modal_sum(_modes(stroke, rng), frames=frames)
    string /= np.float32(np.abs(string[: RATE_HZ // 5]).max())
    click = slice_of(noise_pool("bass-guitar", shelf, low_hz=700.0, high_hz=5000.0), frames, rng)
    click = click * reading.drawn(_click(time_s, stroke.level), frames)
    loudness = 0.6 * stroke.level**LEVEL_EXPONENT
    damper = _damper(time_s, stroke.length_s)
    note = (string * np.complex64(1 + 1j) + click) * reading.drawn(damper * loudness, frames)
    return as_audio(without_dc(note, reading.drawn(damper * np.exp(-time_s), frames)))


def _modes(stroke: Stroke, rng: np.random.Generator) -> Modes:
    number = np.arange(1.0, MODES + 1.0)
    f0_hz = midi_to_hz(stroke.pitch)
    frequency_hz = f0_hz * number * np.sqrt((1.0 + STIFFNESS * number**2) / (1.0 + STIFFNESS))
    at = PLUCK_AT * rng.uniform(0.93, 1.07)
    pluck = np.abs(np.sin(np.pi * number * at)) / number**1.15
    pickup = np.abs(np.sin(np.pi * number * PICKUP_AT)) ** 0.35
    contact = 1.0 / np.sqrt(1.0 + (frequency_hz * _contact_s(stroke.level) / 0.6) ** 4)
    amplitude = pluck * pickup * contact * 10.0 ** (rng.normal(0.0, 1.2, MODES) / 20.0)
    t60_s = 3.2 * (55.0 / f0_hz) ** 0.3 / (1.0 + (frequency_hz / 900.0) ** 1.1)
    if stroke.technique == "muted":
        t60_s = np.minimum(t60_s, MUTED_T60_S)
    return Modes(frequency_hz, t60_s, amplitude, _free_of_dc(frequency_hz, t60_s, rng))


def _contact_s(level: float) -> float:
    """Return how long the finger touches: shorter, so brighter, when it plucks hard."""
    return float(0.0005 * level**-0.8)


def _free_of_dc(frequency_hz: Floats, t60_s: Floats, rng: np.random.Generator) -> Floats:
    """Return phases at which each decaying mode integrates to zero, with a sign by chance."""
    phase = np.arctan2(-2.0 * np.pi * frequency_hz, 6.9078 / t60_s)
    return np.asarray(phase + np.pi * rng.integers(0, 2, len(phase)))


def _click(time_s: Floats, level: float) -> Floats:
    return np.asarray(0.12 * level * np.exp(-time_s / 0.006))


def _damper(time_s: Floats, length_s: float) -> Floats:
    rise = np.sin(0.5 * np.pi * np.minimum(time_s / 0.002, 1.0)) ** 2
    past = np.clip((time_s - length_s) / (RELEASE_S - reading.STEP / RATE_HZ), 0.0, 1.0)
    return np.asarray(rise * (0.5 + 0.5 * np.cos(np.pi * past)))


VOICES_OF_FAMILY = (
    Voice(
        "bass-guitar",
        plucked_note,
        layers=(0.35, 0.6, 0.9),
        variants=3,
        lengths_s=(0.15, 0.3, 0.6, 1.2, 2.4),
    ),
)
