"""Drawing a quiz: from a wish to the specs of its items, octave bands balanced, and to items that can be heard."""

from collections.abc import Callable, Iterator, Mapping
from itertools import chain

from numpy.random import Generator, SeedSequence, default_rng

from trainer.dsp.octave_bands import NOMINAL_HZ
from trainer.ensemble.shows import Show
from trainer.practice.change import MIX
from trainer.practice.deal import Rep, deal
from trainer.practice.exercise import Exercise, Focus
from trainer.practice.rep_code import MOST_SEED, RepSpec
from trainer.refusal import Refused
from trainer.season.quiz import QuizItem, item_of
from trainer.season.quiz_wish import QuizPart, QuizWish

SEEDS_TRIED = 6
"""How many seeds an item is tried with before the wish is called impossible."""


def foci_of(part: QuizPart, exercise: Exercise, rng: Generator) -> list[Focus]:
    """Return what each item of a part is to be about.

    On the mix every octave band comes equally often, give or take one, in an order that tells nothing; the
    direction is a fair coin each time, and the size is drawn evenly from the steps of the ladder.
    """
    bands_hz: list[float | None] = [None] * part.items
    if part.scope == MIX:
        rounds = -(-part.items // len(NOMINAL_HZ))
        in_turn = [float(band_hz) for _ in range(rounds) for band_hz in rng.permutation(NOMINAL_HZ)]
        bands_hz = [in_turn[place] for place in rng.permutation(part.items)]
    return [
        Focus(
            size=_size(part, exercise, rng),
            scope=part.scope,
            band_hz=band_hz,
            direction=int(rng.choice((1, -1))),
        )
        for band_hz in bands_hz
    ]


def _size(part: QuizPart, exercise: Exercise, rng: Generator) -> float:
    steps = round((part.high - part.low) / exercise.ladder.step)
    return float(min(part.low + exercise.ladder.step * rng.integers(steps + 1), part.high))


def drawn(wish: QuizWish, exercises: Mapping[str, Exercise], show: Show) -> Iterator[Rep]:
    """Yield the reps of a wish, item by item, each made now.

    Raises
    ------
    Refused
        If an item cannot be heard with any of some seeds: its size is too small for this show.
    """
    rng = default_rng(SeedSequence([wish.seed, len(wish.parts)]))
    foci = [[(exercises[part.exercise], focus) for focus in foci_of(part, exercises[part.exercise], rng)]
            for part in wish.parts]  # fmt: skip
    for exercise, focus in chain.from_iterable(foci):
        yield _heard(exercise, focus, show, rng.spawn(1)[0])


def _heard(exercise: Exercise, focus: Focus, show: Show, rng: Generator) -> Rep:
    *seeds, last = (int(seed) for seed in rng.integers(MOST_SEED, size=SEEDS_TRIED))
    for seed in seeds:
        try:
            return deal(RepSpec(exercise.key, show.key, seed, focus), exercise, show)
        except Refused:  # inaudible in all the excerpts of this seed: the same question of other music
            continue
    return deal(RepSpec(exercise.key, show.key, last, focus), exercise, show)


def items_of(reps: Iterator[Rep], *, told: Callable[[int], object] = lambda _: None) -> tuple[QuizItem, ...]:
    """Return reps as items, numbered from 1; ``told`` hears how many there are after each."""
    items = []
    for number, rep in enumerate(reps, 1):
        items.append(item_of(rep, number))
        told(number)
    return tuple(items)
