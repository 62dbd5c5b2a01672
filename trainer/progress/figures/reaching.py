"""Reaching an aim: the chance that T75 is as small as what is aimed at, and what can be said of it."""

from collections.abc import Sequence
from typing import Literal

import numpy as np

from trainer.progress.figures.improvement import chance_below_0
from trainer.progress.thresholds.belief import BANDS, Belief

ON_TRACK, BEHIND = 0.9, 0.1
"""So likely an aim must be reached to be said reached, and so unlikely to be said missed."""

Standing = Literal["on track", "behind", "too close to tell"]


def chances_reached(belief: Belief, aims_db: Sequence[float]) -> tuple[float, ...]:
    """Return, octave band by octave band, the chance that T75 is at most what is aimed at."""
    gaps = belief.mean[BANDS] - np.log(np.asarray(aims_db, dtype=np.float64))
    deviations = np.sqrt(np.diagonal(belief.covariance)[BANDS])
    return tuple(map(float, chance_below_0(gaps, deviations)))


def standing_of(chance: float) -> Standing:
    """Return what can be said of an aim that is reached with such a chance."""
    if chance >= ON_TRACK:
        return "on track"
    return "behind" if chance <= BEHIND else "too close to tell"
