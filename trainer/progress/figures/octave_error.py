"""Octave error: whether wrong answers lie too low or too high, once the edges of the lanes are allowed for.

At 31.5 Hz every wrong answer is too high, at 16 kHz too low, however fair the ear. So from each wrong
answer's error the error is taken that a learner without any leaning would show at the same band, among the
same bands on offer. That learner's errors are symmetrical: seven parts a discretised normal distribution,
three parts a tail falling with exp(-|octaves|/2); the width is the one that makes the learner's own wrong
answers likeliest. What would fall past the lowest or highest lane lands on that lane in one half of cases
and is drawn again in the other: which of the two an ear does is not known, and between them the correction
errs by about a tenth of an octave at most (the shape has no source; the size of the error is simulated).
"""

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trainer.practice.attempt import Attempt
from trainer.practice.band_scale import OCTAVE_SCALE
from trainer.practice.evidence import BAND, Told
from trainer.practice.values import Simple
from trainer.progress.figures.intervals import CONFIDENCE, Estimate, Interval, TooFew, normal_deviate

FEWEST_OVERALL = 40
FEWEST_IN_THIRD = 20
THIRDS = {
    "low": OCTAVE_SCALE.names_hz[:3],
    "mid": OCTAVE_SCALE.names_hz[3:7],
    "high": OCTAVE_SCALE.names_hz[7:],
}
"""The bands by thirds: 31.5 to 125 Hz, 250 Hz to 2 kHz, 4 to 16 kHz."""

_PLACE: dict[Simple, int] = {band_hz: place for place, band_hz in enumerate(OCTAVE_SCALE.names_hz)}
_OFFSETS = np.arange(-len(OCTAVE_SCALE.names_hz) + 1, len(OCTAVE_SCALE.names_hz))
_WIDTHS = np.geomspace(0.3, 4.0, 30)

Floats = NDArray[np.float64]
Lanes = tuple[int, ...]
Wrong = tuple[Lanes, int, int]
"""A wrong answer: the places of the lanes on offer, the true one, the one said."""


@dataclass(frozen=True, slots=True)
class OctaveErrors:
    """How many octaves too high (below 0: too low) the wrong answers lie, overall and by thirds."""

    overall: Estimate | TooFew
    thirds: dict[str, Estimate | TooFew]


def octave_errors(attempts: Sequence[Attempt], *, confidence: float = CONFIDENCE) -> OctaveErrors:
    """Return the corrected octave error of the wrong bands said; giving up says none and is left out."""
    wrong = Counter(_wrong_answers(attempts))
    expected = _expected_errors(wrong)
    places = {third: {_PLACE[band_hz] for band_hz in bands} for third, bands in THIRDS.items()}

    def estimate(here: set[int], needed: int) -> Estimate | TooFew:
        chosen = {one: count for one, count in wrong.items() if one[1] in here}
        return _estimate(chosen, expected, needed=needed, confidence=confidence)

    return OctaveErrors(
        overall=estimate(set(_PLACE.values()), FEWEST_OVERALL),
        thirds={third: estimate(here, FEWEST_IN_THIRD) for third, here in places.items()},
    )


def _wrong_answers(attempts: Sequence[Attempt]) -> list[Wrong]:
    return [
        (_lanes(told), _PLACE[told.true], _PLACE[told.said])
        for attempt in attempts
        for told in (evidence.told.get(BAND) for evidence in attempt.evidence)
        if told is not None and told.said in _PLACE and told.true in _PLACE and told.true != told.said
    ]


def _lanes(told: Told) -> Lanes:
    """Return the places of the lanes on offer, low to high."""
    offered = {_PLACE[band_hz] for band_hz in told.offered or _PLACE if band_hz in _PLACE}
    return tuple(
        sorted(offered | {_PLACE[band_hz] for band_hz in (told.true, told.said) if band_hz is not None})
    )


def _estimate(
    wrong: dict[Wrong, int], expected: dict[tuple[Lanes, int], float], *, needed: int, confidence: float
) -> Estimate | TooFew:
    count = sum(wrong.values())
    if count < needed:
        return TooFew(count, needed)
    errors = np.array([said - true - expected[lanes, true] for lanes, true, said in wrong])
    times = np.array(list(wrong.values()))
    mean = float(np.average(errors, weights=times))
    variance = float(times @ (errors - mean) ** 2) / (count - 1)
    half = normal_deviate(confidence) * math.sqrt(variance / count)
    return Estimate(mean, Interval(mean - half, mean + half), count)


def _expected_errors(wrong: Counter[Wrong]) -> dict[tuple[Lanes, int], float]:
    """Return the mean error of a learner without leaning, by lanes on offer and true band."""
    asked = {(lanes, true) for lanes, true, _ in wrong}
    width = max(_WIDTHS, key=lambda width: _log_likelihood(wrong, asked, width))
    places = np.arange(len(OCTAVE_SCALE.names_hz))
    return {
        (lanes, true): float(said_if_wrong(lanes, true, width) @ (places - true)) for lanes, true in asked
    }


def _log_likelihood(wrong: Counter[Wrong], asked: set[tuple[Lanes, int]], width: float) -> float:
    chances = {one: said_if_wrong(*one, width) for one in asked}
    return sum(count * math.log(chances[lanes, true][said]) for (lanes, true, said), count in wrong.items())


def said_if_wrong(lanes: Lanes, true: int, width: float) -> Floats:
    """Return the chance of each place being said, wrongly, by a learner without leaning.

    Parameters
    ----------
    lanes
        The places on offer.
    true
        The place it was.
    width
        The standard deviation, in octaves, of the normal part of the errors.
    """
    landing = np.clip(true + _OFFSETS, min(lanes), max(lanes))
    errors = _symmetrical_errors(width)
    inside = landing == true + _OFFSETS
    landed = _among_wrong(landing, errors, lanes=lanes, true=true)
    drawn_again = _among_wrong(landing, errors * inside, lanes=lanes, true=true)
    return 0.5 * landed + 0.5 * drawn_again


def _symmetrical_errors(width: float) -> Floats:
    away = np.abs(_OFFSETS)
    normal = np.where(away > 0, np.exp(-0.5 * (away / width) ** 2), 0.0)
    tail = np.where(away > 0, np.exp(-0.5 * away), 0.0)
    errors: Floats = 0.7 * normal / normal.sum() + 0.3 * tail / tail.sum()
    return errors


def _among_wrong(landing: NDArray[np.int_], chances: Floats, *, lanes: Lanes, true: int) -> Floats:
    wrong = np.zeros(len(OCTAVE_SCALE.names_hz))
    np.add.at(wrong, landing, chances)
    wrong *= [place in lanes and place != true for place in range(len(OCTAVE_SCALE.names_hz))]
    share: Floats = wrong / wrong.sum()
    return share
