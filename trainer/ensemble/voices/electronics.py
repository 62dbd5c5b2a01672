"""The electronics' keyboards: the synth pad, and the sub with its low drop."""

from functools import partial

import numpy as np

from trainer.ensemble.voices import reading
from trainer.ensemble.voices.section_tables import Floats, Players, Spectrum
from trainer.ensemble.voices.sustained import LEVEL_EXPONENT, Tone, held_note, without_dc
from trainer.ensemble.voices.voice import Audio, Shelf, Stroke, Voice, as_audio
from trainer.sound import RATE_HZ
from trainer.units import midi_to_hz

PAD_CLOSED_HZ = 700.0
PAD_OPEN_HZ = 4500.0
"""The pad's low-pass at level 0 and at level 1."""

SUB_RELEASE_S = 0.09
SUB_PEAK = 0.45
SUB_DRIVE = 1.3
DROP_DRIVE = 1.8
DROP_START = 3.2
"""How many times its last frequency the drop starts at."""

DROP_TIME_S = 0.35


def pad_level_db(frequency_hz: Spectrum, level: float, pitch: int) -> Spectrum:
    """Return the pad's spectral envelope: a sawtooth through a low-pass that opens with the level."""
    corner_hz = PAD_CLOSED_HZ * (PAD_OPEN_HZ / PAD_CLOSED_HZ) ** level
    saw_db = -20.0 * np.log10(np.maximum(frequency_hz / midi_to_hz(pitch), 0.5))
    return np.asarray(saw_db - 10.0 * np.log10(1.0 + (frequency_hz / corner_hz) ** 4))


PAD = Tone(
    "synth-pad",
    pad_level_db,
    Players(spread_cents=11.0, unity_db=12.0, unity_fall_db=0.4, apart_rad=1.5),
    attack_s=0.22,
    noise_hz=(2000.0, 12000.0),
    noise_db=-90.0,
    swell=0.3,
)


def sub_note(stroke: Stroke, rng: np.random.Generator, shelf: Shelf) -> Audio:  # noqa: ARG001 - nothing by chance
    """Return a note of the sub: a driven sine, or (``drop``) one that falls from over an octave above."""
    frames = round((stroke.length_s + SUB_RELEASE_S) * RATE_HZ)
    time_s = reading.moments(frames)
    falls = stroke.technique == "drop"
    cycles = _sub_cycles(time_s, midi_to_hz(stroke.pitch), falls=falls)
    drive = DROP_DRIVE if falls else SUB_DRIVE
    sine = np.tanh(drive * np.sin(2.0 * np.pi * reading.drawn_exactly(cycles, frames)))
    shape = reading.drawn(_sub_shape(time_s, stroke.length_s, falls=falls), frames)
    note = sine.astype(np.float32) * (
        shape * np.complex64(SUB_PEAK * stroke.level**LEVEL_EXPONENT * (1 + 1j))
    )
    return as_audio(without_dc(note, shape))


def _sub_cycles(time_s: Floats, end_hz: float, *, falls: bool) -> Floats:
    """Return the cycles gone by at each moment."""
    if not falls:
        return end_hz * time_s
    glide = (DROP_START - 1.0) * DROP_TIME_S * (1.0 - np.exp(-time_s / DROP_TIME_S))
    return np.asarray(end_hz * (time_s + glide))


def _sub_shape(time_s: Floats, length_s: float, *, falls: bool) -> Floats:
    rise = np.sin(0.5 * np.pi * np.minimum(time_s / 0.012, 1.0)) ** 2
    past = np.clip((time_s - length_s) / (SUB_RELEASE_S - reading.STEP / RATE_HZ), 0.0, 1.0)
    fade = np.exp(-time_s / 1.1) if falls else 1.0
    return np.asarray(rise * fade * (0.5 + 0.5 * np.cos(np.pi * past)))


VOICES_OF_FAMILY = (
    Voice(
        "synth-pad",
        partial(held_note, PAD),
        layers=(0.4, 0.7, 0.95),
        variants=1,
        lengths_s=(1.0, 1.5, 2.0, 3.0, 4.0, 6.0, 8.0),
        release_s=0.05,
        timing_sd_s=0.0,
    ),
    Voice(
        "sub",
        sub_note,
        layers=(0.7,),
        variants=1,
        lengths_s=(0.25, 0.5, 1.0, 2.0, 4.0, 8.0),
        timing_sd_s=0.0,
    ),
)
