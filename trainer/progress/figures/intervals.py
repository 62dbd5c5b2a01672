"""Intervals for a share of right answers (Wilson 1927; Brown, Cai & DasGupta 2001), and "too few yet"."""

import math
from dataclasses import dataclass
from statistics import NormalDist

CONFIDENCE = 0.90
"""The confidence of every interval shown: nine in ten of them hold the true value."""


@dataclass(frozen=True, slots=True)
class Interval:
    """From ``low`` to ``high``."""

    low: float
    high: float

    def holds(self, value: float) -> bool:
        """Say whether a value lies in it."""
        return self.low <= value <= self.high


@dataclass(frozen=True, slots=True)
class Estimate:
    """A figure, its interval, and how many answers it rests on."""

    value: float
    interval: Interval
    count: float


@dataclass(frozen=True, slots=True)
class TooFew:
    """No figure yet: how many answers there are, and how many it takes."""

    count: float
    needed: int

    @property
    def missing(self) -> int:
        """How many answers are still to come."""
        return max(0, math.ceil(self.needed - self.count))


def normal_deviate(confidence: float) -> float:
    """Return the z that a normal value stays within, either side, with this confidence."""
    if not 0.0 < confidence < 1.0:
        raise ValueError(
            f"a confidence lies between 0 and 1, not at {confidence}; did you mean {confidence / 100}?"
        )
    return NormalDist().inv_cdf(0.5 + confidence / 2.0)


def wilson(right: float, asked: float, *, confidence: float = CONFIDENCE) -> Interval:
    """Return Wilson's score interval for the share of right answers.

    Parameters
    ----------
    right, asked
        Counts; they may be sums of weights, and so not whole.
    confidence
        Between 0 and 1.

    Returns
    -------
    Interval
        From 0 to 1 where nothing was asked.

    Notes
    -----
    ``(p + z²/2n ± z √(p(1-p)/n + z²/4n²)) / (1 + z²/n)``.

    References
    ----------
    Newcombe, Statistics in Medicine 17 (1998), method 3.
    """
    z = normal_deviate(confidence)
    if asked <= 0.0:
        return Interval(0.0, 1.0)
    share = _share(right, asked)
    centre = share + z * z / (2.0 * asked)
    half = z * math.sqrt(share * (1.0 - share) / asked + z * z / (4.0 * asked * asked))
    whole = 1.0 + z * z / asked
    low = 0.0 if right <= 0.0 else (centre - half) / whole
    high = 1.0 if right >= asked else (centre + half) / whole
    return Interval(low, high)


def jeffreys(right: float, asked: float, *, confidence: float = CONFIDENCE) -> Interval:
    """Return the modified equal-tailed Jeffreys interval for the share of right answers.

    Notes
    -----
    The quantiles of Beta(right + ½, wrong + ½); with at most one right answer it begins at 0, with at most
    one wrong one it ends at 1, and with none it ends (begins) where the exact interval does.

    References
    ----------
    Brown, Cai & DasGupta, Statistical Science 16 (2001), sections 3.1.2 and 4.1.2.
    """
    tail = (1.0 - confidence) / 2.0
    normal_deviate(confidence)
    if asked <= 0.0:
        return Interval(0.0, 1.0)
    _share(right, asked)
    wrong = asked - right
    return Interval(
        low=_jeffreys_low(right, wrong, tail=tail), high=1.0 - _jeffreys_low(wrong, right, tail=tail)
    )


def _jeffreys_low(hits: float, others: float, *, tail: float) -> float:
    if others <= 0.0:
        return float(tail ** (1.0 / hits))
    from scipy.special import betaincinv

    return 0.0 if hits <= 1.0 else float(betaincinv(hits + 0.5, others + 0.5, tail))


def _share(right: float, asked: float) -> float:
    if not 0.0 <= right <= asked:
        raise ValueError(f"of {asked} answers between none and all are right, not {right}")
    return right / asked
