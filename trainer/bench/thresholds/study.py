"""The study: what the filter reaches in the worlds, beside what it must reach and beside its peers."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, partial
from operator import methodcaller

import numpy as np
from numpy.typing import NDArray

from trainer.bench.thresholds.seasons import PEERS, Plan, Season, Told, play
from trainer.bench.thresholds.worlds import EXACT, MESSY, NO_LEARNING, UNCORRELATED, World
from trainer.progress.figures.improvement import SURE, chance_below_0, claimed, since_week_1
from trainer.progress.schedule import LEAST_CHANCE, MOST_CHANCE, band_chances
from trainer.progress.thresholds import smoothed, t75_of

Floats = NDArray[np.float64]

SEEDS = (11, 12, 13)
WORLDS = (MESSY, UNCORRELATED, NO_LEARNING, EXACT)
EVEN_SLOPE = 3.0
"""What the improvement rule is tried with, bands drawn evenly."""


@dataclass(frozen=True, slots=True)
class Reached:
    """One quantity: what was reached, and between what it must lie (None: nothing to keep to)."""

    what: str
    value: float
    low: float | None = None
    high: float | None = None

    @property
    def is_kept(self) -> bool | None:
        """Whether it is where it must be; None where there is nothing to keep to."""
        if self.low is None and self.high is None:
            return None
        above = self.low is None or self.value >= self.low
        return above and (self.high is None or self.value <= self.high)


Rows = Iterator[Reached]


@dataclass(frozen=True, slots=True)
class Part:
    """A part of the study: some seasons, played for each seed, and what is read off them."""

    name: str
    plans: tuple[Plan, ...]
    read: Callable[[Sequence[Sequence[Season]]], Rows]


def run_study(parts: Sequence[Part], *, seeds: Sequence[int] = SEEDS, told: Told = lambda: None) -> Rows:
    """Yield what is reached, part by part; ``told`` is called after every simulated day."""
    for part in parts:
        seasons = [[play(plan, seed, told) for seed in seeds] for plan in part.plans]
        yield from part.read(seasons)


def days_of(parts: Sequence[Part], *, seeds: Sequence[int] = SEEDS) -> int:
    """Return how many days the study simulates."""
    return len(seeds) * sum(plan.days for part in parts for plan in part.plans)


def parts_of(learners: int = 150) -> tuple[Part, ...]:
    """Return the parts of the study, with so many learners in a world."""
    messy = Plan(MESSY, learners)
    even = replace(messy, is_even=True, slope=EVEN_SLOPE)
    kinds = replace(messy, world=World("three kinds", kinds=2))
    lapses = tuple(replace(messy, world=World(f"lapses {share:g}", lapse=share)) for share in (0.0, 0.06))
    return (
        Part("the messy world", (replace(messy, has_peers=True),), _messy),
        Part("other worlds", tuple(replace(messy, world=world) for world in WORLDS[1:]), _others),
        Part("improvement", (even, replace(even, world=NO_LEARNING)), _improvement),
        Part("three kinds", (kinds,), _kinds),
        Part("lapses", lapses, _lapses),
        Part("20 and 40 a day", (replace(messy, a_day=20), replace(messy, a_day=40)), _a_day),
    )


@dataclass(frozen=True)
class _Measured:
    """One season's errors."""

    season: Season

    @cached_property
    def errors_db(self) -> Floats:
        errors: Floats = self.season.median_db - self.season.true_db
        return errors

    @cached_property
    def holds(self) -> NDArray[np.bool_]:
        season = self.season
        return (season.low_db < season.true_db) & (season.true_db < season.high_db)

    def rmse_on(self, day: int) -> float:
        return rms(self.errors_db[day - 1])

    @property
    def first_within(self) -> float:
        """The first day on which the error is at most 1.5 dB."""
        within = [day for day in range(1, len(self.errors_db) + 1) if self.rmse_on(day) <= 1.5]
        return float(min(within, default=len(self.errors_db) + 1))

    def half_width_on(self, day: int) -> float:
        return float(np.mean(self.season.high_db[day - 1] - self.season.low_db[day - 1]) / 2.0)

    def within(self, day: int) -> float:
        return float(np.mean(np.abs(self.errors_db[day - 1]) <= 1.5))

    @property
    def worst_5_percent(self) -> float:
        """The coverage of the learner that 5 % are worse than."""
        return float(np.quantile(np.mean(self.holds[10:], axis=(0, 2)), 0.05))


def rms(values: Floats) -> float:
    """Return the root of the mean square."""
    return float(np.sqrt(np.mean(np.square(values))))


def _mean(seasons: Sequence[Season], read: Callable[[_Measured], float]) -> float:
    return float(np.mean([read(_Measured(season)) for season in seasons]))


def _late(one: _Measured) -> float:
    return rms(one.errors_db[10:])


def _coverage(one: _Measured) -> float:
    return float(np.mean(one.holds[10:]))


def _bias(one: _Measured) -> float:
    return float(np.mean(one.errors_db[10:]))


def _messy(found: Sequence[Sequence[Season]]) -> Rows:
    mean = partial(_mean, found[0])
    yield Reached("error of T75, days 11-60, dB", mean(_late), high=0.80)
    for day, most in ((3, 1.8), (7, 1.45), (10, 1.30), (30, 0.78), (60, 0.60)):
        yield Reached(f"error on day {day}, dB", mean(methodcaller("rmse_on", day)), high=most)
    yield Reached("first day with an error of 1.5 dB", mean(lambda one: one.first_within), high=5.0)
    yield Reached("bias, dB", mean(_bias), -0.10, 0.10)
    yield Reached("90 % intervals hold the truth", mean(_coverage), 0.88, 0.96)
    yield Reached("… of the worst 5 % of learners", mean(lambda one: one.worst_5_percent), low=0.80)
    for day, most in ((10, 2.3), (30, 1.45), (60, 1.20)):
        half = mean(methodcaller("half_width_on", day))
        yield Reached(f"half-width of the interval on day {day}, dB", half, high=most)
    for day, least in ((10, 0.80), (30, 0.94)):
        yield Reached(f"within 1.5 dB on day {day}", mean(methodcaller("within", day)), low=least)
    yield Reached(
        "named right after day 3", mean(lambda one: float(np.mean(one.season.right[3:]))), 0.72, 0.78
    )
    yield from _smoothing(found[0])
    yield from _peers(found[0])
    yield from _order(found[0])


def _smoothing(seasons: Sequence[Season]) -> Rows:
    errors, held, changes, filtered = [], [], [], []
    for season in seasons:
        revised = [t75_of(belief) for belief in smoothed(season.beliefs)]
        median, low, high = (np.array(values) for values in zip(*revised, strict=True))
        errors.append(rms(median - season.true_db))
        held.append(np.mean((low < season.true_db) & (season.true_db < high)))
        true = np.log(season.true_db[-1] / season.true_db[6])
        changes.append(rms(np.log(median[-1] / median[6]) - true))
        filtered.append(rms(np.log(season.median_db[-1] / season.median_db[6]) - true))
    yield Reached("error of the smoothed season, dB", float(np.mean(errors)), high=0.62)
    yield Reached("its 90 % intervals hold the truth", float(np.mean(held)), 0.88, 0.96)
    yield Reached("error of ln change, week 1 to day 60, smoothed", float(np.mean(changes)), high=0.13)
    yield Reached("… by the filter as it was then", float(np.mean(filtered)), high=0.21)


def _peers(seasons: Sequence[Season]) -> Rows:
    ours = _mean(seasons, _late)
    most = {"1-up-2-down": 0.65, "grid": 0.80, "grid, the filter's answers": 0.80}
    for name in PEERS:
        errors = [rms((season.peers_db[name] - season.true_db)[10:]) for season in seasons]
        yield Reached(f"peer: error of {name}, dB", float(np.mean(errors)))
        yield Reached("… the filter's beside it, x", ours / float(np.mean(errors)), high=most.get(name))


def _order(seasons: Sequence[Season]) -> Rows:
    chances = np.array([band_chances(belief) for season in seasons for belief in season.beliefs])
    leaks = np.log2(chances.shape[-1]) + np.sum(chances * np.log2(chances), axis=-1)
    yield Reached("leak of the order, bit a question", float(np.mean(leaks)), high=0.12)
    yield Reached("… at worst", float(np.max(leaks)), high=0.12)
    yield Reached("chance of the likeliest band, at most", float(np.max(chances)), high=MOST_CHANCE + 1e-9)
    yield Reached("chance of the unlikeliest, at least", float(np.min(chances)), low=LEAST_CHANCE - 1e-9)


def _others(found: Sequence[Sequence[Season]]) -> Rows:
    for world, seasons, most, coverage in zip(
        WORLDS[1:], found, (0.86, 1.05, 0.76), ((0.88, 0.96), (0.88, 0.98), (0.88, 0.97)), strict=True
    ):
        yield Reached(f"{world.name}: error, dB", _mean(seasons, _late), high=most)
        yield Reached("… 90 % intervals hold the truth", _mean(seasons, _coverage), *coverage)


def _improvement(found: Sequence[Sequence[Season]]) -> Rows:
    typical, none = found
    yield Reached(
        "improved, any band, claimed of non-learners, day 60", _claims(none, 60, any_band=True), high=0.10
    )
    yield Reached("improved, per band, of learners, day 28", _claims(typical, 28), low=0.60)
    yield Reached("… day 60", _claims(typical, 60), low=0.80)
    yield Reached("improved overall, claimed of non-learners, day 60", _overall(none, 60), high=0.07)
    yield Reached("improved overall, of learners, day 28", _overall(typical, 28), low=0.75)


def _claims(seasons: Sequence[Season], day: int, *, any_band: bool = False) -> float:
    shares = []
    for season in seasons:
        means, covariance = since_week_1(season.beliefs[day - 1])
        deviations = np.sqrt(np.diagonal(covariance, axis1=-2, axis2=-1))
        made = claimed(chance_below_0(means, deviations))
        shares.append(np.mean(np.any(made, axis=-1) if any_band else made))
    return float(np.mean(shares))


def _overall(seasons: Sequence[Season], day: int) -> float:
    shares = []
    for season in seasons:
        means, covariance = since_week_1(season.beliefs[day - 1])
        deviations = np.sqrt(np.mean(covariance, axis=(-2, -1)))
        shares.append(np.mean(chance_below_0(np.mean(means, axis=-1), deviations) > SURE))
    return float(np.mean(shares))


def _kinds(found: Sequence[Sequence[Season]]) -> Rows:
    pooled = [rms((season.kinds_db - season.kinds_true_db)[10:]) for season in found[0]]
    apart = [rms((season.kinds_apart_db - season.kinds_true_db)[10:]) for season in found[0]]
    yield Reached("three kinds in one filter: error per band and kind, dB", float(np.mean(pooled)), high=0.90)
    yield Reached("… beside a filter for each, x", float(np.mean(pooled) / np.mean(apart)), high=1.0)


def _lapses(found: Sequence[Sequence[Season]]) -> Rows:
    for share, seasons in zip(("0 %", "6 %"), found, strict=True):
        yield Reached(
            f"{share} of lapses where 3 % are believed: bias, dB", _mean(seasons, _bias), -0.20, 0.20
        )
        yield Reached("… 90 % intervals hold the truth", _mean(seasons, _coverage), low=0.90)


def _a_day(found: Sequence[Sequence[Season]]) -> Rows:
    for a_day, seasons, most in zip((20, 40), found, (0.86, 0.70), strict=True):
        yield Reached(f"{a_day} questions a day: error, dB", _mean(seasons, _late), high=most)
