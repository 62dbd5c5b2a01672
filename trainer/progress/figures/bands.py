"""What was asked and how much of it was right by octave band, over all exercises."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from trainer.practice.attempt import Attempt
from trainer.practice.band_scale import OCTAVE_SCALE
from trainer.progress.figures.intervals import CONFIDENCE, Interval, wilson
from trainer.progress.tallies import Tally, tallies_of

FEWEST = 8
"""Below so many answers no accuracy is shown: its interval would be half the scale wide."""

ROUNDING = 1e-6
"""What sums of weights may be off by: eight answers in two bands each are eight."""


@dataclass(frozen=True, slots=True)
class BandFigure:
    """One octave band: what was asked, and how much of it was right.

    Attributes
    ----------
    asked, right
        Sums of the attempts' weights in this band.
    accuracy, interval
        The share of right answers; None while ``asked`` is below ``needed``.
    """

    band_hz: float
    asked: float
    right: float
    needed: int
    accuracy: float | None
    interval: Interval | None

    @property
    def low(self) -> float | None:
        """The interval's lower end."""
        return None if self.interval is None else self.interval.low

    @property
    def high(self) -> float | None:
        """The interval's upper end."""
        return None if self.interval is None else self.interval.high

    @property
    def missing(self) -> int:
        """How many answers are still to come before there is an accuracy."""
        return max(0, math.ceil(self.needed - self.asked - ROUNDING))


def band_figures(
    attempts: Sequence[Attempt], *, confidence: float = CONFIDENCE, fewest: int = FEWEST
) -> tuple[BandFigure, ...]:
    """Return the figures of all ten octave bands, low to high.

    Parameters
    ----------
    attempts
        An attempt counts for each of its bands with its weight there; it is right or wrong as a whole.
    confidence
        Of Wilson's interval, with the weights' sum for a count (a little wide where weights are below 1).
    fewest
        Below so many answers there is no accuracy.
    """
    return band_figures_of(tallies_of(attempts), confidence=confidence, fewest=fewest)


def band_figures_of(
    tallies: Iterable[Tally], *, confidence: float = CONFIDENCE, fewest: int = FEWEST
) -> tuple[BandFigure, ...]:
    """Return what `band_figures` does, of tallies: quickly, however many attempts they sum."""
    by_band: dict[float, list[Tally]] = {band_hz: [] for band_hz in OCTAVE_SCALE.names_hz}
    for tally in tallies:
        by_band.get(tally.band_hz, []).append(tally)
    return tuple(
        _figure(band_hz, by_band[band_hz], confidence=confidence, fewest=fewest)
        for band_hz in OCTAVE_SCALE.names_hz
    )


def _figure(band_hz: float, tallies: Sequence[Tally], *, confidence: float, fewest: int) -> BandFigure:
    asked = math.fsum(tally.asked for tally in tallies)
    right = min(asked, math.fsum(tally.right for tally in tallies))
    if asked < max(fewest - ROUNDING, ROUNDING):
        return BandFigure(band_hz, asked, right, needed=fewest, accuracy=None, interval=None)
    interval = wilson(right, asked, confidence=confidence)
    return BandFigure(band_hz, asked, right, needed=fewest, accuracy=right / asked, interval=interval)
