"""A row of the benchmark: what is measured, what it must reach, and what it stands beside."""

from collections.abc import Callable
from dataclasses import dataclass

Clock = Callable[[], float]
"""Gives seconds that only go forward."""


@dataclass(frozen=True, slots=True)
class Scale:
    """How much is measured: excerpts, reps, chunks, starts, attempts (added, kept, replayed), reps, seconds."""

    excerpts: int = 5
    reps: int = 7
    chunks: int = 400
    starts: int = 3
    adds: int = 40
    attempts: int = 10_000
    replayed: int = 100_000
    drilled: int = 6
    looped_s: float = 20.0
    soaked_s: float = 600.0


@dataclass(frozen=True, slots=True)
class Measured:
    """A figure, the peer's in the same unit (None: there is no peer here), and what is to be said of them."""

    value: float
    peer: float | None = None
    beside: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Row:
    """One thing to measure.

    Attributes
    ----------
    name, what, unit
        Its name on the command line and in words, and the figure's unit.
    measure
        Takes the scale and the clock.
    limit
        The budget, or None where there is none; ``more_is_better`` says on which side of it to be.
    ratio_limit
        How many times better than the peer it must be, where that is in the budget.
    is_long
        Whether it takes so long that it is measured only where it is asked for by name.
    """

    name: str
    what: str
    unit: str
    measure: Callable[[Scale, Clock], Measured]
    limit: float | None = None
    ratio_limit: float | None = None
    more_is_better: bool = False
    is_long: bool = False

    def ratio(self, measured: Measured) -> float | None:
        """Return how many times better than its peer a figure is."""
        if measured.peer is None or 0.0 in (measured.value, measured.peer):
            return None
        ratio = measured.value / measured.peer
        return ratio if self.more_is_better else 1.0 / ratio

    def is_met(self, measured: Measured) -> bool | None:
        """Return whether a figure keeps to the budget; None where there is none to keep to."""
        kept = []
        if self.limit is not None:
            over = measured.value - self.limit
            kept.append(over >= 0.0 if self.more_is_better else over <= 0.0)
        ratio = self.ratio(measured)
        if self.ratio_limit is not None and ratio is not None:
            kept.append(ratio >= self.ratio_limit)
        return all(kept) if kept else None


@dataclass(frozen=True, slots=True)
class Result:
    """What came of a row: a figure, or why there is none."""

    row: Row
    measured: Measured | None
    trouble: str = ""
