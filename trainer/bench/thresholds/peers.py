"""Peers: other ways to measure the same thresholds, each octave band for itself.

Staircases as in H. Levitt, Journal of the Acoustical Society of America 49 (1971), with steps weighted as in
C. Kaernbach, Perception & Psychophysics 49 (1991); and a posterior on a grid with drift, band by band.
"""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from trainer.progress.thresholds.belief import FIRST, FIRST_T75_DB
from trainer.progress.thresholds.hearing import EASE_75, chance_right, ease_of

Floats = NDArray[np.float64]
Booleans = NDArray[np.bool_]

REVERSALS = 6
"""How many of the last reversals are averaged."""
FIRST_SIZE_DB = 9.0


@dataclass
class Staircases:
    """Staircases side by side, of any shape: smaller after ``down_after`` right in a row, larger after a wrong.

    Attributes
    ----------
    down_step, up_step
        In natural logarithms of the size.
    level
        The logarithms of the present sizes.
    smallest, largest
        What sizes there are.
    """

    level: Floats
    down_after: int
    down_step: float
    up_step: float
    smallest: float = -np.inf
    largest: float = np.inf
    _right: NDArray[np.int_] = field(init=False)
    _way: NDArray[np.int_] = field(init=False)
    _turns: Floats = field(init=False)

    def __post_init__(self) -> None:
        self._right = np.zeros(self.level.shape, dtype=int)
        self._way = np.zeros(self.level.shape, dtype=int)
        self._turns = np.full((*self.level.shape, REVERSALS), np.nan)

    def take(self, right: Booleans, here: Booleans | None = None) -> None:
        """Take the answers of those staircases that were asked (``here``; all where it is None)."""
        asked = np.ones(self.level.shape, dtype=bool) if here is None else here
        self._right = np.where(asked & right, self._right + 1, np.where(asked, 0, self._right))
        goes_down = asked & (self._right >= self.down_after)
        goes_up = asked & ~right
        way = np.where(goes_down, -1, np.where(goes_up, 1, 0))
        turned = (way != 0) & (self._way != 0) & (way != self._way)
        shifted = np.concatenate([self._turns[..., 1:], self.level[..., None]], axis=-1)
        self._turns = np.where(turned[..., None], shifted, self._turns)
        self._way = np.where(way != 0, way, self._way)
        self._right = np.where(goes_down, 0, self._right)
        step = np.where(goes_up, self.up_step, np.where(goes_down, -self.down_step, 0.0))
        self.level = np.clip(self.level + step, self.smallest, self.largest)

    @property
    def estimate(self) -> Floats:
        """The mean of the last reversals; the present level where there was none yet."""
        known = np.isfinite(self._turns)
        count = np.sum(known, axis=-1)
        total = np.sum(np.where(known, self._turns, 0.0), axis=-1)
        estimate: Floats = np.where(count > 0, total / np.maximum(count, 1), self.level)
        return estimate


def one_up_two_down(shape: tuple[int, ...], *, step: float, **range_: float) -> Staircases:
    """Return staircases that come to rest where two in a row are right in one half of cases."""
    return Staircases(_start(shape), down_after=2, down_step=step, up_step=step, **range_)


def weighted_up_down(shape: tuple[int, ...], *, step: float, **range_: float) -> Staircases:
    """Return staircases that come to rest where three in four are right: up three times as far as down."""
    return Staircases(_start(shape), down_after=1, down_step=step, up_step=3.0 * step, **range_)


def _start(shape: tuple[int, ...]) -> Floats:
    return np.full(shape, np.log(FIRST_SIZE_DB))


TWO_DOWN_SHIFT = EASE_75 - ease_of(0.5**0.5)
"""From where a 1-up-2-down staircase comes to rest to T75, by how learners are believed to answer."""


class Grids:
    """A posterior of ln T75 for each of some bands, on a grid, with a drift from day to day.

    Parameters
    ----------
    shape
        Of the bands: learners first.
    """

    NODES = np.linspace(np.log(1.0), np.log(30.0), 85)
    DRIFT_SD = 0.04

    def __init__(self, shape: tuple[int, ...]) -> None:
        prior = np.exp(-0.5 * np.square(self.NODES - np.log(FIRST_T75_DB)) / FIRST[0, 0])
        self._chances = np.broadcast_to(prior / prior.sum(), (*shape, len(self.NODES))).copy()
        apart = np.subtract.outer(self.NODES, self.NODES)
        spread = np.exp(-0.5 * np.square(apart / self.DRIFT_SD))
        self._spread = spread / spread.sum(axis=0)

    def take(self, who: NDArray[np.int_], band: NDArray[np.int_], size_db: Floats, right: Booleans) -> None:
        """Take an answer of each learner, about one band each."""
        chance = chance_right(np.log(size_db)[:, None] - self.NODES + EASE_75)
        likely = np.where(right[:, None], chance, 1.0 - chance) * self._chances[who, band]
        self._chances[who, band] = likely / likely.sum(axis=-1, keepdims=True)

    def next_day(self) -> None:
        """Let every threshold have drifted."""
        self._chances = self._chances @ self._spread.T

    @property
    def mean(self) -> Floats:
        """The mean of ln T75."""
        mean: Floats = self._chances @ self.NODES
        return mean

    def interval(self, confidence: float) -> tuple[Floats, Floats]:
        """Return the ends of the interval of ln T75 that leaves as much out on either side."""
        sums = np.cumsum(self._chances, axis=-1)
        low, high = ((sums < share).sum(axis=-1) for share in (0.5 - confidence / 2, 0.5 + confidence / 2))
        last = len(self.NODES) - 1
        return self.NODES[np.minimum(low, last)], self.NODES[np.minimum(high, last)]
