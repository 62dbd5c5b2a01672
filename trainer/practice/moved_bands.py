"""How the octave bands of a mix move when it is changed: what a rep counts for that asks for no band.

All functions take arrays of octave-band powers of shape ``(windows, bands)``. The figures here are ours; the floor
keeps the mix's own 16 kHz octave in (25 dB below the total in IEC 60268-1).
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from trainer.practice.band_scale import OCTAVE_SCALE

FLOOR_DB = -40.0
"""How far below the mix's mean power a band's power may lie and still count."""
LEAST_WEIGHT = 0.1
"""A band that carries less than this share of a change is not counted for it."""

Powers = NDArray[np.float64]


def shift_db(plain: Powers, changed: Powers) -> Powers:
    """Return by how many dB each band's level moves in each window."""
    tiny = 1e-12 * mean_power(plain)
    shift: Powers = 10.0 * np.log10((changed + tiny) / (plain + tiny))
    return shift


def mean_power(powers: Powers) -> float:
    """Return the mean total power over the windows, never 0."""
    return float(np.mean(np.sum(powers, axis=1))) or 1e-30


def weights(
    plain: Powers, changed: Powers, *, usable_hz: Sequence[float] = OCTAVE_SCALE.names_hz
) -> dict[float, float]:
    """Return the usable octave bands a change belongs to, nominal hertz to weight, the strongest first.

    A band's weight is its mean square shift in dB where it carries energy; weights sum to 1. Empty when
    nothing moved.
    """
    names_hz, floor = OCTAVE_SCALE.names_hz, mean_power(plain) * 10.0 ** (FLOOR_DB / 10.0)
    moved = np.mean(np.square(shift_db(plain, changed)) * (np.maximum(plain, changed) >= floor), axis=0)
    moved = moved * np.isin(names_hz, usable_hz)
    if not moved.any():
        return {}
    shares = moved / moved.sum()
    kept = {
        names_hz[band]: float(shares[band]) for band in np.argsort(-shares) if shares[band] >= LEAST_WEIGHT
    }
    return {band_hz: share / sum(kept.values()) for band_hz, share in kept.items()}
