"""The adversary: it knows everything of a rep but the sound, learns from reps it was told the answers of, and guesses.

A random forest (Breiman 2001) on all the facts, and a table that counts what was right on exactly the same offer.
Both guess only among what is on offer, each rep from what was learned of others (five folds).
"""

from collections import Counter, defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.random import Generator, default_rng
from numpy.typing import NDArray
from sklearn.ensemble import RandomForestClassifier
from sklearn.model_selection import KFold

from trainer.dsp.level import sample_peak_db
from trainer.dsp.loudness import integrated_loudness_lufs
from trainer.ensemble.excerpt import Excerpt
from trainer.ensemble.shows import Show
from trainer.practice import deal
from trainer.practice.change import changed_mix
from trainer.practice.exercise import SCOPES, Draw, Exercise, Unhearable
from trainer.practice.fields import OptionField
from trainer.practice.rep_code import RepSpec, encode
from trainer.practice.values import Simple
from trainer.sound import Sound

Floats = NDArray[np.float64]
FOLDS = 5
TRIES = deal.EXCERPTS_TRIED


@dataclass(frozen=True)
class Seen:
    """A rep as the adversary sees it, and what is true of it.

    Attributes
    ----------
    offered, right
        Field key to the options on offer in their order, and to the one that is right.
    facts
        The scope, the letters of the code, the place in the order: all that is always there.
    metered
        Lengths, peaks and loudness of the two files, where they were written.
    """

    offered: dict[str, tuple[Simple, ...]]
    right: dict[str, Simple]
    facts: tuple[float, ...]
    metered: tuple[float, ...] = ()


@dataclass
class Wanted:
    """A rep that is wanted, the excerpt whose turn it is, and what came of it."""

    exercise: Exercise
    spec: RepSpec
    at: int
    is_written: bool = False
    seen: Seen | None = None
    unmatched: tuple[float, ...] = ()
    tries: int = field(default=0)


def deal_all(show: Show, seeds: Sequence[int], wanted: Sequence[Wanted]) -> None:
    """Deal reps on a few excerpts, each on the first from its own on that serves it, as dealing does."""
    for place, seed in (*enumerate(seeds), *enumerate(seeds)):
        waiting = [one for one in wanted if one.seen is None and one.at == place and one.tries < TRIES]
        excerpt = show.excerpt(seed) if waiting else None
        for one in waiting:
            assert excerpt
            try:
                _deal_one(one, excerpt)
            except Unhearable:
                one.tries += 1
                one.at = (place + 1) % len(seeds)


def _deal_one(one: Wanted, excerpt: Excerpt) -> None:
    if not one.is_written:
        focus = deal.settled(one.spec, one.exercise)
        draw = one.exercise.draw(excerpt, focus, deal._chance(one.spec, "draw"))
        change = one.exercise.change(draw.answer, draw.question, excerpt)
        if change != one.exercise.setting(draw.question, excerpt):
            deal._check_heard(change, draw, excerpt, focus.listening)
        one.seen = seen_in(draw, one.spec)
        return
    rep = deal.deal_on(excerpt, one.spec, one.exercise)
    seen = seen_in(Draw(rep.question, rep.answer), one.spec)
    one.seen = replace(
        seen, metered=metered(rep.plain, rep.changed, level_told=one.exercise.level_is_question)
    )
    one.unmatched = metered(rep.base, changed_mix(rep.change, excerpt), level_told=False)


def seen_in(draw: Draw, spec: RepSpec) -> Seen:
    """Return what the adversary sees of a question and its code, and what is right."""
    fields = [one for one in draw.question.fields if isinstance(one, OptionField)]
    letters = [float(ord(letter)) for letter in encode(spec).rpartition(".")[2].replace("-", "")]
    return Seen(
        {one.key: one.options for one in fields},
        {one.key: one.checked(draw.answer[one.key]) for one in fields},
        (float(SCOPES.index(draw.question.scope)), *letters[:16]),
    )


def metered(plain: Sound, changed: Sound, *, level_told: bool) -> tuple[float, ...]:
    """Return the sizes of two files: their frames and, where level is not itself the question, peaks and loudness."""
    frames = (float(plain.frames), float(changed.frames))
    if level_told:
        return frames
    peaks = [sample_peak_db(sound) for sound in (plain, changed)]
    loud = [integrated_loudness_lufs(sound) for sound in (plain, changed)]
    return (*frames, *peaks, peaks[1] - peaks[0], *loud, loud[1] - loud[0])


def table_of_facts(reps: Sequence[Seen], *, with_meter: bool) -> Floats:
    """Return all that is known of reps before they are heard, one row each; earlier answers and the order are in it."""
    options = sorted(
        {(key, option) for rep in reps for key, on in rep.offered.items() for option in on}, key=repr
    )
    rows = []
    for place, rep in enumerate(reps):
        known = {(key, option) for key, on in rep.offered.items() for option in on}
        there = [float(option in known) for option in options]
        counts = [float(len(on)) for on in rep.offered.values()]
        before = [
            _places(reps[place - back]) if place >= back else [-1.0] * len(rep.right) for back in (1, 2)
        ]
        meter = rep.metered if with_meter else ()
        rows.append((*there, *counts, *before[0], *before[1], *rep.facts, *meter, float(place)))
    return np.array(rows)


def _places(rep: Seen) -> list[float]:
    return [float(rep.offered[key].index(right)) for key, right in rep.right.items()]


def told_by_forest(reps: Sequence[Seen], key: str, facts: Floats, *, trees: int) -> NDArray[np.bool_]:
    """Return for each rep whether the forest names what is right in a field."""
    truths = np.array([repr(rep.right[key]) for rep in reps])

    def learn(known: NDArray[np.intp]) -> Callable[[int], dict[str, float]]:
        forest = RandomForestClassifier(trees, min_samples_leaf=3, random_state=0).fit(
            facts[known], truths[known]
        )
        names, odds = [str(name) for name in forest.classes_], forest.predict_proba(facts)
        return lambda place: dict(zip(names, odds[place], strict=True))

    return _told(reps, key, learn)


def told_by_table(reps: Sequence[Seen], key: str) -> NDArray[np.bool_]:
    """Return for each rep whether what was right most often on the same offer (or one as long) is right again."""

    def learn(known: NDArray[np.intp]) -> Callable[[int], dict[str, float]]:
        counts: dict[object, Counter[str]] = defaultdict(Counter)
        for place in known:
            for name in _names_of_offer(reps[place]):
                counts[name][repr(reps[place].right[key])] += 1

        def odds(place: int) -> dict[str, float]:
            known = [counts[name] for name in _names_of_offer(reps[place]) if name in counts]
            return {name: float(count) for name, count in known[0].items()} if known else {}

        return odds

    return _told(reps, key, learn)


def _names_of_offer(rep: Seen) -> tuple[object, ...]:
    """Return an offer exactly, by its numbers of options, and not at all: the first that was seen before is used."""
    return tuple(rep.offered.items()), tuple(map(len, rep.offered.values())), ()


def _told(
    reps: Sequence[Seen], key: str, learn: Callable[[NDArray[np.intp]], Callable[[int], dict[str, float]]]
) -> NDArray[np.bool_]:
    told = np.zeros(len(reps), bool)
    for known, asked in KFold(FOLDS, shuffle=True, random_state=0).split(np.arange(len(reps))):
        odds_of = learn(known)
        for place in asked:
            odds, offered = odds_of(int(place)), reps[place].offered[key]
            guess = max(offered, key=lambda option: odds.get(repr(option), 0.0))
            told[place] = guess == reps[place].right[key]
    return told


def chances(reps: Sequence[Seen], key: str) -> Floats:
    """Return for each rep the chance to name what is right in a field by guessing among what is on offer."""
    return np.array([1.0 / len(rep.offered[key]) for rep in reps])


def p_at_least(right: int, chance: Floats) -> float:
    """Return the probability of so many right guesses or more, each with a chance of its own (Poisson's binomial)."""
    spread = np.ones(1)
    for one in chance:
        spread = np.convolve(spread, (1.0 - one, one))
    return float(min(1.0, spread[right:].sum()))


def holm(p_values: Sequence[float]) -> list[float]:
    """Return p values adjusted for their number (Holm 1979)."""
    order = np.argsort(p_values)
    stepped = np.maximum.accumulate(
        [(len(order) - rank) * p_values[place] for rank, place in enumerate(order)]
    )
    adjusted = np.empty(len(order))
    adjusted[order] = np.minimum(1.0, stepped)
    return [float(one) for one in adjusted]


def rng_of(*seed: int) -> Generator:
    """Return chance from a seed."""
    return default_rng(seed)
