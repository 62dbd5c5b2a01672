"""Seasons: simulated learners answer day by day; the filter and its peers measure them in the same run.

All methods meet the same learners, days, bands, directions, clips and dice; each asks its own sizes, but for
one grid that is fed the very answers the filter got.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.random import Generator, default_rng
from numpy.typing import NDArray

from trainer.bench.thresholds.peers import TWO_DOWN_SHIFT, Grids, one_up_two_down, weighted_up_down
from trainer.bench.thresholds.worlds import BANDS, Asked, Day, Learners, World, day_of, learners_of
from trainer.progress.figures.intervals import CONFIDENCE
from trainer.progress.schedule import aims, band_chances, sizes
from trainer.progress.thresholds import (
    SLOPE,
    Belief,
    after_answer,
    first_belief,
    next_day,
    question_on,
    t75_of,
    with_week_1,
)
from trainer.progress.thresholds.belief import APART, KINDS
from trainer.progress.thresholds.hearing import NAMED

Floats = NDArray[np.float64]

HARDEST_DB, EASIEST_DB, STEP_DB = 1.5, 15.0, 0.5
STAIR_STEP, WEIGHTED_STEP = 0.20, 0.05
"""The staircases' steps, as logarithms: of those tried (0.05 to 0.3) the ones with the least error."""
BLOCK = 8
"""How many questions in a row are of one kind, where there are several."""
LAST_DAY_OF_WEEK_1 = 6
PEERS = ("1-up-2-down", "weighted up-down", "grid", "grid, the filter's answers")

Told = Callable[[], object]


@dataclass(frozen=True, slots=True)
class Plan:
    """What a season is like: ``is_even`` draws bands evenly and aims at 75 % alone."""

    world: World
    learners: int = 150
    days: int = 60
    a_day: int = 25
    is_even: bool = False
    slope: float = SLOPE
    has_peers: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Season:
    """What came of one: arrays by day, learner and band; in dB where they are called so.

    Attributes
    ----------
    true_db, median_db, low_db, high_db
        T75 of the reference kind, and the filter's.
    beliefs
        What the filter believed at the end of each day.
    right
        The share of right answers, day by day.
    peers_db
        The peers' T75.
    kinds_true_db, kinds_db, kinds_apart_db
        By kind, band and learner on the last days, where there are several kinds: with one filter for all, and
        with one for each.
    """

    true_db: Floats
    median_db: Floats
    low_db: Floats
    high_db: Floats
    beliefs: list[Belief]
    right: Floats
    peers_db: dict[str, Floats]
    kinds_true_db: Floats
    kinds_db: Floats
    kinds_apart_db: Floats


def play(plan: Plan, seed: int, told: Told = lambda: None) -> Season:
    """Play a season; ``told`` is called after every day."""
    return _Play(plan, seed).season(told)


class _Play:
    """One season being played."""

    def __init__(self, plan: Plan, seed: int) -> None:
        self.plan = plan
        self.rng, self.size_rng = default_rng([seed, 0]), default_rng([seed, 1])
        self.learners: Learners = learners_of(plan.world, plan.learners, default_rng([seed, 2]))
        kinds = plan.world.kinds
        shape = (plan.learners,)
        self.who = np.arange(plan.learners)
        self.belief = first_belief(kinds=kinds, learners=shape)
        self.apart = [first_belief(learners=shape) for _ in range(kinds + 1)] if kinds else []
        self.wrong_in_a_row = np.zeros(plan.learners, dtype=int)
        self.right = 0.0
        bands = (plan.learners, BANDS)
        ladder = {"smallest": np.log(HARDEST_DB), "largest": np.log(EASIEST_DB)}
        self.stairs = one_up_two_down(bands, step=STAIR_STEP, **ladder)
        self.weighted = weighted_up_down(bands, step=WEIGHTED_STEP, **ladder)
        self.grid, self.fed_grid = Grids(bands), Grids(bands)

    def season(self, told: Told) -> Season:
        found: dict[str, list[Floats]] = {
            name: [] for name in ("true", "median", "low", "high", "kinds true", "kinds", "apart", *PEERS)
        }
        beliefs, rights = [], []
        for number in range(self.plan.days):
            day = day_of(self.learners, number, self.rng)
            self.right = 0.0
            for place in range(self.plan.a_day):
                self._ask(day, number, place)
            rights.append(self.right / self.plan.a_day)
            beliefs.append(self.belief)
            self._note(day, found)
            self._sleep(number)
            told()
        arrays = {name: np.array(values) for name, values in found.items()}
        return Season(
            true_db=arrays["true"], median_db=arrays["median"], low_db=arrays["low"], high_db=arrays["high"],
            beliefs=beliefs, right=np.array(rights), peers_db={name: arrays[name] for name in PEERS},
            kinds_true_db=arrays["kinds true"], kinds_db=arrays["kinds"], kinds_apart_db=arrays["apart"],
        )  # fmt: skip

    def _ask(self, day: Day, number: int, place: int) -> None:
        plan, rng = self.plan, self.rng
        kind = (place // BLOCK + number) % (plan.world.kinds + 1)
        chances = None if plan.is_even else band_chances(self.belief)
        band = _drawn(rng, plan.learners, chances)
        direction = rng.choice((-1.0, 1.0), plan.learners)
        clip, dice = rng.standard_normal(plan.learners), rng.random(plan.learners)
        question = question_on(
            np.eye(BANDS)[band],
            direction=direction,
            kind=kind - 1 if kind else None,
            size=self.belief.mean.shape[-1],
        )
        aim = np.full(plan.learners, NAMED)
        if not plan.is_even:
            aim = aims(
                self.size_rng, place=place, wrong_in_a_row=self.wrong_in_a_row,
                answers=number * plan.a_day + place, days_away=1, shape=(plan.learners,),
            )  # fmt: skip
        size_db = sizes(
            self.belief, question, aim, self.size_rng, step=STEP_DB, hardest=HARDEST_DB, easiest=EASIEST_DB
        )
        asked = Asked(band, direction, kind, clip)
        right = day.rights(asked, size_db=size_db, dice=dice)
        self.belief = after_answer(
            self.belief, question=question, size_db=size_db, right=right, slope=plan.slope
        )
        if self.apart:
            own = question_on(np.eye(BANDS)[band], direction=direction)
            self.apart[kind] = after_answer(self.apart[kind], question=own, size_db=size_db, right=right)
        self.wrong_in_a_row = np.where(right, 0, self.wrong_in_a_row + 1)
        self.right += float(np.mean(right))
        if plan.has_peers:
            self.fed_grid.take(self.who, band, size_db, right)
            self._ask_peers(day, asked, dice)

    def _ask_peers(self, day: Day, asked: Asked, dice: Floats) -> None:
        band = asked.band
        here = np.eye(BANDS, dtype=bool)[band]
        for stairs in (self.stairs, self.weighted):
            size_db = _on_ladder(np.exp(stairs.level[self.who, band]))
            right = day.rights(asked, size_db=size_db, dice=dice)
            stairs.take(right[:, None] & here, here)
        jitter = 0.15 * self.size_rng.standard_normal(len(band))
        size_db = _on_ladder(np.exp(self.grid.mean[self.who, band] + jitter))
        self.grid.take(self.who, band, size_db, day.rights(asked, size_db=size_db, dice=dice))

    def _note(self, day: Day, found: dict[str, list[Floats]]) -> None:
        median, low, high = t75_of(self.belief, confidence=CONFIDENCE)
        found["true"].append(np.exp(day.true))
        for name, values in (("median", median), ("low", low), ("high", high)):
            found[name].append(values)
        peers = (
            self.stairs.estimate + TWO_DOWN_SHIFT, self.weighted.estimate, self.grid.mean, self.fed_grid.mean,
        )  # fmt: skip
        for name, ln_t75 in zip(PEERS, peers, strict=True):
            found[name].append(np.exp(ln_t75))
        if self.apart:
            offsets = self.learners.offsets.T[:, :, None]
            others = self.belief.mean[:, APART, None] + self.belief.mean[:, KINDS:]
            believed = np.concatenate([np.zeros((len(self.who), 1)), others], axis=1).T[:, :, None]
            found["kinds true"].append(np.exp(day.true + offsets))
            found["kinds"].append(median * np.exp(believed))
            found["apart"].append(np.array([t75_of(belief)[0] for belief in self.apart]))

    def _sleep(self, number: int) -> None:
        if number == LAST_DAY_OF_WEEK_1:
            self.belief = with_week_1(self.belief)
        self.belief = next_day(self.belief)
        self.apart = [next_day(belief) for belief in self.apart]
        if self.plan.has_peers:
            self.grid.next_day()
            self.fed_grid.next_day()


def _drawn(rng: Generator, learners: int, chances: Floats | None) -> NDArray[np.int_]:
    """Return a band for each learner, with its own chances, or evenly."""
    dice = rng.random((learners, 1))
    sums = np.arange(1, BANDS + 1) / BANDS if chances is None else np.cumsum(chances, axis=-1)
    band: NDArray[np.int_] = np.minimum(np.sum(dice > sums, axis=-1), BANDS - 1)
    return band


def _on_ladder(size_db: Floats) -> Floats:
    on: Floats = np.clip(STEP_DB * np.round(size_db / STEP_DB), HARDEST_DB, EASIEST_DB)
    return on
