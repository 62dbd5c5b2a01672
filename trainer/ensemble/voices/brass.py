"""The brass: trumpets, mellophones, baritones, tubas, each a row of how its spectrum opens with the dynamic.

The spectral envelope is flat up to a cutoff and falls steeply above it; the slope of the fall, not the
cutoff, follows the dynamic (Luce and Clark, "Physical correlates of brass-instrument tones", JASA 42, 1967;
the slopes are from memory).
"""

from functools import partial

import numpy as np

from trainer.ensemble.voices.section_tables import Players, Spectrum
from trainer.ensemble.voices.sustained import Tone, held_note
from trainer.ensemble.voices.voice import Voice

SLOPE_SOFT_DB = 27.0
SLOPE_LOUD_DB = 7.0
"""The fall above the cutoff, dB an octave, at level 0 and at level 1."""

BEAM_HZ = 9000.0
"""Above this the bells beam past the listener (fitted to the mix; no source)."""


def brass_level_db(
    frequency_hz: Spectrum, level: float, pitch: int, *, cutoff_hz: float, rise_db: float
) -> Spectrum:
    """Return the spectral envelope of a brass instrument.

    Parameters
    ----------
    frequency_hz
        Where.
    level
        The dynamic, 0 (ppp) to 1 (fff).
    pitch
        Not used: the envelope belongs to the instrument, not to the note.
    cutoff_hz
        Where the bell begins to let sound through instead of sending it back.
    rise_db
        The rise below the cutoff, dB an octave.
    """
    del pitch
    octaves = np.log2(frequency_hz / cutoff_hz)
    slope_db = SLOPE_SOFT_DB - (SLOPE_SOFT_DB - SLOPE_LOUD_DB) * level
    below = rise_db * np.minimum(octaves, 0.0)
    above = -0.5 * slope_db * np.log2(1.0 + (frequency_hz / cutoff_hz) ** 2)
    beamed_db = -10.0 * np.log10(1.0 + (frequency_hz / BEAM_HZ) ** 4)
    return np.asarray(below + above + beamed_db)


def _tone(
    part: str, *, cutoff_hz: float, rise_db: float, attack_s: float, vibrato_cents: float, players: Players
) -> Tone:
    return Tone(
        part,
        partial(brass_level_db, cutoff_hz=cutoff_hz, rise_db=rise_db),
        players,
        attack_s=attack_s,
        noise_hz=(cutoff_hz / 2.0, cutoff_hz * 4.0),
        noise_db=-31.0,
        air_db=-54.0,
        vibrato_cents=vibrato_cents,
    )


TONES = (
    _tone(
        "trumpets",
        cutoff_hz=1600.0,
        rise_db=2.0,
        attack_s=0.028,
        vibrato_cents=10.0,
        players=Players(8.0, 12.0, 0.8),
    ),
    _tone(
        "mellophones",
        cutoff_hz=1100.0,
        rise_db=2.0,
        attack_s=0.036,
        vibrato_cents=9.0,
        players=Players(8.0, 12.0, 0.8),
    ),
    _tone(
        "baritones",
        cutoff_hz=800.0,
        rise_db=2.0,
        attack_s=0.040,
        vibrato_cents=8.0,
        players=Players(8.0, 12.0, 0.8),
    ),
    _tone(
        "tubas",
        cutoff_hz=300.0,
        rise_db=1.0,
        attack_s=0.055,
        vibrato_cents=5.0,
        players=Players(7.0, 12.0, 0.8),
    ),
)

VOICES_OF_FAMILY = tuple(
    Voice(
        tone.part,
        partial(held_note, tone),
        layers=(0.45, 0.8),
        variants=2,
        lengths_s=(0.2, 0.3, 0.45, 0.65, 0.9, 1.3, 1.9, 2.6, 3.6, 5.0),
        release_s=0.06,
    )
    for tone in TONES
)
