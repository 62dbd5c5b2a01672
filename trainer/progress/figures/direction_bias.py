"""Direction bias: what the learner says in doubt, boost (up) or cut (down), as signal detection has it."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist

from trainer.practice.attempt import Attempt
from trainer.practice.evidence import DIRECTION
from trainer.progress.figures.confusions import confusions
from trainer.progress.figures.intervals import CONFIDENCE, Interval, TooFew, normal_deviate

FEWEST_EACH_WAY = 60
LABELS = (("boost", "cut"), ("up", "down"))
"""The words for the two directions, in every exercise that asks for one."""


@dataclass(frozen=True, slots=True)
class DirectionBias:
    """The criterion c of signal detection, its interval, and what it leans to.

    Attributes
    ----------
    criterion
        Above 0 the learner says the first direction too seldom, below 0 too often.
    leans_to
        The direction said too often; None unless the interval excludes 0, and then there is nothing to say.
    """

    criterion: float
    interval: Interval
    leans_to: str | None


def direction_bias(
    attempts: Sequence[Attempt], *, labels: tuple[str, str] = LABELS[0], confidence: float = CONFIDENCE
) -> DirectionBias | TooFew:
    """Return the bias between two directions; giving up names neither and is left out."""
    said = confusions(attempts, of=DIRECTION, keys=labels)
    return direction_bias_of(said.counts, labels=labels, confidence=confidence)


def direction_bias_of(
    counts: Sequence[Sequence[int]],
    *,
    labels: tuple[str, str] = LABELS[0],
    confidence: float = CONFIDENCE,
) -> DirectionBias | TooFew:
    """Return the bias of how often each direction (a row) was said to be each (a column).

    Notes
    -----
    ``c = -½ [z(H) + z(F)]`` with H and F the shares of the first direction said where it was true and where
    it was not, each with ½ added to its count and 1 to its number. Their variances are those of Gourevitch &
    Galanter (1967).

    References
    ----------
    Macmillan & Creelman, Detection Theory (criterion c); Hautus, Behavior Research Methods 27 (1995), the
    log-linear rule. From memory.
    """
    (hits, misses), (alarms, rejections) = counts
    fewest = min(hits + misses, alarms + rejections)
    if fewest < FEWEST_EACH_WAY:
        return TooFew(fewest, FEWEST_EACH_WAY)
    hit, false_alarm = _Share.of(hits, hits + misses), _Share.of(alarms, alarms + rejections)
    criterion = -0.5 * (hit.deviate + false_alarm.deviate)
    half = normal_deviate(confidence) * 0.5 * math.sqrt(hit.variance + false_alarm.variance)
    interval = Interval(criterion - half, criterion + half)
    leaning = None if interval.holds(0.0) else labels[criterion > 0.0]
    return DirectionBias(criterion, interval, leaning)


@dataclass(frozen=True, slots=True)
class _Share:
    """A share of answers on the scale of normal deviates, with its variance there."""

    deviate: float
    variance: float

    @classmethod
    def of(cls, count: int, whole: int) -> "_Share":
        share = (count + 0.5) / (whole + 1.0)
        deviate = NormalDist().inv_cdf(share)
        slope = NormalDist().pdf(deviate)
        return cls(deviate, share * (1.0 - share) / (whole * slope * slope))
