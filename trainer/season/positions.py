"""Console positions: what is listened for at each, and whose ears are the best for it as far as can be told."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trainer.dsp.octave_bands import NOMINAL_HZ
from trainer.progress.ear_figures import EarFigures
from trainer.progress.figures.intervals import CONFIDENCE, Interval, normal_deviate
from trainer.progress.thresholds.belief import BANDS, Belief
from trainer.season.pages import Candidate, PositionPage

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Position:
    """A place at the console, and the octave bands listened for there."""

    title: str
    bands_hz: tuple[float, ...]


POSITIONS = (
    Position("low end and subs", (31.5, 63.0, 125.0)),
    Position("electronics and synths", (125.0, 250.0, 500.0, 1000.0)),
    Position("front ensemble", (250.0, 500.0, 1000.0, 2000.0)),
    Position("brass and winds", (500.0, 1000.0, 2000.0, 4000.0)),
    Position("voice and narration", (1000.0, 2000.0, 4000.0)),
    Position("cymbals and air", (8000.0, 16000.0)),
)
"""Who listens for what (common practice, no source)."""
SHOWN = 3
CLEAR = 0.75
"""So likely somebody must be the best to be called so."""


def positions_of(
    beliefs: Mapping[str, Belief], ears: Mapping[str, EarFigures], names: Mapping[str, str]
) -> tuple[PositionPage, ...]:
    """Return every position with its best ears; whoever it is too early to tell of is left out.

    Parameters
    ----------
    beliefs, ears
        What is believed and known of everybody's ear, by learner.
    names
        What they are called.
    """
    return tuple(_position(position, beliefs, ears, names) for position in POSITIONS)


def _position(
    position: Position,
    beliefs: Mapping[str, Belief],
    ears: Mapping[str, EarFigures],
    names: Mapping[str, str],
) -> PositionPage:
    places = [NOMINAL_HZ.index(band_hz) for band_hz in position.bands_hz]
    known = [who for who in beliefs if not any(ears[who].bands[place].is_early for place in places)]
    means, deviations = _over(places, [beliefs[who] for who in known])
    chances = chances_to_be_least(means, deviations)
    half = normal_deviate(CONFIDENCE) * deviations
    order = sorted(range(len(known)), key=lambda who: (means[who], known[who]))[:SHOWN]
    candidates = tuple(
        Candidate(
            name=names[known[who]],
            t75_db=float(np.exp(means[who])),
            interval=Interval(float(np.exp(means[who] - half[who])), float(np.exp(means[who] + half[who]))),
            chance_best=float(chances[who]),
        )
        for who in order
    )
    return PositionPage(position.title, position.bands_hz, candidates, _words(position, candidates))


def _over(places: list[int], beliefs: list[Belief]) -> tuple[Floats, Floats]:
    """Return mean and deviation of the mean ln T75 over some bands, of each belief."""
    means = [float(np.mean(belief.mean[BANDS][places])) for belief in beliefs]
    variances = [
        float(np.mean(belief.covariance[BANDS, BANDS][np.ix_(places, places)])) for belief in beliefs
    ]
    return np.array(means), np.sqrt(np.array(variances))


def chances_to_be_least(means: Floats, deviations: Floats) -> Floats:
    """Return for each of some independent normal values the chance to be the least of all.

    Notes
    -----
    The integral of its density times the chance of all others to lie above, by the trapezium rule on 2001
    points from the lowest end to the highest.
    """
    from scipy.special import log_ndtr

    if not len(means):
        return np.zeros(0)
    grid = np.linspace(np.min(means - 8.0 * deviations), np.max(means + 8.0 * deviations), 2001)
    scores = (grid - means[:, None]) / deviations[:, None]
    above = log_ndtr(-scores)
    density = -0.5 * np.square(scores) - np.log(deviations * np.sqrt(2.0 * np.pi))[:, None]
    chances: Floats = np.trapezoid(np.exp(density + above.sum(axis=0) - above), grid, axis=1)
    return chances


def _words(position: Position, candidates: tuple[Candidate, ...]) -> str:
    if not candidates:
        return "Too early to tell of anybody."
    first, *others = candidates
    if first.chance_best >= CLEAR or not others:
        chance = (
            f", with a chance of {100 * min(first.chance_best, 0.99):.0f} %" if others else " of those known"
        )
        return f"{first.name} hears {position.title} best{chance}."
    return f"Too close to tell between {first.name} and {others[0].name}."
