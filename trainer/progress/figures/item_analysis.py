"""Item analysis: how hard each item of a quiz was, and whether it goes with the rest; what is odd about it in words."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from trainer.progress.figures.intervals import CONFIDENCE, Estimate, normal_deviate, wilson

POOR = 0.2
"""Below this an item discriminates poorly (R. L. Ebel, from memory)."""
FEWEST_TO_FLAG = 10
"""Of fewer learners nothing is said of an item."""

Matrix = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class ItemFigure:
    """How one item did.

    Attributes
    ----------
    difficulty
        The share of learners that had it wholly right, with Wilson's interval.
    mean_credit
        The mean of what it was worth.
    discrimination
        The correlation of its credits with the sum of the others'; None where either is alike for all.
    flag
        What is odd about it; empty where nothing is.
    """

    difficulty: Estimate
    mean_credit: float
    discrimination: float | None
    flag: str


def item_figures(worth: ArrayLike, rights: ArrayLike) -> tuple[ItemFigure, ...]:
    """Return the figures of each item.

    Parameters
    ----------
    worth, rights
        What each item was worth, and whether it was wholly right: a row a learner, a column an item.
    """
    credit, right = np.asarray(worth, dtype=np.float64), np.asarray(rights, dtype=np.float64)
    learners, items = credit.shape
    together = item_rest_correlations(credit)
    return tuple(
        _figure(credit[:, place], right[:, place], together[place], learners) for place in range(items)
    )


def item_rest_correlations(worth: ArrayLike) -> tuple[float | None, ...]:
    """Return each item's correlation with the sum of the other items (corrected item-total correlation)."""
    table: Matrix = np.asarray(worth, dtype=np.float64)
    whole = table.sum(axis=1)
    return tuple(_correlation(item, whole - item) for item in table.T)


def highest_correlation(found: float, learners: int, *, confidence: float = CONFIDENCE) -> float:
    """Return the upper end of a correlation's interval.

    References
    ----------
    R. A. Fisher, Metron 1, 1921 (from memory): the inverse hyperbolic tangent of a correlation is nearly normal,
    its variance 1 / (n - 3).
    """
    if learners <= 3 or abs(found) >= 1.0:
        return 1.0 if found > -1.0 else -1.0
    return math.tanh(math.atanh(found) + normal_deviate(confidence) / math.sqrt(learners - 3))


def _correlation(one: Matrix, other: Matrix) -> float | None:
    if len(one) < 3 or np.ptp(one) < 1e-12 or np.ptp(other) < 1e-12:
        return None
    return float(np.corrcoef(one, other)[0, 1])


def _figure(worth: Matrix, right: Matrix, together: float | None, learners: int) -> ItemFigure:
    count = float(right.sum())
    share = count / learners if learners else 0.0
    return ItemFigure(
        difficulty=Estimate(share, wilson(count, learners), learners),
        mean_credit=float(worth.mean()) if learners else 0.0,
        discrimination=together,
        flag=_flag(count, together, learners),
    )


def _flag(right: float, together: float | None, learners: int) -> str:
    """Return what is odd; of a correlation only what is sure: among thirty good items some are low by chance."""
    if learners < FEWEST_TO_FLAG:
        return ""
    highest = 1.0 if together is None else highest_correlation(together, learners)
    if highest < 0.0:
        return "better ears did worse on it"
    if right == 0.0:
        return "nobody had it right"
    if right == learners:
        return "everybody had it right"
    return "hardly goes with the rest" if highest < POOR else ""
