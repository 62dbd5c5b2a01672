"""The woodwinds: one section of flutes above and clarinets below, blended by register."""

from functools import partial

import numpy as np

from trainer.ensemble.voices.section_tables import Players, Spectrum
from trainer.ensemble.voices.sustained import Tone, held_note
from trainer.ensemble.voices.voice import Voice
from trainer.units import midi_to_hz

CLARINETS_ONLY_BELOW = 66
FLUTES_ONLY_ABOVE = 78
"""The register in which the clarinets hand over to the flutes (MIDI notes; common practice, no source)."""

EVEN_HARMONICS = 0.12
"""A closed cylinder's even harmonics beside the odd ones, below its tone-hole cutoff."""

TONE_HOLES_HZ = 1600.0


def woodwind_level_db(frequency_hz: Spectrum, level: float, pitch: int) -> Spectrum:
    """Return the spectral envelope of the section at a pitch, played at a level of 0 to 1."""
    clarinets = np.interp(pitch, (CLARINETS_ONLY_BELOW, FLUTES_ONLY_ABOVE), (1.0, 0.0))
    power = clarinets * _clarinet_power(frequency_hz, level, pitch)
    power = power + (1.0 - clarinets) * _flute_power(frequency_hz, level)
    return np.asarray(10.0 * np.log10(power + 1e-15))


def _clarinet_power(frequency_hz: Spectrum, level: float, pitch: int) -> Spectrum:
    harmonic = np.round(frequency_hz / midi_to_hz(pitch))
    muted = (harmonic % 2 == 0) & (frequency_hz < TONE_HOLES_HZ)
    slope_db = 20.0 - 9.0 * level
    fall_db = -0.5 * slope_db * np.log2(1.0 + (frequency_hz / 1500.0) ** 2)
    return np.asarray(10.0 ** (fall_db / 10.0) * np.where(muted, EVEN_HARMONICS**2, 1.0))


def _flute_power(frequency_hz: Spectrum, level: float) -> Spectrum:
    slope_db = 20.0 - 6.0 * level
    fall_db = -0.5 * slope_db * np.log2(1.0 + (frequency_hz / 900.0) ** 2)
    return np.asarray(10.0 ** (fall_db / 10.0))


TONE = Tone(
    "woodwinds",
    woodwind_level_db,
    Players(spread_cents=8.0, unity_db=14.0),
    attack_s=0.035,
    noise_hz=(1200.0, 9000.0),
    noise_db=-30.0,
    air_db=-38.0,
    vibrato_cents=10.0,
    vibrato_hz=5.2,
)

VOICES_OF_FAMILY = (
    Voice(
        "woodwinds",
        partial(held_note, TONE),
        layers=(0.45, 0.8),
        variants=2,
        lengths_s=(0.2, 0.3, 0.45, 0.65, 0.9, 1.3, 1.9, 2.6, 3.6),
        release_s=0.06,
    ),
)
