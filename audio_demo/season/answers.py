"""How a made-up learner answers: guessing, hearing and lapsing, as in F. A. Wichmann & N. J. Hill (2001).

Each field is heard or guessed: heard with a chance that grows with the size beside the learner's threshold
(a logistic function of the logarithm of their ratio), guessed evenly otherwise, so that a field of m options
is answered right with the chance ``1/m + (1 - 1/m) F``. A guess of ordered options falls near the truth. The
slope, the lapse and the advantage of directions are assumptions of this demo, not measured on people.
"""

import math
from collections.abc import Sequence

import numpy as np
from numpy.random import Generator

from trainer.practice.exercise import Question
from trainer.practice.fields import AmountField, BandField, DirectionField, Field, OptionField
from trainer.practice.values import Answer, Simple, Value

SLOPE = 3.0
LAPSE = 0.03
DIRECTION_EASIER = 0.5
"""By how much of the logarithm of size a direction is heard sooner than a band."""
TARGET = 0.75
"""What share is named right at the threshold."""
NEIGHBOUR_REACH = 1.2
"""Over how many steps the chance of a wrong ordered answer falls to 1/e."""


def logistic(u: float) -> float:
    """Return the logistic function."""
    return 1.0 / (1.0 + math.exp(-u))


def right_share(ease: float, options: int, *, slope: float = SLOPE) -> float:
    """Return how often one field of so many options is right at an ease (ln of size over threshold)."""
    return 1.0 / options + (1.0 - 1.0 / options) * logistic(slope * ease)


def named_share(ease: float, *, bands: int = 10) -> float:
    """Return how often band and direction are both right, the lapses included."""
    both = right_share(ease, bands) * right_share(ease + DIRECTION_EASIER, 2)
    return (1.0 - LAPSE) * both + LAPSE / (2 * bands)


def ease_at_threshold(*, bands: int = 10) -> float:
    """Return the ease at which band and direction are right in 75 %: sizes are measured from there."""
    low, high = -5.0, 5.0
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (low, middle) if named_share(middle, bands=bands) >= TARGET else (middle, high)
    return high


AT_THRESHOLD = ease_at_threshold()


def answer(
    question: Question, right: Answer, *, threshold: float, says_up: float, rng: Generator
) -> dict[str, Value]:
    """Return what a learner answers.

    Parameters
    ----------
    threshold
        Their T75 for this question, in the unit of its size.
    says_up
        How often they say the first direction when they do not hear which it is.
    """
    fields = [_with_options(field) for field in question.fields]
    if rng.random() < LAPSE:
        return {field.key: _evenly(field.options, rng) for field in fields}
    ease = AT_THRESHOLD + math.log(question.size / threshold)
    return {
        field.key: _answered(field, field.checked(right[field.key]), ease=ease, says_up=says_up, rng=rng)
        for field in fields
    }


def _with_options(field: Field) -> OptionField:
    """Return a field of this demo's exercises, all of which have options."""
    if not isinstance(field, OptionField):
        raise TypeError(f"a made-up learner picks from options, and the field {field.key!r} has none")
    return field


def _answered(field: OptionField, right: Simple, *, ease: float, says_up: float, rng: Generator) -> Simple:
    if isinstance(field, DirectionField):
        heard = rng.random() < logistic(SLOPE * (ease + DIRECTION_EASIER))
        return right if heard else field.options[int(rng.random() >= says_up)]
    if rng.random() < right_share(ease + _head_start(field), len(field.options)):
        return right
    wrong = [option for option in field.options if option != right]
    if isinstance(field, BandField | AmountField):
        return _near(right, wrong, field.options, rng)
    return _evenly(wrong, rng)


def _head_start(field: OptionField) -> float:
    """Return by how much sooner a field is heard than a band: an amount or a pace once one knows where."""
    return 0.0 if isinstance(field, BandField) or field.key == "which" else DIRECTION_EASIER


def _near(right: Simple, wrong: Sequence[Simple], order: Sequence[Simple], rng: Generator) -> Simple:
    """Return a wrong answer, the nearer to the truth the likelier."""
    place = order.index(right)
    off = np.array([abs(order.index(option) - place) for option in wrong])
    weights = np.exp(-off / NEIGHBOUR_REACH)
    return wrong[int(rng.choice(len(wrong), p=weights / weights.sum()))]


def _evenly(options: Sequence[Simple], rng: Generator) -> Simple:
    return options[int(rng.integers(len(options)))]
