"""Questions drawn for the contract: without rendering, on a few excerpts of noise, over all that a rep can be about."""

import itertools
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

from numpy.random import Generator, default_rng

from tests.noise_show import NoiseShow
from trainer.ensemble.excerpt import Excerpt
from trainer.practice.deal import Rep, deal, settled
from trainer.practice.exercise import Draw, Exercise, Focus, Scope, Unhearable
from trainer.practice.fields import Field, OptionField
from trainer.practice.list_field import ListField
from trainer.practice.listening import STANDARD, Listening
from trainer.practice.rep_code import RepSpec
from trainer.practice.values import Simple, Value
from trainer.refusal import Refused

SHOW = NoiseShow()
EXCERPTS = (1, 2, 3)
DRAWS = 200
"""How many questions are drawn on each excerpt."""
JUDGED = 100
"""To how many of them every answer is graded."""
SIZES_TRIED = 12
"""At how many sizes of its ladder an exercise is drawn to see which fields ask about the size."""


class ContractBroken(AssertionError):
    """An exercise that does not keep to what every exercise must."""


def need(is_kept: object, what: str) -> None:
    """Refuse an exercise unless it keeps to something."""
    if not is_kept:
        raise ContractBroken(what)


@dataclass(frozen=True)
class Drawn:
    """One question drawn, or None where nothing could be heard."""

    excerpt: Excerpt
    focus: Focus
    draw: Draw | None

    @property
    def key(self) -> tuple[int, Scope | None]:
        """What the offer may hang on: the excerpt and the scope."""
        return self.excerpt.seed, self.focus.scope


@dataclass(frozen=True)
class Draws:
    """The questions of an exercise on one scope.

    Attributes
    ----------
    by_size
        The fields whose right answer the size alone decides (by how much, how far).
    """

    exercise: Exercise
    scope: Scope
    by_size: frozenset[str]
    tried: tuple[Drawn, ...]

    @cached_property
    def made(self) -> tuple[Draw, ...]:
        """The questions that could be asked; there must be enough of them."""
        made = tuple(one.draw for one in self.tried if one.draw)
        where = f"{self.exercise.key} on a {self.scope}"
        need(
            len(made) >= DRAWS,
            f"{where}: {len(made)} questions drawn of {len(self.tried)}, {DRAWS} are wanted",
        )
        return made

    @property
    def judged(self) -> tuple[Draw, ...]:
        """Some of them, from all excerpts: every answer to these is graded."""
        return self.made[:: max(1, len(self.made) // JUDGED)]


@lru_cache(maxsize=32)
def draws_of(exercise: Exercise, scope: Scope) -> Draws:
    """Return the questions of an exercise on a scope: sizes evenly over what is asked about them, all else evenly."""
    by_size, groups = size_groups(exercise, scope)
    tried = []
    for seed in EXCERPTS:
        excerpt = SHOW.excerpt(seed)
        for number in range(DRAWS):
            rng = default_rng([seed, number])
            tried.append(drawn(exercise, excerpt, focus_of(exercise, scope, groups, rng), rng))
    return Draws(exercise, scope, by_size, tuple(tried))


def focus_of(
    exercise: Exercise,
    scope: Scope | None,
    groups: Sequence[Sequence[float]],
    rng: Generator,
    *,
    listening: Listening = STANDARD,
) -> Focus:
    """Return a focus with everything in it drawn evenly; its size evenly over groups, then within one."""
    group = groups[rng.integers(len(groups))]
    focus = Focus(group[rng.integers(len(group))], scope, listening=listening)
    return settled(RepSpec(exercise.key, SHOW.key, int(rng.integers(2**32)), focus), exercise)


def drawn(exercise: Exercise, excerpt: Excerpt, focus: Focus, rng: Generator) -> Drawn:
    """Return one question."""
    try:
        return Drawn(excerpt, focus, exercise.draw(excerpt, focus, rng))
    except Unhearable:
        return Drawn(excerpt, focus, None)


def ladder_sizes(exercise: Exercise) -> tuple[float, ...]:
    """Return all sizes of a ladder, hardest first."""
    ladder = exercise.ladder
    steps = round((ladder.easiest - ladder.hardest) / ladder.step)
    return tuple(round(ladder.hardest + ladder.step * number, 6) for number in range(steps + 1))


@lru_cache(maxsize=64)
def size_groups(exercise: Exercise, scope: Scope) -> tuple[frozenset[str], tuple[tuple[float, ...], ...]]:
    """Return the fields that the size alone decides, and the ladder's sizes grouped by what they decide.

    A field is one of those where no answer that is right at the hardest size that can be asked is right at the easiest.
    """
    sizes = ladder_sizes(exercise)
    right = {size: _right_at(exercise, scope, size) for size in sizes}
    there = [size for size in sizes if right[size]]
    need(there, f"{exercise.key} on a {scope}: nothing of any size could be asked on noise")
    ends = right[there[0]], right[there[-1]]
    keys = [key for key in ends[0] if not set(ends[0][key]) & set(ends[1].get(key, ()))]
    grouped: dict[object, list[float]] = defaultdict(list)
    for size in there:
        grouped[tuple(tuple(sorted(set(right[size][key]), key=repr)) for key in keys)].append(size)
    return frozenset(keys), tuple(map(tuple, grouped.values()))


def _right_at(exercise: Exercise, scope: Scope, size: float) -> dict[str, list[str]]:
    """Return what was right in each field in a few questions of one size."""
    right: dict[str, list[str]] = defaultdict(list)
    for number, seed in itertools.product(range(SIZES_TRIED), EXCERPTS[:1]):
        rng = default_rng([7, number])
        one = drawn(exercise, SHOW.excerpt(seed), focus_of(exercise, scope, [(size,)], rng), rng)
        for field in one.draw.question.fields if one.draw else ():
            assert one.draw
            right[field.key].append(repr(one.draw.answer[field.key]))
    return right


def dealt(exercise: Exercise, scope: Scope, *, count: int, sizes: Sequence[float] = ()) -> list[Rep]:
    """Return so many reps on a scope, rendered; `ContractBroken` where they cannot be had."""
    need(askable_sizes(exercise, scope), f"{exercise.key} on a {scope}: nothing to deal")
    drawn_from = sizes or (exercise.ladder.start,)
    reps: list[Rep] = []
    for seed in range(4 * count):
        focus = Focus(drawn_from[seed % len(drawn_from)], scope)
        try:
            reps.append(deal(RepSpec(exercise.key, SHOW.key, seed, focus), exercise, SHOW))
        except Refused:
            continue
        except ValueError as why:
            raise ContractBroken(f"it cannot be rendered: {why}") from why
        if len(reps) == count:
            return reps
    raise ContractBroken(f"{exercise.key} on a {scope}: {len(reps)} reps of {count} could be dealt")


def askable_sizes(exercise: Exercise, scope: Scope) -> tuple[float, ...]:
    """Return the sizes of the ladder that can be asked on a scope of noise, hardest first."""
    return tuple(sorted(itertools.chain(*size_groups(exercise, scope)[1])))


@dataclass(frozen=True)
class Offer:
    """What one field (or one column of a list) has on offer, and what of it was right."""

    key: str
    options: tuple[Simple, ...]
    right: tuple[Simple, ...]


def offers(draw: Draw) -> Iterator[Offer]:
    """Yield what a question has on offer, field by field and, in a list, column by column."""
    for field in draw.question.fields:
        value = draw.answer[field.key]
        if isinstance(field, OptionField):
            yield Offer(field.key, field.options, (field.checked(value),))
        elif isinstance(field, ListField):
            rows = field.checked(value)
            for one in field.of:
                yield Offer(f"{field.key}.{one.key}", one.options, tuple(row[one.key] for row in rows))


def wrong_values(field: Field, right: Value) -> list[Value]:
    """Return answers to a field that are not right: every other option; a list's rows lost, spoilt, and too many."""
    if isinstance(field, OptionField):
        return [option for option in field.options if option != right]
    if isinstance(field, ListField):
        rows = field.checked(right)
        spoilt: list[Value] = [
            (*rows[:place], {**row, one.key: other}, *rows[place + 1 :])
            for place, row in enumerate(rows)
            for one in field.of
            for other in one.options
            if other != row[one.key]
        ]
        lost: list[Value] = [(*rows[:place], *rows[place + 1 :]) for place in range(len(rows))]
        more = [(*rows, {one.key: one.options[0] for one in field.of})] if len(rows) < field.most else []
        return [*spoilt, *lost, *more]
    ends = (getattr(field, "low", None), getattr(field, "high", None))
    found: list[Value] = [end for end in ends if end is not None and field.mark(end, right) < 1.0]
    need(found, f"{field.key}: no wrong answer is known to a field of this kind")
    return found


def worst_value(field: Field, right: Value) -> Value:
    """Return the answer to a field that is as far off as can be."""
    if isinstance(field, ListField) and right:
        return ()
    wrong = wrong_values(field, right)
    need(wrong, f"{field.key}: nothing is on offer but what is right")
    return min(wrong, key=lambda value: (field.mark(value, right), -_distance(field, value, right)))


def _distance(field: Field, value: Value, right: Value) -> int:
    options = getattr(field, "options", ())
    return abs(options.index(value) - options.index(right)) if options else 0


def at_size(rep: Rep, size: float, *, by_size: frozenset[str]) -> Draw:
    """Return the question and answer of a rep as they would be at another size."""
    scope = rep.question.scope
    for number in range(SIZES_TRIED):
        rng = default_rng([7, number])
        other = drawn(
            rep.exercise, SHOW.excerpt(EXCERPTS[0]), focus_of(rep.exercise, scope, [(size,)], rng), rng
        )
        if other.draw:
            told = {key: other.draw.answer[key] for key in by_size}
            question = replace(rep.question, size=other.draw.question.size)
            return Draw(question, {**rep.answer, **told})
    raise ContractBroken(f"{rep.exercise.key} on a {scope}: nothing could be drawn at {size:g}")
