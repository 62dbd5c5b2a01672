"""How a learner answers: the chance of a right answer for a size, as in F. A. Wichmann & N. J. Hill (2001).

A size is measured by its *ease*: the natural logarithm of the size over the learner's T75, shifted so that at
ease ``EASE_75`` band and direction are named right three times in four. Each field of the answer is heard, or
guessed evenly among what is on offer; a share of answers are lapses. Slope and lapse are set, not fitted to
the learner: assumed too shallow, intervals are a little too wide; assumed too steep, they would promise too
much.
"""

from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

SLOPE = 2.7
"""How steeply hearing rises with the logarithm of the size."""
LAPSE = 0.03
"""The share of answers that have nothing to do with what was heard."""
OTHERS_EASIER = 0.5
"""By how much of the logarithm of size the direction is heard sooner than the band."""
REFERENCE = (10, 2)
"""The question T75 is defined on: one of ten octave bands, boost or cut."""
NAMED = 0.75
"""How often the smallest change one can name is named."""

Floats = NDArray[np.float64]
Options = tuple[float | Floats, ...]
"""How many answers were on offer, field by field, the hardest first; arrays where learners differ."""


def logistic(u: Any) -> Any:
    """Return ``1 / (1 + exp(-u))`` without overflow."""
    return 0.5 + 0.5 * np.tanh(0.5 * u)


def chance_right(
    ease: Any, *, options: Options = REFERENCE, slope: float = SLOPE, lapse: float = LAPSE
) -> Any:
    """Return the chance that every field is right.

    Parameters
    ----------
    ease
        ``ln(size / T75) + EASE_75``, any shape.
    options
        How many answers each field offers; the first is what was changed, the others are heard sooner.
    slope, lapse
        Of the learner.

    Notes
    -----
    ``(1 - lapse) Π p_i + lapse / Π m_i`` with ``p_i = 1/m_i + (1 - 1/m_i) F(slope (ease + shift_i))``.
    """
    heard: Any = 1.0
    guessed: Any = 1.0
    for place, count in enumerate(options):
        shift = OTHERS_EASIER if place else 0.0
        heard = heard * (1.0 / count + (1.0 - 1.0 / count) * logistic(slope * (ease + shift)))
        guessed = guessed / count
    return (1.0 - lapse) * heard + lapse * guessed


@lru_cache(maxsize=64)
def ease_of(chance: float, *, slope: float = SLOPE, lapse: float = LAPSE) -> float:
    """Return the ease at which the reference question is answered right with this chance.

    Raises
    ------
    ValueError
        If no ease gives it.
    """
    low, high = -20.0, 20.0
    if (
        not chance_right(low, slope=slope, lapse=lapse)
        < chance
        < chance_right(high, slope=slope, lapse=lapse)
    ):
        raise ValueError(f"no size is named right with a chance of {chance}: guessing and lapses bound it")
    for _ in range(60):
        middle = 0.5 * (low + high)
        is_enough = chance_right(middle, slope=slope, lapse=lapse) >= chance
        low, high = (low, middle) if is_enough else (middle, high)
    return high


EASE_75 = ease_of(NAMED)
"""The ease of a size of exactly T75."""
