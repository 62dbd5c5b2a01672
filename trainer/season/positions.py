"""Console positions: what is listened for at each, and whose ears are the best for it as far as can be told."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trainer.practice.band_scale import OCTAVE_SCALE
from trainer.progress.ear_figures import EarFigures
from trainer.progress.figures.intervals import CONFIDENCE, Interval, normal_deviate
from trainer.progress.improvement_words import chance_words, listed
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
CLOSE = 0.2
"""Who is less than so many times as likely to be the best as the first is not named beside them."""
UNKNOWN = 1e3
"""What it costs to seat somebody where it is too early to tell: more than any ear."""


@dataclass(frozen=True, slots=True, eq=False)
class _Ears:
    """The ears known well enough for a position: mean and deviation of the mean ln T75 over its bands, of each."""

    who: tuple[str, ...]
    means: Floats
    deviations: Floats


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
    known = [_known(position, beliefs, ears) for position in POSITIONS]
    seats = seats_of([dict(zip(one.who, one.means.tolist(), strict=True)) for one in known])
    ranked = [_candidates(one, names) for one in known]
    first = [
        names[seat] == candidates[0].name for seat, candidates in zip(seats, ranked, strict=True) if seat
    ]
    seated = [
        f" With one place for each, {names[seat]} sits here." if seat and not all(first) else ""
        for seat in seats
    ]
    return tuple(
        PositionPage(position.title, position.bands_hz, candidates, _words(position, candidates) + seat)
        for position, candidates, seat in zip(POSITIONS, ranked, seated, strict=True)
    )


def _known(position: Position, beliefs: Mapping[str, Belief], ears: Mapping[str, EarFigures]) -> _Ears:
    places = [OCTAVE_SCALE.place(band_hz) for band_hz in position.bands_hz]
    who = tuple(
        one for one in sorted(beliefs) if not any(ears[one].bands[place].is_early for place in places)
    )
    return _Ears(who, *_over(places, [beliefs[one] for one in who]))


def _candidates(known: _Ears, names: Mapping[str, str]) -> tuple[Candidate, ...]:
    """Return the best ears, the best first."""
    chances = chances_to_be_least(known.means, known.deviations)
    half = normal_deviate(CONFIDENCE) * known.deviations
    lows, highs = np.exp(known.means - half), np.exp(known.means + half)
    return tuple(
        Candidate(
            name=names[known.who[place]],
            t75_db=float(np.exp(known.means[place])),
            interval=Interval(float(lows[place]), float(highs[place])),
            chance_best=float(chances[place]),
        )
        for place in np.argsort(known.means, kind="stable")[:SHOWN].tolist()
    )


def seats_of(means: Sequence[Mapping[str, float]]) -> tuple[str, ...]:
    """Return who sits where if nobody sits at two places: as many as can be seated, their means least in all.

    Parameters
    ----------
    means
        Position by position, the mean ln T75 of everybody known there.

    Returns
    -------
    tuple
        A learner for each position; empty where nobody is left.
    """
    from scipy.optimize import linear_sum_assignment

    everybody = sorted({who for one in means for who in one})
    costs = np.array([[one.get(who, UNKNOWN) for who in everybody] for one in means])
    seats = [""] * len(means)
    if everybody:
        places, numbers = linear_sum_assignment(costs)
        for place, number in zip(places.tolist(), numbers.tolist(), strict=True):
            seats[place] = everybody[number] if everybody[number] in means[place] else ""
    return tuple(seats)


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


def _words(position: Position, candidates: Sequence[Candidate]) -> str:
    """Return who hears best what is listened for, or between whom it is too close to tell."""
    if not candidates:
        return "Too early to tell of anybody."
    first = candidates[0]
    if len(candidates) == 1:
        return f"{first.name} is the only one known well enough for {position.title}."
    if first.chance_best >= CLEAR:
        return (
            f"{first.name} hears {position.title} best, with a chance of {chance_words(first.chance_best)}."
        )
    close = [one.name for one in candidates if one.chance_best >= CLOSE * max(first.chance_best, CLOSE)]
    others = [] if sum(one.chance_best for one in candidates) >= CLEAR else ["others"]
    return f"Too close to tell between {listed([*(close or [first.name]), *others])}."
