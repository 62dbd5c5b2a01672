"""Levels: gain, what a meter reads, and the sum of sounds."""

from collections.abc import Sequence

import numpy as np

from trainer.sound import Sound
from trainer.units import db_to_ratio, power_to_db, ratio_to_db


def gain(sound: Sound, *, gain_db: float) -> Sound:
    """Return the sound louder or softer; ``-inf`` dB is silence."""
    return Sound(sound.samples * np.float32(db_to_ratio(gain_db)), sound.rate_hz)


def rms_db(sound: Sound) -> float:
    """Return the level of the mean square over all frames and channels; a full-scale sine reads -3.01 dB."""
    flat = sound.samples.ravel()
    return power_to_db(float(np.mean(np.square(flat, dtype=np.float64)))) if flat.size else -np.inf


def sample_peak(sound: Sound) -> float:
    """Return the greatest magnitude of any sample."""
    samples = sound.samples
    return float(max(samples.max(), -samples.min())) if samples.size else 0.0


def sample_peak_db(sound: Sound) -> float:
    """Return the level of the greatest sample, dB below full scale."""
    return ratio_to_db(sample_peak(sound))


def mix_of(sounds: Sequence[Sound]) -> Sound:
    """Return the sum of sounds of one shape and rate.

    Raises
    ------
    ValueError
        If there are none, or they differ in length, channels or rate.
    """
    kinds = {(sound.frames, sound.channels, sound.rate_hz) for sound in sounds}
    if len(kinds) != 1:
        raise ValueError(f"a mix needs sounds of one (frames, channels, rate), not {sorted(kinds)}")
    total = np.array(sounds[0].samples)
    for sound in sounds[1:]:
        total += sound.samples
    return Sound(total, sounds[0].rate_hz)
