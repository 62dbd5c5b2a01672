"""Reliability of a quiz: KR-20 (Kuder & Richardson 1937), Cronbach's alpha (1951), and what a score is good to.

Matrices have a row a learner and a column an item; all learners answered all items.
"""

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from trainer.progress.figures.intervals import CONFIDENCE, Interval

FEWEST_LEARNERS = 3
FEWEST_ITEMS = 2

Matrix = NDArray[np.float64]


def kr20(rights: ArrayLike) -> float | None:
    """Return KR-20 of answers that are right (1) or wrong (0); None where it cannot be told.

    Notes
    -----
    k / (k - 1) * (1 - sum(p q) / variance of the totals), the variance with n in its denominator as in p q: it
    is Cronbach's alpha of noughts and ones.
    """
    return cronbach_alpha(rights)


def cronbach_alpha(worth: ArrayLike) -> float | None:
    """Return Cronbach's alpha of the items' credits; None where it cannot be told.

    It cannot be told of fewer than three learners or two items, or where all totals are alike.

    Notes
    -----
    k / (k - 1) * (1 - sum of the items' variances / variance of the totals); n or n - 1 cancel out.
    """
    table: Matrix = np.asarray(worth, dtype=np.float64)
    learners, items = table.shape
    if learners < FEWEST_LEARNERS or items < FEWEST_ITEMS:
        return None
    whole = float(np.var(table.sum(axis=1)))
    if whole <= 1e-12:
        return None
    alpha: float = items / (items - 1) * (1.0 - float(np.sum(np.var(table, axis=0))) / whole)
    return alpha


def alpha_interval(alpha: float, *, learners: int, items: int, confidence: float = CONFIDENCE) -> Interval:
    """Return the interval of a Cronbach's alpha by Feldt.

    References
    ----------
    L. S. Feldt, The approximate sampling distribution of Kuder-Richardson reliability coefficient twenty,
    Psychometrika 30, 1965: (1 - alpha) / (1 - its estimate) follows F with n - 1 and (n - 1)(k - 1) degrees
    of freedom.
    """
    from scipy.stats import f

    below, above = learners - 1, (learners - 1) * (items - 1)
    tail = (1.0 - confidence) / 2.0
    low = 1.0 - (1.0 - alpha) * float(f.ppf(1.0 - tail, below, above))
    high = 1.0 - (1.0 - alpha) * float(f.ppf(tail, below, above))
    return Interval(low, high)


def standard_error(deviation: float, alpha: float) -> float:
    """Return what a score is good to, give or take: the scores' deviation times the root of 1 - alpha."""
    return deviation * math.sqrt(max(0.0, 1.0 - alpha))
