"""What is asked next: which octave band, which way, how large; drawn so that nothing can be guessed from it.

Every draw is independent of those before it but for what is believed of the learner: no deck, no rule against
asking the same band twice. A band is asked more often where its threshold is uncertain or large, yet never
more than 15 times in 100 nor less than 6.5; the direction is a fair coin. Sizes aim at three right answers in
four on the whole: a few easier ones to begin with and after three wrong in a row, a few harder ones between.
(The shares were chosen by simulation: `yardline bench thresholds`.)
"""

from collections.abc import Mapping
from datetime import date
from typing import Any

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from trainer.practice.band_scale import OCTAVE_SCALE
from trainer.practice.evidence import LANE_UNIT
from trainer.practice.exercise import Exercise, Focus, Scope
from trainer.practice.listening import STANDARD, Listening
from trainer.progress.thresholds.belief import BANDS, COUNT, Belief
from trainer.progress.thresholds.ear import Ear, knowing, own_threshold_at_first, question_of
from trainer.progress.thresholds.hearing import EASE_75, NAMED, ease_of

Floats = NDArray[np.float64]

LEAST_CHANCE, MOST_CHANCE = 0.065, 0.15
"""Of a band to be asked, with all ten on offer (with fewer, both grow in proportion): whatever is believed, the
order of bands tells at most 0.118 bit a rep."""
INFORMATION = 1.4
"""What an answer near 75 % tells of ln T75 (Fisher information)."""
WEAKNESS_SCALE = 0.25
SIZE_SPREAD = 0.15
"""How far sizes wander around what was aimed at: a size that tells the band would be a cue."""

EASY, HARD = 0.875, 0.625
"""How often the easier and the harder sizes are to be named right."""
EASY_SHARE, HARD_SHARE = 0.05, 0.15
FIRST_REPS_EASY = 2
"""How many reps of a sitting are easy ones."""
WRONG_IN_A_ROW = 3
MIX_SHARE = 0.5
NEWCOMER_REPS = 10
"""How many easy ones somebody gets who was never heard."""
NEWCOMER = 0.85
RETURN_REPS = 5
"""How many easy ones somebody gets who comes back."""
GAP_DAYS = 7
"""After how many days away that is."""


def band_chances(belief: Belief, *, usable: NDArray[np.bool_] | None = None) -> Floats:
    """Return the chance of each octave band to be asked next, ``(..., 10)``, summing to 1.

    Parameters
    ----------
    usable
        Which of the ten bands the learner's setup can play; the others are never asked.
    """
    covariance = belief.covariance[..., BANDS, BANDS]
    middle = belief.mean[..., BANDS]
    own = np.diagonal(covariance, axis1=-2, axis2=-1)
    told = np.sum(np.square(covariance), axis=-2) * INFORMATION / (1.0 + INFORMATION * own)
    worth = told * np.exp((middle - np.mean(middle, axis=-1, keepdims=True)) / WEAKNESS_SCALE)
    if usable is None:
        return _capped(worth, least=LEAST_CHANCE, most=MOST_CHANCE)
    wider = COUNT / int(np.count_nonzero(usable))
    chances: Floats = np.zeros_like(worth)
    chances[..., usable] = _capped(worth[..., usable], least=wider * LEAST_CHANCE, most=wider * MOST_CHANCE)
    return chances


def _capped(worth: Floats, *, least: float, most: float) -> Floats:
    """Return ``clip(c worth, least, most)`` with the ``c`` at which it sums to 1.

    The sum grows in straight pieces between the scales at which a band meets a limit: exact by interpolation.
    """
    bends = np.sort(np.concatenate([least / worth, most / worth], axis=-1), axis=-1)
    sums = np.sum(np.clip(bends[..., :, None] * worth[..., None, :], least, most), axis=-1)
    after = np.argmax(sums >= 1.0, axis=-1)[..., None]
    before = np.maximum(after - 1, 0)
    low, high = (np.take_along_axis(sums, place, axis=-1) for place in (before, after))
    start, end = (np.take_along_axis(bends, place, axis=-1) for place in (before, after))
    share = np.where(high > low, (1.0 - low) / np.where(high > low, high - low, 1.0), 0.0)
    chances: Floats = np.clip((start + share * (end - start)) * worth, least, most)
    return chances


def aims(
    rng: Generator,
    *,
    place: Any,
    wrong_in_a_row: Any,
    answers: Any,
    days_away: Any,
    shape: tuple[int, ...] = (),
) -> Floats:
    """Return how often the next size is to be named right: the mixture of easier and harder ones.

    Parameters
    ----------
    place
        The rep's place in its sitting, from 0.
    wrong_in_a_row
        How many answers just before were wrong.
    answers
        How many answers the learner ever gave.
    days_away
        How many days lie between the sitting and the answer before it.
    """
    drawn = rng.random(shape)
    aim = np.where(drawn < HARD_SHARE, HARD, np.where(drawn < HARD_SHARE + EASY_SHARE, EASY, NAMED))
    is_easy = (np.asarray(place) < FIRST_REPS_EASY) | (np.asarray(wrong_in_a_row) >= WRONG_IN_A_ROW)
    aim = np.where(is_easy, EASY, aim)
    is_back = (np.asarray(days_away) >= GAP_DAYS) & (np.asarray(place) < RETURN_REPS)
    return np.where((np.asarray(answers) < NEWCOMER_REPS) | is_back, NEWCOMER, aim)


_EASES = {aim: ease_of(aim) - EASE_75 for aim in (EASY, HARD, NAMED, NEWCOMER)}
_AIMS = np.array(sorted(_EASES))
_SHIFTS = np.array([_EASES[float(aim)] for aim in _AIMS])


def sizes(
    belief: Belief, question: Floats, aim: Any, rng: Generator, *, step: float, hardest: float, easiest: float
) -> Floats:
    """Return sizes at which questions are named right as often as aimed at, jittered, on a step of the ladder.

    Parameters
    ----------
    question
        What its T75 is made of, ``(..., D)``.
    aim
        As `aims` gives it, shape ``(...)``.
    step, hardest, easiest
        Of the ladder, in the unit of the sizes.
    """
    middle = np.sum(question * belief.mean, axis=-1)
    shift = _SHIFTS[np.searchsorted(_AIMS, aim)]
    wanted = np.exp(middle + shift + SIZE_SPREAD * rng.standard_normal(middle.shape))
    chosen: Floats = np.clip(step * np.round(wanted / step), hardest, easiest)
    return chosen


def _scope(exercise: Exercise, rng: Generator) -> Scope:
    """Return what an exercise is asked on: the mix in one half of cases, where it can be, for T75 is told in it."""
    others = [scope for scope in exercise.scopes if scope != "mix"]
    if "mix" in exercise.scopes and (not others or rng.random() < MIX_SHARE):
        return "mix"
    return others[rng.integers(len(others))]


def next_focus(
    ear: Ear,
    exercise: Exercise,
    *,
    aim: float,
    rng: Generator,
    listening: Listening = STANDARD,
) -> Focus:
    """Return what the next rep of an exercise is to be about: scope, band, direction and size, all drawn.

    Parameters
    ----------
    aim
        How often a rep of its size is to be named right; one of those `aims` gives.
    listening
        What is listened on; octave bands that it cannot play are left out before anything is drawn.

    Notes
    -----
    A section or a stem sounds in some bands only, and which of them is asked is known when its music is; its
    size is made for the mean over the bands.
    """
    scope, usable_hz = _scope(exercise, rng), listening.usable_hz
    usable = np.isin(OCTAVE_SCALE.names_hz, usable_hz)
    chances = band_chances(ear.belief, usable=None if usable.all() else usable)
    band_hz = OCTAVE_SCALE.names_hz[rng.choice(COUNT, p=chances)]
    direction = int(rng.choice((1, -1)))
    shares = {band_hz: 1.0} if scope == "mix" else dict.fromkeys(usable_hz, 1.0)
    belief, question = _asked_of(ear, exercise, scope, shares, direction=direction)
    ladder = exercise.ladder
    size = sizes(belief, question, aim, rng, step=ladder.step, hardest=ladder.hardest, easiest=ladder.easiest)
    wished_hz = band_hz if scope == "mix" else None
    return Focus(float(size), scope=scope, band_hz=wished_hz, direction=direction, listening=listening)


def _asked_of(
    ear: Ear, exercise: Exercise, scope: Scope, shares: Mapping[float, float], *, direction: int
) -> tuple[Belief, Floats]:
    """Return the belief that the size of a question is drawn from, and what its T75 is made of there.

    Of a kind on its own it is that kind's; of a fault without a size nothing is drawn, its ladder has one.
    """
    kind, ladder = exercise.kind(scope), exercise.ladder
    if ladder.unit == LANE_UNIT:
        ear = knowing(ear, kind, ladder.start)
        return ear.belief, question_of(ear, kind, shares, direction=direction)
    first = own_threshold_at_first(ladder.unit, ladder.start, ear.day or date.min)
    return ear.own.thresholds.get(kind, first).belief, np.ones(1)
