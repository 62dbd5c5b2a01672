"""Smoothing: what is believed of every day gone by, given all answers since.

H. E. Rauch, F. Tung & C. T. Striebel, AIAA Journal 3 (1965).
"""

from collections.abc import Sequence

import numpy as np

from trainer.progress.thresholds.belief import (
    BANDS,
    DAILY,
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
    size = days[-1].mean.shape[-1]
    here = [_without_week_1(_with_all_kinds(day, size)) for day in days]
    kept = np.r_[0 : WEEK_1.start, WEEK_1.stop : size]
    step = day_step(size)[np.ix_(kept, kept)]
    drift = _drift(size)[np.ix_(kept, kept)]
    mean, covariance = here[-1].mean[..., kept], here[-1].covariance[..., kept[:, None], kept]
    found = [here[-1]]
    for day in reversed(here[:-1]):
        own_mean, own = day.mean[..., kept], day.covariance[..., kept[:, None], kept]
        expected = step @ own @ step.T + drift
        gain = np.swapaxes(np.linalg.solve(expected, step @ own), -1, -2)
        mean = own_mean + (gain @ (mean - own_mean @ step.T)[..., None])[..., 0]
        covariance = own + gain @ (covariance - expected) @ np.swapaxes(gain, -1, -2)
        found.append(_whole(mean, covariance, kept, size))
    return found[::-1]


def _with_all_kinds(belief: Belief, size: int) -> Belief:
    while belief.mean.shape[-1] < size:
        belief = with_kind(belief)
    return belief


def _without_week_1(belief: Belief) -> Belief:
    mean, covariance = belief.mean.copy(), belief.covariance.copy()
    mean[..., WEEK_1] = 0.0
    covariance[..., WEEK_1, :] = covariance[..., :, WEEK_1] = 0.0
    return Belief(mean, covariance)


def _drift(size: int) -> Floats:
    drift = np.zeros((size, size))
    drift[BANDS, BANDS] = DAILY
    drift[PACE, PACE] = PACE_DRIFT_SD**2
    return drift


def _whole(mean: Floats, covariance: Floats, kept: np.ndarray, size: int) -> Belief:
    whole = Belief(np.zeros((*mean.shape[:-1], size)), np.zeros((*mean.shape[:-1], size, size)))
    whole.mean[..., kept] = mean
    whole.covariance[..., kept[:, None], kept] = 0.5 * (covariance + np.swapaxes(covariance, -1, -2))
    return whole
