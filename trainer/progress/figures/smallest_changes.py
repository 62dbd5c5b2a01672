"""The smallest change a learner can name, octave band by octave band, and how often they name one of 6 dB."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from trainer.practice.band_scale import OCTAVE_SCALE
from trainer.progress.figures.intervals import CONFIDENCE, Estimate, Interval, normal_deviate
from trainer.progress.thresholds.belief import BANDS, WEEK_1, Belief, t75_of
from trainer.progress.thresholds.hearing import EASE_75, chance_right

FEWEST_ANSWERS = 20
"""Below so many answers in all, what is known is mostly what is known of anybody: too early to tell."""
FEWEST_IN_BAND = 2
LARGEST_DB = 15.0
"""The largest change that is ever asked; a T75 beyond it is told as "more than"."""
ASKED_DB = 6.0

_NODES = np.linspace(-4.0, 4.0, 33)
_WEIGHTS = np.exp(-0.5 * np.square(_NODES)) / np.sum(np.exp(-0.5 * np.square(_NODES)))


@dataclass(frozen=True, slots=True)
class SmallestChange:
    """One octave band: the boost or cut, in the mix, that is named right three times in four (T75).

    Attributes
    ----------
    answers
        How many answers there were in the band (a sum of weights).
    missing
        How many answers are still to come before it is told; 0 where it is not too early.
    t75_db, interval
        The median of what is believed, and its interval; from the first answer on, so mind ``missing``.
    week_1_db
        What it was at the end of week 1, as that looks now; None during week 1.
    at_6_db
        How often a change of 6 dB is named.
    """

    band_hz: float
    answers: float
    missing: int
    t75_db: float
    interval: Interval
    week_1_db: float | None
    at_6_db: Estimate

    @property
    def is_early(self) -> bool:
        """Whether it is too early to tell."""
        return self.missing > 0

    @property
    def is_beyond(self) -> bool:
        """Whether it is likelier than not larger than anything that is asked."""
        return self.t75_db > LARGEST_DB


def smallest_changes(
    belief: Belief,
    answers: Mapping[float, float],
    *,
    has_week_1: bool = False,
    confidence: float = CONFIDENCE,
) -> tuple[SmallestChange, ...]:
    """Return the smallest changes of all ten octave bands, low to high.

    Parameters
    ----------
    belief
        Of one learner.
    answers
        How many answers there were in each band, nominal hertz to sum of weights.
    has_week_1
        Whether the belief holds a copy of week 1.
    """
    medians, lows, highs = t75_of(belief, confidence=confidence)
    first = np.exp(belief.mean[WEEK_1])
    named = named_at(belief, ASKED_DB, confidence=confidence)
    whole = sum(answers.values())
    return tuple(
        SmallestChange(
            band_hz=band_hz,
            answers=answers.get(band_hz, 0.0),
            missing=_missing(whole, answers.get(band_hz, 0.0)),
            t75_db=float(medians[place]),
            interval=Interval(float(lows[place]), float(highs[place])),
            week_1_db=float(first[place]) if has_week_1 else None,
            at_6_db=Estimate(named[place][0], Interval(*named[place][1:]), answers.get(band_hz, 0.0)),
        )
        for place, band_hz in enumerate(OCTAVE_SCALE.names_hz)
    )


def _missing(whole: float, here: float) -> int:
    """Return how many answers are missing; to the next whole one, but for the dust of adding weights."""
    lacking = max(FEWEST_ANSWERS - whole, FEWEST_IN_BAND - here, 0.0)
    return int(np.ceil(lacking - 1e-6))


def named_at(
    belief: Belief, size_db: float, *, confidence: float = CONFIDENCE
) -> list[tuple[float, float, float]]:
    """Return how often a change of a size is named in each band: the expectation, and the interval's ends.

    The expectation is taken over what is believed of T75; the ends are those of T75's own interval.
    """
    middles = belief.mean[BANDS]
    spreads = np.sqrt(np.diagonal(belief.covariance)[BANDS])
    ease = np.log(size_db) - middles + EASE_75
    expected = chance_right(ease[:, None] + spreads[:, None] * _NODES) @ _WEIGHTS
    half = normal_deviate(confidence) * spreads
    low, high = chance_right(ease - half), chance_right(ease + half)
    return [(float(e), float(a), float(b)) for e, a, b in zip(expected, low, high, strict=True)]
