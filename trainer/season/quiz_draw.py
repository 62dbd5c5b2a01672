"""Drawing a quiz: from a wish to the specs of its items, octave bands balanced, and to items that can be heard."""

from collections.abc import Callable, Iterator, Mapping
from itertools import chain

from numpy.random import Generator, SeedSequence, default_rng

from trainer.ensemble.shows import Show
from trainer.practice.band_scale import OCTAVE_SCALE
from trainer.practice.change import MIX
from trainer.practice.deal import Rep, deal
from trainer.practice.exercise import Exercise, Focus, Question
from trainer.practice.fields import BandField
from trainer.practice.list_field import ListField
from trainer.practice.rep_code import MOST_SEED, RepSpec
from trainer.practice.values import Answer, number_in, rows_in
from trainer.refusal import Refused
from trainer.season.quiz import QuizItem, item_of
from trainer.season.quiz_wish import QuizPart, QuizWish

SEEDS_TRIED = 6
"""How many seeds an item is tried with before it is taken as it comes, or the wish is called impossible."""


def foci_of(part: QuizPart, exercise: Exercise, rng: Generator) -> list[Focus]:
    """Return what each item of a part is to be about.

    On the mix every octave band is wished for equally often, give or take one, in an order that tells nothing; the
    direction is a fair coin each time, and the size is drawn evenly from the steps of the ladder. What it is listened
    on is the standard: a quiz is the same for everyone.
    """
    bands_hz: list[float | None] = [None] * part.items
    if part.scope == MIX:
        rounds = -(-part.items // len(OCTAVE_SCALE))
        in_turn = [float(hz) for _ in range(rounds) for hz in rng.permutation(OCTAVE_SCALE.names_hz)]
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
    """Return the first rep that tells nothing before it is heard; of several that do, the last."""
    taken: Rep | None = None
    reason = Refused("no item was tried")
    for seed in rng.integers(MOST_SEED, size=SEEDS_TRIED):
        try:
            taken = deal(RepSpec(exercise.key, show.key, int(seed), focus), exercise, show)
        except Refused as why:  # inaudible in all the excerpts of this seed: the same question of other music
            reason = why
            continue
        if focus.band_hz is None or is_as_wished(taken.question, taken.answer, focus.band_hz):
            return taken
    if taken is None:
        raise reason
    return taken


def is_as_wished(question: Question, answer: Answer, band_hz: float) -> bool:
    """Return whether a question asks for a band among its whole scale, and that of an octave band (nominal hertz).

    Items that leave bands out, or are about another band than was wished for, would tell of each other. A question
    that asks for no band is as wished.
    """
    asked = list(_bands_asked(question, answer))
    octaves_hz = {field.scale.octave_hz(name_hz) for field, named_hz in asked for name_hz in named_hz}
    is_whole = all(len(field.options) == len(field.scale) for field, _ in asked)
    return is_whole and (not asked or band_hz in octaves_hz)


def _bands_asked(question: Question, answer: Answer) -> Iterator[tuple[BandField, list[float]]]:
    """Yield the fields that ask for a band, also those that are columns of a list, and what is true (hertz)."""
    for one in question.fields:
        if isinstance(one, BandField):
            yield one, [number_in(answer, one.key)]
        elif isinstance(one, ListField):
            rows = rows_in(answer, one.key)
            yield from (
                (column, [number_in(row, column.key) for row in rows])
                for column in one.of
                if isinstance(column, BandField)
            )


def items_of(reps: Iterator[Rep], *, told: Callable[[int], object] = lambda _: None) -> tuple[QuizItem, ...]:
    """Return reps as items, numbered from 1; ``told`` hears how many there are after each."""
    items = []
    for number, rep in enumerate(reps, 1):
        items.append(item_of(rep, number))
        told(number)
    return tuple(items)
