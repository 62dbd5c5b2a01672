"""Octave error: an unbiased ear shows none, a leaning ear its leaning, too few answers nothing."""

from collections.abc import Callable

import numpy as np
import pytest
from numpy.typing import NDArray

from tests.progress.made_up import BANDS, answered, rng
from trainer.practice.attempt import Attempt
from trainer.progress.figures import Estimate, TooFew, octave_errors
from trainer.progress.figures.octave_error import said_if_wrong

OFFSETS = np.arange(-9, 10)
ALL = tuple(range(10))
Ear = Callable[[int, NDArray[np.float64], tuple[int, ...]], NDArray[np.float64]]


def errors(width: float, *, skew: float = 1.0) -> NDArray[np.float64]:
    """Return the chances of being so many octaves off: ¾ normal, ¼ an exponential tail; skewed upwards."""
    away = np.abs(OFFSETS)
    normal = np.where(away == 0, 0.0, np.exp(-0.5 * (away / width) ** 2))
    tail = np.where(away == 0, 0.0, np.exp(-away / 2.0))
    return (0.75 * normal / normal.sum() + 0.25 * tail / tail.sum()) * np.where(OFFSETS > 0, skew, 1.0)


def drawn_again(place: int, off: NDArray[np.float64], lanes: tuple[int, ...]) -> NDArray[np.float64]:
    return np.array([off[said - place + 9] if said in lanes else 0.0 for said in ALL])


def landing_on_the_edge(place: int, off: NDArray[np.float64], lanes: tuple[int, ...]) -> NDArray[np.float64]:
    chances = np.bincount(np.clip(place + OFFSETS, min(lanes), max(lanes)), weights=off, minlength=10)
    chances[place] = 0.0
    return np.where(np.isin(ALL, lanes), chances, 0.0)


def wrong_answers(
    ear: Ear, *, width: float, count: int, skew: float = 1.0, lanes: tuple[int, ...] = ALL
) -> list[Attempt]:
    random, off = rng(5), errors(width, skew=skew)
    options = {"band": tuple(BANDS[lane] for lane in lanes), "direction": ("boost", "cut")}
    chances = [ear(place, off, lanes) for place in lanes]
    said = [random.choice(10, size=count // len(lanes) + 1, p=chance / chance.sum()) for chance in chances]
    pairs = [
        (BANDS[lanes[n % len(lanes)]], BANDS[said[n % len(lanes)][n // len(lanes)]]) for n in range(count)
    ]
    return [answered(n, band_hz=true, said_hz=hz, options=options) for n, (true, hz) in enumerate(pairs)]


def value(estimate: Estimate | TooFew) -> float:
    assert isinstance(estimate, Estimate)
    return estimate.value


@pytest.mark.parametrize("ear", [drawn_again, landing_on_the_edge])
@pytest.mark.parametrize("width", [0.6, 1.0, 1.6])
def test_an_unbiased_learner_shows_less_than_a_tenth_of_an_octave(ear: Ear, width: float) -> None:
    """The requirement, on learners built from another error shape, with either thing that edges may do."""
    made = wrong_answers(ear, width=width, count=4000)
    found = octave_errors(made)
    assert abs(value(found.overall)) <= 0.1
    assert all(abs(value(third)) <= 0.2 for third in found.thirds.values())
    raw = [
        BANDS.index(float(one.given_answer["band"])) for one in made if one.right_answer["band"] == BANDS[0]
    ]
    assert np.mean(raw) > 1.2, "uncorrected, the lowest band would show more than an octave"


def test_a_third_alone_is_also_fair_to_an_unbiased_learner() -> None:
    """Uncorrected, wrong answers in the low third lie upwards whatever the ear."""
    made = wrong_answers(drawn_again, width=1.0, count=6000)
    low = [one for one in made if one.right_answer["band"] in BANDS[:3]]
    raw = np.mean(
        [BANDS.index(float(a.given_answer["band"])) - BANDS.index(float(a.right_answer["band"])) for a in low]
    )
    assert raw > 0.5
    assert abs(value(octave_errors(made).thirds["low"])) <= 0.15


@pytest.mark.parametrize("lanes", [(2, 3, 4, 5), (5, 6, 7, 8, 9), (0, 2, 3, 6)])
def test_only_the_lanes_on_offer_are_corrected_for(lanes: tuple[int, ...]) -> None:
    made = wrong_answers(drawn_again, width=1.0, count=3000, lanes=lanes)
    assert abs(value(octave_errors(made).overall)) <= 0.1


def test_an_ear_that_leans_up_or_down_is_shown_to() -> None:
    """Twice as many answers too high as too low moves the mean by about a third of an octave."""
    up = octave_errors(wrong_answers(drawn_again, width=1.0, count=2000, skew=2.0)).overall
    down = octave_errors(wrong_answers(drawn_again, width=1.0, count=2000, skew=0.5)).overall
    assert isinstance(up, Estimate)
    assert isinstance(down, Estimate)
    assert 0.25 < up.value < 0.7
    assert -0.7 < down.value < -0.25
    assert up.interval.low > 0.0 > down.interval.high


def test_the_interval_has_the_width_that_wrong_answers_scatter_to() -> None:
    """One wrong answer scatters by about 1.6 octaves: half a 90 % interval is 1.645 x 1.6 / sqrt(n)."""
    found = octave_errors(wrong_answers(drawn_again, width=1.0, count=180)).overall
    assert isinstance(found, Estimate)
    half = (found.interval.high - found.interval.low) / 2
    assert half == pytest.approx(1.645 * 1.6 / 180**0.5, rel=0.35)


def test_too_few_wrong_answers_give_no_figure() -> None:
    made = wrong_answers(drawn_again, width=1.0, count=39)
    right = [answered(1000 + n, band_hz=500.0, said_hz=500.0) for n in range(100)]
    given_up = [answered(2000 + n, band_hz=500.0, said_hz=None) for n in range(100)]
    found = octave_errors(made + right + given_up)
    assert found.overall == TooFew(39, 40)
    assert found.thirds["low"] == TooFew(12, 20)
    assert octave_errors([]).overall == TooFew(0, 40)


def test_the_model_is_a_distribution_over_the_other_lanes() -> None:
    """Laws: sums to 1, never the true lane, mirrored lanes mirror it."""
    for true in ALL:
        chances = said_if_wrong(ALL, true, 1.0)
        assert chances.sum() == pytest.approx(1.0)
        assert chances[true] == 0.0
        assert chances[::-1] == pytest.approx(said_if_wrong(ALL, 9 - true, 1.0))
