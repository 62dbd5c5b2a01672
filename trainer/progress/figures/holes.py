"""Holes: octave bands in which a learner needs much larger changes than in the others."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from trainer.practice.band_scale import OCTAVE_SCALE
from trainer.progress.figures.improvement import chance_below_0, claimed
from trainer.progress.figures.intervals import CONFIDENCE, Interval, normal_deviate
from trainer.progress.thresholds.belief import BANDS, COUNT, Belief

LEAST_RATIO = 1.25
"""How much larger it must be to be worth a remark."""
FEWEST_ANSWERS = 12
"""Answers in the band, before anything is said of it."""


@dataclass(frozen=True, slots=True)
class Hole:
    """A band, T75 there over the (geometric) mean of the other bands, and the chance that it is a hole at all."""

    band_hz: float
    ratio: float
    interval: Interval
    chance: float


def holes_of(
    belief: Belief, answers: Mapping[float, float], *, confidence: float = CONFIDENCE
) -> tuple[Hole, ...]:
    """Return the holes that may be told of, the deepest first: on average at most one in twenty is none.

    Parameters
    ----------
    belief
        Of one learner.
    answers
        How many answers there were in each band, nominal hertz to sum of weights.
    """
    beside_others = np.eye(COUNT) - (1.0 - np.eye(COUNT)) / (COUNT - 1)
    means = beside_others @ belief.mean[BANDS]
    covariance = beside_others @ belief.covariance[BANDS, BANDS] @ beside_others.T
    deviations = np.sqrt(np.diagonal(covariance))
    chances = 1.0 - chance_below_0(means - np.log(LEAST_RATIO), deviations)
    enough = np.array(
        [answers.get(band_hz, 0.0) >= FEWEST_ANSWERS - 1e-6 for band_hz in OCTAVE_SCALE.names_hz]
    )
    told = claimed(np.where(enough, chances, 0.0))
    half = normal_deviate(confidence) * deviations
    found = [
        Hole(
            OCTAVE_SCALE.names_hz[place],
            float(np.exp(means[place])),
            Interval(float(np.exp(means[place] - half[place])), float(np.exp(means[place] + half[place]))),
            float(chances[place]),
        )
        for place in np.flatnonzero(told)
    ]
    return tuple(sorted(found, key=lambda hole: -hole.ratio))
