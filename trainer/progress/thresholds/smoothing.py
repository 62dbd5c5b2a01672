"""Smoothing: what is believed of every day gone by, given all answers since.

H. E. Rauch, F. Tung & C. T. Striebel, AIAA Journal 3 (1965).
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trainer.progress.thresholds.belief import (
    BANDS,
    DAILY,
    KINDS,
    PACE,
    PACE_DRIFT_SD,
    WEEK_1,
    Belief,
    Floats,
    day_step,
    with_kind,
)


def smoothed(days: Sequence[Belief]) -> list[Belief]:
    """Return the beliefs of all days, each revised by what came after it.

    Parameters
    ----------
    days
        What was believed at the end of each day, every day, before the step to the next. Earlier days may know
        fewer kinds: those were as unknown then as they are at first.

    Returns
    -------
    list[Belief]
        As many, all with the kinds of the last. The copy of week 1 is left out (its numbers are 0): it is a copy
        of a day that is there itself.
    """
    if not days:
        return []
    steps = _steps(days)
    means = _revised(steps)
    covariance = steps.covariances[-1]
    covariances = [covariance]
    for own, expected, gain in _backwards(steps.covariances[:-1], steps.expected, steps.gains):
        covariance = own + gain @ (covariance - expected) @ np.swapaxes(gain, -1, -2)
        covariances.append(covariance)
    return [
        _whole(mean, covariance, steps.kept, steps.size)
        for mean, covariance in zip(means, reversed(covariances), strict=True)
    ]


def smoothed_means(days: Sequence[Belief]) -> Floats:
    """Return the means of `smoothed` alone, ``(days, ..., D)``, at a fraction of its cost."""
    if not days:
        return np.zeros((0, KINDS))
    steps = _steps(days)
    means = np.zeros((*steps.means.shape[:-1], steps.size))
    means[..., steps.kept] = _revised(steps)
    return means


@dataclass(frozen=True, slots=True, eq=False)
class _Steps:
    """What the way back needs, worked out for all days at once; the copy of week 1 is left out.

    Attributes
    ----------
    kept
        The places of the state that are left, of ``size``.
    means, covariances
        Of each day.
    expected, gains
        Of each day but the last: the covariance of the next day as it was expected, and how far a surprise there
        moves this day.
    """

    kept: NDArray[np.intp]
    size: int
    means: Floats
    covariances: Floats
    expected: Floats
    gains: Floats


def _steps(days: Sequence[Belief]) -> _Steps:
    size = days[-1].mean.shape[-1]
    here = [_with_all_kinds(day, size) for day in days]
    kept = np.r_[0 : WEEK_1.start, WEEK_1.stop : size]
    step, drift = (matrix[np.ix_(kept, kept)] for matrix in (day_step(size), _drift(size)))
    means = np.stack([day.mean for day in here])[..., kept]
    covariances = np.stack([day.covariance for day in here])[..., kept[:, None], kept]
    moved = step @ covariances[:-1]
    expected = moved @ step.T + drift
    gains = np.swapaxes(np.linalg.solve(expected, moved), -1, -2)
    return _Steps(kept, size, means, covariances, expected, gains)


def _revised(steps: _Steps) -> Floats:
    """Return the means of all days, revised from the last one back."""
    step = day_step(steps.size)[np.ix_(steps.kept, steps.kept)]
    means = steps.means.copy()
    foreseen = means[:-1] @ step.T
    for day in range(len(means) - 2, -1, -1):
        means[day] += (steps.gains[day] @ (means[day + 1] - foreseen[day])[..., None])[..., 0]
    return means


def _backwards(*lists: Floats) -> Iterator[tuple[Floats, ...]]:
    return zip(*(reversed(one) for one in lists), strict=True)


def _with_all_kinds(belief: Belief, size: int) -> Belief:
    while belief.mean.shape[-1] < size:
        belief = with_kind(belief)
    return belief


def _drift(size: int) -> Floats:
    drift = np.zeros((size, size))
    drift[BANDS, BANDS] = DAILY
    drift[PACE, PACE] = PACE_DRIFT_SD**2
    return drift


def _whole(mean: Floats, covariance: Floats, kept: NDArray[np.intp], size: int) -> Belief:
    whole = Belief(np.zeros((*mean.shape[:-1], size)), np.zeros((*mean.shape[:-1], size, size)))
    whole.mean[..., kept] = mean
    whole.covariance[..., kept[:, None], kept] = 0.5 * (covariance + np.swapaxes(covariance, -1, -2))
    return whole
