"""The timpani: kettles whose air tunes the head's preferred modes to about 2:3:4:5."""

from functools import lru_cache

import numpy as np

from trainer.ensemble.voices.contact import Blow, Contact
from trainer.ensemble.voices.hits import FEW_LAYERS, loudness, settled
from trainer.ensemble.voices.membranes import Drum, beat_drum
from trainer.ensemble.voices.voice import Audio, Shelf, Stroke, Voice
from trainer.units import db_to_ratio, midi_to_hz

GAIN_DB = -20.0

PREFERRED = (1.0, 1.504, 1.99, 2.47, 2.93, 3.39, 3.85, 4.3)
"""The modes (m,1) beside the principal (1,1), pulled into tune by the kettle's air (from memory)."""

RING = (1.0, 1.5, 1.6, 1.0, 0.8, 0.6, 0.5, 0.4)
"""How long they ring beside the principal: the fifth and the octave outlast it."""

CONCENTRIC = (0.85, 1.68, 2.09, 2.67, 3.1)
"""The modes the kettle damps: a short thud that tells where the stick fell."""

BLOWS = (
    Blow(150.0, 1_200.0, 0.016, -5.0, exponent=0.4, rise_s=0.0006),
    Blow(900.0, 4_500.0, 0.010, -11.0, exponent=0.9, rise_s=0.0003),
)


@lru_cache(maxsize=64)
def kettle(principal_hz: float) -> Drum:
    """Return the drum that is tuned to a pitch: lower ones ring longer."""
    principal_s = 2.4 * (110.0 / principal_hz) ** 0.3
    return Drum(
        ratios=(*PREFERRED, *CONCENTRIC),
        levels_db=(0.0, -3.0, -6.0, -9.0, -12.0, -15.0, -17.0, -19.0, -9.0, -9.0, -12.0, -13.0, -14.0),
        t60_s=(*(principal_s * share for share in RING), 0.3, 0.35, 0.3, 0.25, 0.2),
        contact=Contact(full_s=0.00042, exponent=0.4),
        blows=BLOWS,
        brightening=0.35,
        upper=24,
        upper_hz=(450.0, 3_000.0),
        upper_db=-18.0,
        upper_t60_s=0.45,
        own_jitter_db=1.5,
    )


def strike(stroke: Stroke, rng: np.random.Generator, shelf: Shelf) -> Audio:
    """Return one stroke on the kettle tuned to the pitch."""
    principal_hz = midi_to_hz(stroke.pitch)
    sound = beat_drum(
        kettle(principal_hz),
        principal_hz,
        velocity=stroke.level,
        rng=rng,
        shelf=shelf,
        frames=stroke.heard_frames,
    )
    return settled(sound, gain=db_to_ratio(GAIN_DB) * loudness(stroke.level))


VOICES_OF_FAMILY: tuple[Voice, ...] = (
    Voice("timpani", strike, FEW_LAYERS, variants=3, keeps=False, restrike_s=0.5),
)
