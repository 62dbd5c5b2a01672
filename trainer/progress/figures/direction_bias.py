"""Direction bias: what the learner says in doubt, boost (up) or cut (down), as signal detection has it."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist

from trainer.practice.attempt import Attempt
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
    """Return the bias between two directions; giving up names neither and is left out.

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
    first, second = (_said(attempts, true=true, labels=labels) for true in labels)
    fewest = min(len(first), len(second))
    if fewest < FEWEST_EACH_WAY:
        return TooFew(fewest, FEWEST_EACH_WAY)
    hits, false_alarms = _Share.of(first, labels[0]), _Share.of(second, labels[0])
    criterion = -0.5 * (hits.deviate + false_alarms.deviate)
    half = normal_deviate(confidence) * 0.5 * math.sqrt(hits.variance + false_alarms.variance)
    interval = Interval(criterion - half, criterion + half)
    leaning = None if interval.holds(0.0) else labels[criterion > 0.0]
    return DirectionBias(criterion, interval, leaning)


@dataclass(frozen=True, slots=True)
class _Share:
    """A share of answers on the scale of normal deviates, with its variance there."""

    deviate: float
    variance: float

    @classmethod
    def of(cls, said: Sequence[str], label: str) -> "_Share":
        share = (said.count(label) + 0.5) / (len(said) + 1.0)
        deviate = NormalDist().inv_cdf(share)
        slope = NormalDist().pdf(deviate)
        return cls(deviate, share * (1.0 - share) / (len(said) * slope * slope))


def _said(attempts: Sequence[Attempt], *, true: str, labels: tuple[str, str]) -> list[str]:
    said = (a.given_answer.get("direction") for a in attempts if a.right_answer.get("direction") == true)
    return [str(direction) for direction in said if direction in labels]
