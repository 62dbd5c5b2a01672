"""The running order: which rep stands at which place of a sitting, from its seed and what is proposed for it."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import partial
from math import sqrt

from numpy.random import Generator, default_rng

from trainer.ensemble.shows import Show
from trainer.practice.ahead import Deal
from trainer.practice.deal import Rep, deal
from trainer.practice.exercise import Exercise, Focus
from trainer.practice.listening import STANDARD, Listening
from trainer.practice.rep_code import MOST_SEED, RepSpec
from trainer.practice.sitting import Sitting
from trainer.refusal import Refused

Propose = Callable[[Exercise, int, Generator], Focus]
"""Says what the rep of an exercise is to be about at a place of a sitting; drawn from the generator."""


def around_start(
    exercise: Exercise,
    place: int,  # noqa: ARG001 - as any proposal
    rng: Generator,
    *,
    listening: Listening = STANDARD,
) -> Focus:
    """Propose a size around the start of the exercise's ladder, and leave all else open."""
    return Focus(exercise.ladder.around_start(rng), listening=listening)


def deals_of(
    sitting: Sitting, exercises: Sequence[Exercise], show: Show, *, propose: Propose = around_start
) -> list[Deal]:
    """Return the deals of a sitting, place by place: its exercises in runs, every rep drawn afresh.

    Each place has a seed of its own; what stands at one hangs on those before it only by what is proposed.

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
        partial(_dealt, sitting, (*shuffled[run:], *shuffled[:run]), show, propose, place)
        for place, run in enumerate(runs)
    ]


def _dealt(
    sitting: Sitting, exercises: Sequence[Exercise], show: Show, propose: Propose, place: int, failures: int
) -> Rep:
    """Return the rep for a place; after a failure, one of the next exercise."""
    exercise = exercises[failures % len(exercises)]
    rng = default_rng((sitting.seed, place, failures))
    seed = int(rng.integers(MOST_SEED))
    focus = propose(exercise, place, rng)
    if sitting.size is not None:
        return _rep(exercise, show, seed=seed, focus=replace(focus, size=sitting.size))
    *smaller, largest = _from(focus.size, exercise)
    for size in smaller:
        try:
            return _rep(exercise, show, seed=seed, focus=replace(focus, size=size))
        except Refused:  # too small to be heard anywhere in this music: nobody asked for this very size
            continue
    return _rep(exercise, show, seed=seed, focus=replace(focus, size=largest))


def _from(size: float, exercise: Exercise) -> Iterator[float]:
    """Yield a size, one half-way to the largest (by ratio) on a step of the ladder, and the largest."""
    ladder = exercise.ladder
    yield size
    if size < ladder.easiest:
        yield min(ladder.easiest, ladder.step * round(sqrt(size * ladder.easiest) / ladder.step))
        yield ladder.easiest


def _rep(exercise: Exercise, show: Show, *, seed: int, focus: Focus) -> Rep:
    return deal(RepSpec(exercise.key, show.key, seed, focus), exercise, show)
