"""How the octave bands of a mix move when it is changed: what a rep counts for that asks for no band.

All functions take arrays of octave-band powers of shape ``(windows, bands)``. The figures here are ours; the floor
keeps the mix's own 16 kHz octave in (25 dB below the total in IEC 60268-1).
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from trainer.dsp.dynamics import ACTIVE_RANGE_DB
from trainer.dsp.octave_bands import NOMINAL_HZ
from trainer.ensemble.excerpt import Excerpt

MOVED_DB = 1.0
"""How far a band's level must move to be heard."""
SHARE = 0.2
"""In how much of the excerpt it must."""
FLOOR_DB = -40.0
"""How far below the mix's mean power a band's power may lie and still be heard."""
COMPRESSED_SHARE = 0.3
"""The same for a compressor, whose prediction is rougher: a slow one moves less than its sketch."""
LEAST_WEIGHT = 0.1
"""A band that carries less than this share of a change is not counted for it."""

Powers = NDArray[np.float64]


def among(usable_hz: Sequence[float]) -> NDArray[np.bool_]:
    """Return for each octave band whether it is one of these."""
    return np.isin(NOMINAL_HZ, usable_hz)


def heard_bands(plain: Powers, changed: Powers, *, share: float = SHARE) -> NDArray[np.bool_]:
    """Return for each band whether the change from ``plain`` to ``changed`` is heard in it."""
    heard = np.abs(shift_db(plain, changed)) >= MOVED_DB
    floor = mean_power(plain) * 10.0 ** (FLOOR_DB / 10.0)
    carried = np.maximum(plain, changed) >= floor
    enough: NDArray[np.bool_] = np.mean(heard & carried, axis=0) >= share
    return enough


def shift_db(plain: Powers, changed: Powers) -> Powers:
    """Return by how many dB each band's level moves in each window."""
    tiny = 1e-12 * mean_power(plain)
    shift: Powers = 10.0 * np.log10((changed + tiny) / (plain + tiny))
    return shift


def mean_power(powers: Powers) -> float:
    """Return the mean total power over the windows, never 0."""
    return float(np.mean(np.sum(powers, axis=1))) or 1e-30


def with_gain(mix: Powers, target: Powers, *, gain_db: float | NDArray[np.float64]) -> Powers:
    """Return the mix's powers with the target's contribution ``gain_db`` up, taking the two as incoherent.

    ``gain_db`` is one number, or one for each band.
    """
    changed: Powers = mix + (10.0 ** (np.asarray(gain_db) / 10.0) - 1.0) * np.minimum(target, mix)
    return changed


def compressible(
    excerpt: Excerpt,
    targets: Sequence[str],
    *,
    reduction_db: float,
    ratio: float,
    usable_hz: Sequence[float] = NOMINAL_HZ,
) -> tuple[str, ...]:
    """Return the targets whose compressor, made up to their level, would be heard in some usable band."""
    if reduction_db == 0.0:
        return tuple(targets)
    mix = excerpt.band_powers_over_time("mix")
    powers = {target: excerpt.band_powers_over_time(target) for target in targets}
    gains_db = {
        target: compressor_gain_db(part, reduction_db=reduction_db, ratio=ratio)
        for target, part in powers.items()
    }
    usable = among(usable_hz)

    def is_heard(target: str) -> bool:
        changed = with_gain(mix, powers[target], gain_db=gains_db[target])
        return bool(heard_bands(mix, changed, share=COMPRESSED_SHARE)[usable].any())

    return tuple(filter(is_heard, powers))


def compressor_gain_db(target: Powers, *, reduction_db: float, ratio: float) -> Powers:
    """Return the gain of a compressor in each window, shape ``(windows, 1)``, made up to the target's power.

    A sketch in the windows' own pace: its level is the window's, its threshold is where the mean reduction of
    the windows within 30 dB of the loudest is ``reduction_db``.
    """
    level_db = 10.0 * np.log10(np.sum(target, axis=1) + 1e-12 * mean_power(target))
    active_db = level_db[level_db >= level_db.max() - ACTIVE_RANGE_DB]
    thresholds_db = np.linspace(level_db.max(), active_db.min() - ratio * reduction_db, 200)
    slope = 1.0 - 1.0 / ratio
    means_db = slope * np.mean(np.maximum(active_db[:, None] - thresholds_db, 0.0), axis=0)
    threshold_db = np.interp(reduction_db, means_db, thresholds_db)
    gain_db = -slope * np.maximum(level_db - threshold_db, 0.0)
    power = np.sum(target, axis=1)
    made_up_db = 10.0 * np.log10(np.sum(power) / np.sum(power * 10.0 ** (gain_db / 10.0)))
    made_up: Powers = (gain_db + made_up_db)[:, None]
    return made_up


def weights(plain: Powers, changed: Powers, *, usable_hz: Sequence[float] = NOMINAL_HZ) -> dict[float, float]:
    """Return the usable octave bands a change belongs to, nominal hertz to weight, the strongest first.

    A band's weight is its mean square shift in dB where it carries energy; weights sum to 1. Empty when
    nothing moved.
    """
    floor = mean_power(plain) * 10.0 ** (FLOOR_DB / 10.0)
    moved = np.mean(np.square(shift_db(plain, changed)) * (np.maximum(plain, changed) >= floor), axis=0)
    moved = moved * among(usable_hz)
    if not moved.any():
        return {}
    shares = moved / moved.sum()
    kept = {
        NOMINAL_HZ[band]: float(shares[band]) for band in np.argsort(-shares) if shares[band] >= LEAST_WEIGHT
    }
    return {band_hz: share / sum(kept.values()) for band_hz, share in kept.items()}
