"""The running order: which rep stands at which place of a sitting; all of it follows from the sitting."""

from collections.abc import Sequence
from functools import partial

from numpy.random import default_rng

from trainer.ensemble.shows import Show
from trainer.practice.ahead import Deal
from trainer.practice.deal import Rep, deal
from trainer.practice.exercise import Exercise, Focus
from trainer.practice.rep_code import MOST_SEED, RepSpec
from trainer.practice.sitting import Sitting
from trainer.refusal import Refused


def deals_of(sitting: Sitting, exercises: Sequence[Exercise], show: Show) -> list[Deal]:
    """Return the deals of a sitting, place by place: its exercises in runs, every rep drawn afresh.

    Each place has a seed of its own, so what stands at one does not hang on what came of those before it.

    Raises
    ------
    Refused
        If the sitting's size is off the ladder of one of the exercises.
    """
    for exercise in exercises:
        exercise.ladder.check(exercise.ladder.start if sitting.size is None else sitting.size)
    shuffled = [exercises[place] for place in default_rng(sitting.seed).permutation(len(exercises))]
    runs = sorted(place % len(shuffled) for place in range(sitting.count))
    return [
        partial(_dealt, sitting, (*shuffled[run:], *shuffled[:run]), show, place)
        for place, run in enumerate(runs)
    ]


def _dealt(sitting: Sitting, exercises: Sequence[Exercise], show: Show, place: int, failures: int) -> Rep:
    """Return the rep for a place; after a failure, one of the next exercise."""
    exercise = exercises[failures % len(exercises)]
    rng = default_rng((sitting.seed, place, failures))
    seed = int(rng.integers(MOST_SEED))
    if sitting.size is not None:
        return _rep(exercise, show, seed=seed, size=sitting.size)
    try:
        return _rep(exercise, show, seed=seed, size=exercise.ladder.around_start(rng))
    except Refused:  # too small to be heard anywhere in this music: nobody asked for this very size
        return _rep(exercise, show, seed=seed, size=exercise.ladder.easiest)


def _rep(exercise: Exercise, show: Show, *, seed: int, size: float) -> Rep:
    return deal(RepSpec(exercise.key, show.key, seed, Focus(size)), exercise, show)
