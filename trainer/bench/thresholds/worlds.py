"""Worlds: made-up learners whose ears are known, messier than the filter believes them to be.

A world is a batch of learners: all arrays begin with the learners' axis. The numbers are assumptions, not
measured on people; that they are not the filter's own is the point.
"""

from dataclasses import dataclass

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from trainer.progress.thresholds.hearing import LAPSE, SLOPE, logistic

Floats = NDArray[np.float64]

BANDS = 10
LARGEST_T75_DB, SMALLEST_T75_DB = 13.0, 2.5
MEAN_T75_DB = 8.0
MEAN_GAIN = 0.6
MEAN_PACE_DAYS = 25.0
_APART = np.subtract.outer(np.arange(BANDS), np.arange(BANDS))
_NEIGHBOURS = np.exp(-0.5 * np.square(_APART / 1.5))
_QUADRATURE, _QUADRATURE_WEIGHTS = np.polynomial.hermite_e.hermegauss(15)


@dataclass(frozen=True, slots=True)
class World:
    """What its learners are like.

    Attributes
    ----------
    is_messy
        Whether learners differ in slope, lapses and cuts, wobble from day to day, and clips differ; otherwise
        they are as the filter believes.
    shares_bands
        Whether neighbouring bands are alike.
    learns
        How much of the usual gain they make.
    lapse
        One share of lapses for all, or None where learners differ.
    kinds
        How many kinds of question beside the reference, each with an offset of its own.
    """

    name: str
    is_messy: bool = True
    shares_bands: bool = True
    learns: float = 1.0
    lapse: float | None = None
    kinds: int = 0


MESSY = World("messy")
UNCORRELATED = World("messy, bands unlike their neighbours", shares_bands=False)
NO_LEARNING = World("messy, nobody learns", learns=0.0)
EXACT = World("as the filter believes", is_messy=False)


@dataclass(frozen=True, slots=True)
class Learners:
    """A batch of learners of a world; one row each."""

    world: World
    first: Floats
    gain: Floats
    pace_days: Floats
    slope: Floats
    easier: Floats
    lapse: Floats
    cut: Floats
    ease_75: Floats
    offsets: Floats
    clip_sd: float

    def ln_t75(self, day: int) -> Floats:
        """Return ln T75 of the reference kind on a day of the season, ``(learners, 10)``."""
        gained = self.gain * (1.0 - np.exp(-day / self.pace_days))[:, None]
        return np.clip(self.first - gained, np.log(SMALLEST_T75_DB), np.log(LARGEST_T75_DB))


def learners_of(world: World, count: int, rng: Generator) -> Learners:
    """Return so many learners of a world."""
    among = np.linalg.cholesky(_NEIGHBOURS if world.shares_bands else np.eye(BANDS))

    def alike(sd: float) -> Floats:
        drawn: Floats = sd * rng.standard_normal((count, BANDS)) @ among.T
        return drawn

    def common(sd: float) -> Floats:
        return sd * rng.standard_normal((count, 1))

    first = np.log(MEAN_T75_DB) + common(0.2) + alike(0.28) + 0.1 * rng.standard_normal((count, BANDS))
    gain = world.learns * MEAN_GAIN * np.exp(common(0.3) + alike(0.3) - 0.09)
    pace_days = MEAN_PACE_DAYS * np.exp(0.3 * rng.standard_normal(count))
    ones = np.ones((count, BANDS))
    messy = world.is_messy
    slope = 3.4 * np.exp(0.25 * rng.standard_normal((count, BANDS))) if messy else SLOPE * ones
    easier = rng.uniform(0.3, 0.7, count) if messy else np.full(count, 0.5)
    lapse = rng.uniform(0.02, 0.05, count) if messy else np.full(count, LAPSE)
    if world.lapse is not None:
        lapse = np.full(count, world.lapse)
    cut = 0.18 + 0.08 * rng.standard_normal(count) if messy else 0.2 * rng.standard_normal(count)
    offsets = np.zeros((count, 1 + world.kinds))
    offsets[:, 1:] = 0.3 * rng.standard_normal((count, world.kinds))
    clip_sd = 0.2 if messy else 0.0
    ease_75 = _ease_75(slope, easier, lapse, cut, clip_sd=clip_sd)
    return Learners(world, first, gain, pace_days, slope, easier, lapse, cut, ease_75, offsets, clip_sd)


def named(ease: Floats, *, slope: Floats, easier: Floats, lapse: Floats) -> Floats:
    """Return the chance that band and direction are both named, of learners with slopes of their own."""
    band = 0.1 + 0.9 * logistic(slope * ease)
    way = 0.5 + 0.5 * logistic(slope * (ease + easier))
    chance: Floats = (1.0 - lapse) * band * way + lapse / 20.0
    return chance


def _ease_75(slope: Floats, easier: Floats, lapse: Floats, cut: Floats, *, clip_sd: float) -> Floats:
    """Return the ease at which changes are named in 75 %, over all clips and both directions."""
    shifts = clip_sd * _QUADRATURE
    weights = _QUADRATURE_WEIGHTS / np.sum(_QUADRATURE_WEIGHTS)
    low, high = np.full(slope.shape, -5.0), np.full(slope.shape, 5.0)
    wide = {"slope": slope[..., None], "easier": easier[:, None, None], "lapse": lapse[:, None, None]}
    for _ in range(50):
        middle = 0.5 * (low + high)
        share = sum(
            0.5 * named(middle[..., None] + side * 0.5 * cut[:, None, None] + shifts, **wide) @ weights
            for side in (-1.0, 1.0)
        )
        is_enough = share >= 0.75
        low, high = np.where(is_enough, low, middle), np.where(is_enough, middle, high)
    return high


@dataclass(frozen=True, slots=True)
class Asked:
    """A question to each learner: its band, direction (+1, -1), kind, and how much harder its clip is (sd)."""

    band: NDArray[np.int_]
    direction: Floats
    kind: int
    clip: Floats


@dataclass(frozen=True, slots=True)
class Day:
    """The learners on one day: ln T75 as it is, and as it is today with the day's wobble."""

    learners: Learners
    true: Floats
    today: Floats

    def rights(self, asked: Asked, *, size_db: Floats, dice: Floats) -> NDArray[np.bool_]:
        """Return whether each learner names a change: the same ``dice`` (0 to 1) give the same answer again."""
        who, one, band = np.arange(len(asked.band)), self.learners, asked.band
        harder = one.offsets[who, asked.kind] - 0.5 * asked.direction * one.cut + one.clip_sd * asked.clip
        ease = np.log(size_db) - self.today[who, band] - harder + one.ease_75[who, band]
        chance = named(ease, slope=one.slope[who, band], easier=one.easier, lapse=one.lapse)
        return dice < chance


def day_of(learners: Learners, day: int, rng: Generator) -> Day:
    """Return the learners on a day of their season; in a messy world they wobble from day to day."""
    true = learners.ln_t75(day)
    count = len(true)
    wobble = 0.08 * rng.standard_normal((count, 1)) + 0.05 * rng.standard_normal((count, BANDS))
    return Day(learners, true, true + wobble if learners.world.is_messy else true)
