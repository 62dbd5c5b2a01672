"""Whether an ear improved since week 1: the smallest changes named now against those then, said with its chance.

"Smaller at these bands" names the largest set of bands of which, on average, at most one in twenty is named
wrongly (the expected false discovery rate: Y. Benjamini & Y. Hochberg, Journal of the Royal Statistical Society
B 57, 1995, in its Bayesian form). "Larger" is said by the same rule. Before there is enough to tell from,
nothing is claimed.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from trainer.practice.band_scale import OCTAVE_SCALE
from trainer.progress.figures.intervals import CONFIDENCE, Interval, normal_deviate
from trainer.progress.thresholds.belief import BANDS, COUNT, WEEK_1, Belief

Floats = NDArray[np.float64]

FEWEST_DAYS = 14
"""Before so many days since the start it is too early to tell."""
FEWEST_IN_WEEK_1 = 100
FEWEST_SINCE = 12
"""Answers in a band since week 1."""
SURE = 0.95


@dataclass(frozen=True, slots=True)
class Change:
    """How T75 changed since week 1.

    Attributes
    ----------
    chance
        That it is smaller now.
    ratio, interval
        T75 now over T75 then: 0.7 is 30 % smaller.
    """

    chance: float
    ratio: float
    interval: Interval


@dataclass(frozen=True, slots=True)
class BandChange:
    """How T75 changed in one octave band; ``is_told`` where there are enough answers to tell."""

    band_hz: float
    change: Change
    then_db: float
    now_db: float
    is_told: bool


@dataclass(frozen=True, slots=True)
class TooEarly:
    """Too early to tell: how many days and how many answers in week 1 are missing."""

    days_missing: int
    answers_missing: int


@dataclass(frozen=True, slots=True)
class Improvement:
    """What changed since week 1: overall (the mean of the bands), in each band, and where it may be claimed."""

    overall: Change
    bands: tuple[BandChange, ...]
    smaller_hz: tuple[float, ...]
    larger_hz: tuple[float, ...]

    @property
    def is_smaller(self) -> bool:
        """Whether it may be said that the smallest changes are smaller on the whole."""
        return self.overall.chance > SURE

    @property
    def is_larger(self) -> bool:
        """Whether it may be said that they are larger on the whole."""
        return self.overall.chance < 1.0 - SURE


def improvement_of(
    belief: Belief,
    *,
    days: int,
    in_week_1: float,
    since: Sequence[float],
    confidence: float = CONFIDENCE,
) -> Improvement | TooEarly:
    """Return what changed since week 1.

    Parameters
    ----------
    belief
        Of one learner, with its copy of week 1.
    days
        How many days the learner has been at it.
    in_week_1
        How many answers there were in week 1.
    since
        How many answers there were since, in each of the ten bands.
    """
    if days < FEWEST_DAYS or in_week_1 < FEWEST_IN_WEEK_1:
        return TooEarly(max(0, FEWEST_DAYS - days), max(0, int(np.ceil(FEWEST_IN_WEEK_1 - in_week_1 - 1e-6))))
    means, covariance = since_week_1(belief)
    told = np.array([answers >= FEWEST_SINCE - 1e-6 for answers in since])
    chances = chance_below_0(means, np.sqrt(np.diagonal(covariance)))
    even = np.full(COUNT, 1.0 / COUNT)
    changes = [
        _change(float(means[place]), float(np.sqrt(covariance[place, place])), confidence)
        for place in range(COUNT)
    ]
    now, then = np.exp(belief.mean[BANDS]), np.exp(belief.mean[WEEK_1])
    return Improvement(
        overall=_change(float(even @ means), float(np.sqrt(even @ covariance @ even)), confidence),
        bands=tuple(
            BandChange(band_hz, changes[place], float(then[place]), float(now[place]), bool(told[place]))
            for place, band_hz in enumerate(OCTAVE_SCALE.names_hz)
        ),
        smaller_hz=_bands(claimed(np.where(told, chances, 0.0))),
        larger_hz=_bands(claimed(np.where(told, 1.0 - chances, 0.0))),
    )


def since_week_1(belief: Belief) -> tuple[Floats, Floats]:
    """Return mean ``(..., 10)`` and covariance ``(..., 10, 10)`` of ln T75 now less ln T75 in week 1."""
    covariance = belief.covariance
    between = covariance[..., BANDS, WEEK_1]
    both = covariance[..., BANDS, BANDS] + covariance[..., WEEK_1, WEEK_1]
    return (
        belief.mean[..., BANDS] - belief.mean[..., WEEK_1],
        both - between - np.swapaxes(between, -1, -2),
    )


def chance_below_0(means: Floats, deviations: Floats) -> Floats:
    """Return the chance of normal values to be below 0."""
    normal = NormalDist()
    scores = np.asarray(means / np.maximum(deviations, 1e-12))
    chances: Floats = np.vectorize(normal.cdf, otypes=[float])(-scores)
    return chances


def claimed(chances: Floats, *, wrong_share: float = 1.0 - SURE) -> NDArray[np.bool_]:
    """Return which of some statements to make: the most that are wrong in a ``wrong_share`` on average.

    Parameters
    ----------
    chances
        The chance of each to be true, ``(..., n)``.
    """
    order = np.argsort(-chances, axis=-1)
    wrong = np.take_along_axis(1.0 - chances, order, axis=-1)
    means = np.cumsum(wrong, axis=-1) / np.arange(1, chances.shape[-1] + 1)
    made = np.zeros(chances.shape, dtype=bool)
    np.put_along_axis(made, order, means <= wrong_share, axis=-1)
    return made


def _change(mean: float, deviation: float, confidence: float) -> Change:
    half = normal_deviate(confidence) * deviation
    chance = float(chance_below_0(np.asarray(mean), np.asarray(deviation)))
    low, ratio, high = (float(np.exp(mean + side)) for side in (-half, 0.0, half))
    return Change(chance, ratio, Interval(low, high))


def _bands(made: NDArray[np.bool_]) -> tuple[float, ...]:
    return tuple(band_hz for band_hz, is_made in zip(OCTAVE_SCALE.names_hz, made, strict=True) if is_made)
