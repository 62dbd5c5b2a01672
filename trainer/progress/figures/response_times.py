"""Response times: how long right answers take; described only, never part of a score."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from trainer.practice.attempt import Attempt
from trainer.progress.figures.bands import FEWEST
from trainer.progress.figures.intervals import TooFew

LONGEST_S = 60.0
"""Longer answers are left out: somebody came in."""


@dataclass(frozen=True, slots=True)
class ResponseTimes:
    """The median and the quartiles, and how many answers they rest on."""

    median_s: float
    lower_quartile_s: float
    upper_quartile_s: float
    count: int


def response_times(attempts: Sequence[Attempt]) -> ResponseTimes | TooFew:
    """Return the response times of the right answers, their quantiles taken on a logarithmic scale."""
    times_s = [a.response_s for a in attempts if a.right and 0.0 < a.response_s <= LONGEST_S]
    if len(times_s) < FEWEST:
        return TooFew(len(times_s), FEWEST)
    lower, median, upper = np.exp(np.quantile(np.log(times_s), (0.25, 0.5, 0.75)))
    return ResponseTimes(float(median), float(lower), float(upper), len(times_s))
