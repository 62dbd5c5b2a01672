"""A computational listener for compressors: from plain and changed sound, how a gain moved, and what that says.

It finds the thirds of an octave in which most was added beside what was there: in them the compressed target stands
out. There it follows the level of both sounds, and describes how one moves against the other: how far, how fast, how
long after a stroke. What such a description means it has learned from reps on other excerpts (a forest of randomised
trees; Geurts, Ernst and Wehenkel 2006).
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from sklearn.ensemble import ExtraTreesClassifier
from sklearn.model_selection import GroupKFold, cross_val_predict

from trainer.sound import Sound

Floats = NDArray[np.float64]

STEP = 480
"""How far apart levels are taken, frames: 10 ms."""
FRAME = 2048
"""The length of the windows of the coarser look, frames."""
ACTIVE_DB = 25.0
"""How far below its loudest the target is still taken to sound."""
STANDS_OUT = 0.25
"""What share of the largest ratio of added to there a band must have to be one the target stands out in."""
LAGS = (-32, -16, -8, -4, -2, -1, 0, 1, 2, 3, 4, 6, 8, 12, 16, 24, 32, 48, 64)
"""After how many steps the gain is held against the level."""
OWN_LAGS = (1, 2, 4, 8, 16, 32, 64)
AFTER_ONSET = (-4, -2, -1, 0, 1, 2, 3, 4, 6, 8, 12, 16, 24, 32)
FOLDS = 5


@dataclass(frozen=True)
class Levels:
    """The level of the plain sound over time and how far the changed one lies from it, dB, where it sounds."""

    plain_db: Floats
    moved_db: Floats
    active: NDArray[np.bool_]


def describe(plain: Sound, changed: Sound) -> Floats:
    """Return numbers that say how a gain moved between two sounds; all 0 where none did."""
    before, after = (np.fft.rfft(sound.samples.astype(np.float64), axis=0) for sound in (plain, changed))
    after = after / _common_level(before, after)
    added = after - before
    if np.sum(np.abs(added) ** 2) < 1e-6 * np.sum(np.abs(before) ** 2):
        return np.zeros(len(LAGS) + len(OWN_LAGS) + len(AFTER_ONSET) + 20)
    weights, ratio_db = _where_it_stands_out(before, added, rate_hz=plain.rate_hz)
    heard = [np.fft.irfft(part * weights[:, None], plain.frames, axis=0) for part in (before, after)]
    fine, coarse = (_levels(*heard, step=step) for step in (STEP, FRAME // 2))
    whole_db = 10.0 * np.log10(np.sum(np.abs(added) ** 2) / np.sum(np.abs(before) ** 2))
    return np.concatenate(
        [
            _shape(fine),
            _extent(fine),
            _extent(coarse),
            [ratio_db, whole_db],
        ]  # what it is like, how far, how much
    )


def _common_level(before: NDArray[np.complex128], after: NDArray[np.complex128]) -> float:
    """Return by what factor all was made louder: what most of the sound's power agrees in."""
    power = np.abs(before).ravel() ** 2
    ratio = (after * np.conj(before)).real.ravel() / (power + 1e-12)
    order = np.argsort(ratio)
    summed = np.cumsum(power[order])
    return float(ratio[order][np.searchsorted(summed, 0.5 * summed[-1])])


def _where_it_stands_out(
    before: NDArray[np.complex128], added: NDArray[np.complex128], *, rate_hz: int
) -> tuple[Floats, float]:
    """Return for each bin how much it is listened to, and the largest ratio of what was added to what was there, dB."""
    edges_hz = 1000.0 * 10.0 ** (0.1 * np.arange(-16.5, 13.5))
    bands = np.digitize(np.fft.rfftfreq(2 * (len(before) - 1), 1.0 / rate_hz), edges_hz)
    there, more = (
        np.bincount(bands, np.sum(np.abs(part) ** 2, axis=1), minlength=len(edges_hz) + 1)
        for part in (before, added)
    )
    there[0] = there[-1] = np.inf
    ratio = more / (there + 1e-9 * np.max(there[1:-1]))
    chosen = np.where(ratio >= STANDS_OUT * ratio.max(), np.sqrt(ratio / (there + 1e-12)), 0.0)
    return chosen[bands], float(10.0 * np.log10(ratio.max()))


def _levels(plain: Floats, changed: Floats, *, step: int) -> Levels:
    """Return levels over time, smoothed over three steps."""
    steps = len(plain) // step
    power = [
        np.convolve(
            np.square(part).sum(axis=1)[: steps * step].reshape(steps, step).sum(axis=1),
            (0.25, 0.5, 0.25),
            "same",
        )
        for part in (plain, changed)
    ]
    floor = 1e-4 * power[0].max()
    moved_db = 10.0 * np.log10((power[1] + 0.01 * floor) / (power[0] + 0.01 * floor))
    active = power[0] >= power[0].max() * 10.0 ** (-ACTIVE_DB / 10.0)
    return Levels(10.0 * np.log10(power[0] + floor), moved_db, active)


def _shape(levels: Levels) -> Floats:
    """Return how the gain goes with the level, with itself, and with strokes, at some steps' distance."""
    own = np.where(levels.active, levels.moved_db - np.mean(levels.moved_db[levels.active]), 0.0)
    level = levels.plain_db - levels.plain_db.mean()
    size = np.sum(own**2) + 1e-9
    to_level = [np.sum(own * np.roll(level, lag)) / np.sqrt(size * np.sum(level**2)) for lag in LAGS]
    to_itself = [np.sum(own * np.roll(own, lag)) / size for lag in OWN_LAGS]
    rise = levels.plain_db - np.roll(levels.plain_db, 3)
    strokes = np.flatnonzero((rise >= np.percentile(rise, 97)) & levels.active)
    after = (
        [np.mean(own[(strokes + lag) % len(own)]) for lag in AFTER_ONSET]
        if len(strokes)
        else [0.0] * len(AFTER_ONSET)
    )
    return np.array([*to_level, *to_itself, *after])


def _extent(levels: Levels) -> Floats:
    """Return how far the gain goes, how fast, and how it falls with level."""
    moved = levels.moved_db[levels.active]
    low, middle, high = np.percentile(moved, (5, 50, 95))
    swing = max(high - low, 1e-6)
    both = levels.active[1:] & levels.active[:-1]
    pace = np.diff(levels.moved_db)[both]
    slope = np.polyfit(levels.plain_db[levels.active], moved, 1)[0]
    return np.array(
        [low - middle, high - middle, swing, np.std(moved), np.mean(np.abs(pace)), np.mean(np.abs(pace)) / swing,
         *np.percentile(pace, (2, 98)) / swing, slope]
    )  # fmt: skip


def named(
    described: Floats, truths: Sequence[str], excerpts: Sequence[int], *, trees: int
) -> NDArray[np.str_]:
    """Return what is named of each rep by a listener who learned from reps on other excerpts."""
    forest = ExtraTreesClassifier(trees, min_samples_leaf=2, random_state=0)
    found: NDArray[np.str_] = cross_val_predict(
        forest, described, np.array(truths), cv=GroupKFold(FOLDS), groups=np.array(excerpts)
    )
    return found


def one_hot(names: Sequence[str]) -> Floats:
    """Return names as numbers, one column each."""
    return (np.array(names)[:, None] == np.array(sorted(set(names)))[None, :]).astype(np.float64)
