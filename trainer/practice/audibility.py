"""The audibility gate: a rep whose change could not be heard is never asked.

A change is taken to be heard in an octave band when it moves the mix's level there by at least 1 dB in enough
of the excerpt, where the band carries enough energy to be heard at all. The figures here are ours: 1 dB is
near the level difference just noticed in a band of noise (0.4 to 1 dB; G. A. Miller 1947; Jesteadt, Wier and
Green 1977), and the floor keeps the mix's own 16 kHz octave in (25 dB below the total in IEC 60268-1).

All functions take arrays of octave-band powers of shape ``(windows, bands)``.
"""

from collections.abc import Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from trainer.dsp import equaliser
from trainer.dsp.dynamics import ACTIVE_RANGE_DB
from trainer.dsp.octave_bands import NOMINAL_HZ, OCTAVES, Band
from trainer.ensemble.excerpt import Excerpt
from trainer.practice.listening import FEWEST_LANES as FEWEST_LANES
from trainer.sound import RATE_HZ

MOVED_DB = 1.0
"""How far a band's level must move to be heard."""
SHARE = 0.2
"""In how much of the excerpt it must."""
PREDICTED_SHARE = 0.25
"""In how much of it a prediction must say so: what is offered should not fail when it is made."""
FLOOR_DB = -40.0
"""How far below the mix's mean power a band's power may lie and still be heard."""
COMPRESSED_SHARE = 0.3
"""The same for a compressor, whose prediction is rougher: a slow one moves less than its sketch."""
FEWEST_CHOICES = 2
"""How many sections or stems must be on offer for "which" to be a question."""
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


@lru_cache(maxsize=128)
def band_gains_db(gain_db: float) -> NDArray[np.float64]:
    """Return by how much a one-octave bell on each band's centre moves that band's level, for pink noise."""
    gains = [_band_gain_db(octave, gain_db=gain_db) for octave in OCTAVES]
    return np.array(gains)


def _band_gain_db(octave: Band, *, gain_db: float) -> float:
    across_hz = np.geomspace(octave.low_hz, min(octave.high_hz, 0.499 * RATE_HZ), 65)
    response_db = equaliser.bell_response_db(
        across_hz, centre_hz=octave.centre_hz, gain_db=gain_db, width_octaves=1.0, rate_hz=RATE_HZ
    )
    return float(10.0 * np.log10(np.mean(10.0 ** (response_db / 10.0))))


def lanes(
    excerpt: Excerpt, target: str, *, size_db: float, usable_hz: tuple[float, ...] = NOMINAL_HZ
) -> tuple[float, ...]:
    """Return the usable bands in which both a boost and a cut of this size on the target would be heard."""
    if size_db == 0.0:
        return usable_hz
    mix, part = excerpt.band_powers_over_time("mix"), excerpt.band_powers_over_time(target)
    boosted, cut = (with_gain(mix, part, gain_db=band_gains_db(sign * size_db)) for sign in (+1.0, -1.0))
    heard = _foreseen(mix, boosted) & _foreseen(mix, cut) & among(usable_hz)
    return tuple(nominal_hz for nominal_hz, is_heard in zip(NOMINAL_HZ, heard, strict=True) if is_heard)


def _foreseen(mix: Powers, changed: Powers) -> NDArray[np.bool_]:
    """Return for each band whether a predicted change will surely be heard in it."""
    return heard_bands(mix, changed, share=PREDICTED_SHARE)


def movable(
    excerpt: Excerpt, targets: Sequence[str], *, gain_db: float, usable_hz: Sequence[float] = NOMINAL_HZ
) -> tuple[str, ...]:
    """Return the targets that would be heard in some usable band of the mix to move by this gain."""
    if gain_db == 0.0:
        return tuple(targets)
    mix = excerpt.band_powers_over_time("mix")
    moved = {
        target: with_gain(mix, excerpt.band_powers_over_time(target), gain_db=gain_db) for target in targets
    }
    return tuple(target for target in targets if _foreseen(mix, moved[target])[among(usable_hz)].any())


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
