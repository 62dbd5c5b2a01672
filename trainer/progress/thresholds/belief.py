"""What is believed of a learner's thresholds: a normal distribution, moved by days and by answers.

The state of one learner, natural logarithms of decibels throughout:

====================  =====================================================================================
``BANDS`` (0 to 9)    ln T75 of the ten octave bands, low to high: octave tone, in the mix
``CUT`` (10)          how much harder a cut is than a boost
``PACE`` (11)         by how much all bands change in a day; it fades, as learning does
``WEEK_1`` (12-21)    the bands as they were at the end of the first week (0 before)
``APART`` (22)        how much harder all other kinds of question are than octave tone in the mix
23 and on             what each of those kinds is harder still
====================  =====================================================================================

Bands hang together, so an answer at 1 kHz also says something of 500 Hz; the week-1 copy hangs on all that
comes later, so that "smaller than in week 1" has its exact chance. Every function takes states of any
leading shape ``(..., D)``: one learner, or hundreds at once.

Each answer is taken in exactly along the one direction it tells of, by quadrature (41 nodes). Widths and
drifts were set by simulation (`yardline bench thresholds`).
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from trainer.progress.figures.intervals import CONFIDENCE, normal_deviate
from trainer.progress.thresholds.hearing import LAPSE, NAMED, REFERENCE, SLOPE, Options, chance_right, ease_of

Floats = NDArray[np.float64]

COUNT = 10
BANDS = slice(0, COUNT)
CUT = 10
PACE = 11
WEEK_1 = slice(12, 22)
APART = 22
KINDS = 23

FIRST_T75_DB = 8.0
"""What is believed of somebody who was never heard."""
CUT_SD = 0.2
APART_SD = 0.25
KIND_SD = 0.2
PACE_SD = 0.015
PACE_LEFT = 0.97
"""What is left of the pace after a day: a tenth after 76 days."""
PACE_DRIFT_SD = 0.0015
EQUIPMENT_SD = 0.15
"""How far other headphones or loudspeakers may move all bands."""


def _alike(*, common: float, shared: float, own: float) -> Floats:
    """Return a covariance of the bands: a part of all, one of neighbours (1.5 octaves), one of each alone."""
    apart = np.subtract.outer(np.arange(COUNT), np.arange(COUNT))
    neighbours = np.exp(-0.5 * np.square(apart / 1.5))
    covariance: Floats = common**2 + shared**2 * neighbours + own**2 * np.eye(COUNT)
    return covariance


FIRST = _alike(common=0.35, shared=0.25, own=0.20)
"""How different learners' bands are."""
DAILY = _alike(common=0.020, shared=0.015, own=0.018)
"""How far bands wander in a day, beside the pace."""

_NODES = np.linspace(-5.0, 5.0, 41)
_MIDDLE = len(_NODES) // 2
_ONES, _SQUARES = np.ones(len(_NODES)), np.square(_NODES)
_NODE_WEIGHTS = np.exp(-0.5 * np.square(_NODES)) / np.sum(np.exp(-0.5 * np.square(_NODES)))


@dataclass(frozen=True, slots=True, eq=False)
class Belief:
    """A normal distribution of states: ``mean`` of shape ``(..., D)``, ``covariance`` ``(..., D, D)``."""

    mean: Floats
    covariance: Floats


def first_belief(*, kinds: int = 0, learners: tuple[int, ...] = ()) -> Belief:
    """Return what is believed before the first answer.

    Parameters
    ----------
    kinds
        How many kinds of question there are beside octave tone in the mix, all expected to be as hard.
    learners
        The leading shape: ``()`` for one learner.
    """
    mean = np.zeros((*learners, KINDS))
    mean[..., BANDS] = np.log(FIRST_T75_DB)
    covariance = np.zeros((*learners, KINDS, KINDS))
    covariance[..., BANDS, BANDS] = FIRST
    covariance[..., CUT, CUT] = CUT_SD**2
    covariance[..., PACE, PACE] = PACE_SD**2
    covariance[..., APART, APART] = APART_SD**2
    belief = Belief(mean, covariance)
    for _ in range(kinds):
        belief = with_kind(belief)
    return belief


def with_kind(belief: Belief, *, expected: float = 0.0) -> Belief:
    """Return the belief with one kind more, ``expected`` so much harder (a logarithm) than the reference.

    A kind met late is as if it had been there from the start: nothing was known of it.
    """
    learners, size = belief.mean.shape[:-1], belief.mean.shape[-1]
    mean = np.full((*learners, size + 1), expected)
    mean[..., :size] = belief.mean
    covariance = np.zeros((*learners, size + 1, size + 1))
    covariance[..., :size, :size] = belief.covariance
    covariance[..., size, size] = KIND_SD**2
    return Belief(mean, covariance)


def next_day(belief: Belief) -> Belief:
    """Return what is believed a day later: the bands went on at their pace, and nobody was heard."""
    mean, covariance = belief.mean.copy(), belief.covariance.copy()
    mean[..., BANDS] += mean[..., PACE, None]
    mean[..., PACE] *= PACE_LEFT
    covariance[..., BANDS, :] += covariance[..., None, PACE, :]
    covariance[..., PACE, :] *= PACE_LEFT
    covariance[..., :, BANDS] += covariance[..., :, PACE, None]
    covariance[..., :, PACE] *= PACE_LEFT
    covariance = 0.5 * (covariance + np.swapaxes(covariance, -1, -2))
    covariance[..., BANDS, BANDS] += DAILY
    covariance[..., PACE, PACE] += PACE_DRIFT_SD**2
    return Belief(mean, covariance)


def day_step(size: int) -> Floats:
    """Return the matrix that takes a state of a length to the next day's."""
    step = np.eye(size)
    step[BANDS, PACE] = 1.0
    step[PACE, PACE] = PACE_LEFT
    return step


def with_week_1(belief: Belief) -> Belief:
    """Return the belief with the bands as they are now kept as week 1; later answers still move the copy."""
    mean, covariance = belief.mean.copy(), belief.covariance.copy()
    mean[..., WEEK_1] = mean[..., BANDS]
    covariance[..., WEEK_1, :] = covariance[..., BANDS, :]
    covariance[..., :, WEEK_1] = covariance[..., :, BANDS]
    return Belief(mean, covariance)


def with_other_equipment(belief: Belief) -> Belief:
    """Return the belief after the learner changed what they listen on: all bands may have moved together."""
    covariance = belief.covariance.copy()
    covariance[..., BANDS, BANDS] += EQUIPMENT_SD**2
    return Belief(belief.mean, covariance)


def after_answer(
    belief: Belief,
    *,
    question: Floats,
    size_db: Any,
    right: Any,
    options: Options = REFERENCE,
    slope: float = SLOPE,
    lapse: float = LAPSE,
) -> Belief:
    """Return what is believed after one answer of each learner.

    Parameters
    ----------
    question
        What its T75 is made of, ``(..., D)``: see `question_on`.
    size_db
        The sizes, above 0, shape ``(...)``.
    right
        Whether all was named right, shape ``(...)``.
    options
        How many answers were on offer, field by field.

    Returns
    -------
    Belief
        Its covariance stays symmetrical to the last bit.
    """
    found, _ = taken(
        belief,
        question=question,
        log_size=np.log(size_db),
        right=right,
        options=options,
        slope=slope,
        lapse=lapse,
    )
    return found


def taken(
    belief: Belief,
    *,
    question: Floats,
    log_size: Any,
    right: Any,
    options: Options = REFERENCE,
    slope: float = SLOPE,
    lapse: float = LAPSE,
) -> tuple[Belief, Floats]:
    """Return what `after_answer` does for sizes given as natural logarithms, and the chance there was to be right.

    Sums over the state go place by place in its order, and places that a question is not about add exactly 0: so
    a learner's numbers are the same to the last bit alone, among others, and in a longer state.
    """
    mean, covariance = belief.mean, belief.covariance
    about = np.flatnonzero(question.reshape(-1, question.shape[-1]).any(axis=0)).tolist()
    along: Any = 0.0
    middle: Any = 0.0
    variance: Any = 0.0
    for place in about:
        along = along + question[..., place, None] * covariance[..., place, :]
        middle = middle + question[..., place] * mean[..., place]
    for place in about:
        variance = variance + question[..., place] * along[..., place]
    spread = np.sqrt(variance)
    # Of ln T75, in standard deviations from the middle: where the answer is likely.
    ease_75 = ease_of(NAMED, slope=slope, lapse=lapse)
    ease = (log_size - middle + ease_75)[..., None] - spread[..., None] * _NODES
    lined_up = tuple(count[..., None] if isinstance(count, np.ndarray) else count for count in options)
    chance = chance_right(ease, options=lined_up, slope=slope, lapse=lapse)
    weights = _NODE_WEIGHTS * np.where(np.asarray(right)[..., None], chance, 1.0 - chance)
    whole = np.vecdot(weights, _ONES)
    moved = np.vecdot(weights, _NODES) / whole
    narrowed = np.vecdot(weights, _SQUARES) / whole - np.square(moved)
    unit = along / spread[..., None]
    more = narrowed - 1.0
    root = np.sqrt(np.abs(more))[..., None] * unit
    changed = root[..., :, None] * (np.sign(more)[..., None] * root)[..., None, :]
    changed += covariance
    return Belief(mean + moved[..., None] * unit, changed), chance[..., _MIDDLE]


def question_on(shares: Any, *, direction: Any = 0, kind: int | None = None, size: int = KINDS) -> Floats:
    """Return what the T75 of a question is made of, to be multiplied with a state.

    Parameters
    ----------
    shares
        The octave bands it counts for, ``(..., 10)``, summing to 1.
    direction
        +1 for a boost, -1 for a cut, 0 where there is none, shape ``(...)``.
    kind
        The number of its kind from 0; None for octave tone in the mix.
    size
        How long a state is.
    """
    shares = np.asarray(shares, dtype=np.float64)
    made = np.zeros((*shares.shape[:-1], size))
    made[..., BANDS] = shares
    made[..., CUT] = -0.5 * np.asarray(direction)
    if kind is not None:
        made[..., APART] = made[..., KINDS + kind] = 1.0
    return made


def spread_of(belief: Belief, what: Floats) -> tuple[Floats, Floats]:
    """Return mean and standard deviation of a linear combination of the state, ``(..., D)`` with ``(..., D)``."""
    variance = np.sum(what * (belief.covariance @ what[..., None])[..., 0], axis=-1)
    return np.sum(what * belief.mean, axis=-1), np.sqrt(np.maximum(variance, 0.0))


def t75_of(belief: Belief, *, confidence: float = CONFIDENCE) -> tuple[Floats, Floats, Floats]:
    """Return T75 of the ten octave bands in dB: the median, and the ends of its interval, each ``(..., 10)``."""
    middle = belief.mean[..., BANDS]
    variances = np.diagonal(belief.covariance, axis1=-2, axis2=-1)[..., BANDS]
    half = normal_deviate(confidence) * np.sqrt(variances)
    return np.exp(middle), np.exp(middle - half), np.exp(middle + half)
