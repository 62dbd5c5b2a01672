"""Improved since week 1: chances, the largest set of claims that keeps to its share of wrong ones, and holes."""

from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

from tests.progress.made_up import BANDS
from trainer.progress.figures.holes import FEWEST_ANSWERS, holes_of
from trainer.progress.figures.improvement import (
    FEWEST_DAYS,
    FEWEST_IN_WEEK_1,
    FEWEST_SINCE,
    Improvement,
    TooEarly,
    chance_below_0,
    claimed,
    improvement_of,
    since_week_1,
)
from trainer.progress.thresholds import Belief, after_answer, first_belief, next_day, question_on, with_week_1
from trainer.progress.thresholds.belief import BANDS as STATE_BANDS

ENOUGH = [float(FEWEST_SINCE)] * 10


def season(*, right_share: float, days: int = 30, seed: int = 1) -> Belief:
    """Return what is believed of somebody who is right so often at 6 dB after week 1, and in half of cases in it."""
    rng, belief = np.random.default_rng(seed), first_belief()
    for day in range(days):
        if day == 7:
            belief = with_week_1(belief)
        for _ in range(20):
            question = question_on(np.eye(10)[rng.integers(10)])
            right = bool(rng.random() < (0.5 if day < 7 else right_share))
            belief = after_answer(belief, question=question, size_db=6.0, right=right)
        belief = next_day(belief)
    return belief


def improvement(belief: Belief, **changed: object) -> Improvement | TooEarly:
    given = {"days": FEWEST_DAYS, "in_week_1": FEWEST_IN_WEEK_1, "since": ENOUGH} | changed
    return improvement_of(belief, **given)  # type: ignore[arg-type]


def test_who_got_better_is_told_so_and_who_got_worse_as_well() -> None:
    better, worse = improvement(season(right_share=0.95)), improvement(season(right_share=0.1))
    assert isinstance(better, Improvement)
    assert isinstance(worse, Improvement)
    assert better.is_smaller
    assert not better.is_larger
    assert len(better.smaller_hz) >= 8
    assert worse.is_larger
    assert not worse.is_smaller
    assert worse.smaller_hz == ()
    assert len(worse.larger_hz) >= 8
    assert better.overall.ratio < 0.8
    assert better.overall.interval.holds(better.overall.ratio)


def test_what_it_is_now_and_was_then_gives_the_ratio() -> None:
    found = improvement(season(right_share=0.9))
    assert isinstance(found, Improvement)
    for band in found.bands:
        assert band.now_db / band.then_db == pytest.approx(band.change.ratio)


@pytest.mark.parametrize(
    ("changed", "missing"),
    [
        ({"days": FEWEST_DAYS - 3}, TooEarly(3, 0)),
        ({"in_week_1": FEWEST_IN_WEEK_1 - 9.5}, TooEarly(0, 10)),
    ],
)
def test_before_there_is_enough_it_is_too_early_to_tell(changed: dict[str, float], missing: TooEarly) -> None:
    assert improvement(season(right_share=0.95), **changed) == missing


def test_a_band_with_too_few_answers_since_is_not_told_of() -> None:
    since = [*ENOUGH]
    since[3] = FEWEST_SINCE - 1.0
    found = improvement(season(right_share=0.95), since=since)
    assert isinstance(found, Improvement)
    assert BANDS[3] not in found.smaller_hz
    assert [band.is_told for band in found.bands].count(False) == 1


def test_the_difference_has_the_variance_of_a_difference() -> None:
    """Var(a - b) = Var a + Var b - 2 Cov(a, b), by ten thousand draws from the belief itself."""
    belief = season(right_share=0.8)
    means, covariance = since_week_1(belief)
    rng = np.random.default_rng(2)
    draws = rng.multivariate_normal(belief.mean, belief.covariance, 20_000, method="eigh")
    differences = draws[:, 0:10] - draws[:, 12:22]
    assert np.mean(differences, axis=0) == pytest.approx(means, abs=0.01)
    assert np.cov(differences.T) == pytest.approx(covariance, abs=0.004)


@given(st.lists(st.floats(0.0, 1.0), min_size=1, max_size=7))
def test_the_claims_are_the_largest_set_that_is_wrong_in_one_of_twenty(chances: list[float]) -> None:
    """By looking at every set: none with more claims has a mean chance to be wrong of at most .05."""
    made = claimed(np.array(chances))
    wrong = [1.0 - chance for chance in chances]
    assert (
        not made.any() or np.mean([one for one, is_made in zip(wrong, made, strict=True) if is_made]) <= 0.05
    )
    larger = combinations(wrong, int(made.sum()) + 1)
    assert not any(np.mean(one) <= 0.05 - 1e-12 for one in larger)


def test_chances_are_those_of_the_normal_distribution() -> None:
    """Against scipy.stats.norm."""
    means, deviations = np.array([-0.3, 0.0, 0.4]), np.array([0.1, 0.2, 0.3])
    assert chance_below_0(means, deviations) == pytest.approx(norm.cdf(0.0, means, deviations))


# Holes.


def with_hole(ratio: float, *, spread: float = 0.1) -> Belief:
    belief = first_belief()
    mean, covariance = belief.mean.copy(), belief.covariance.copy()
    mean[3] += np.log(ratio)
    covariance[STATE_BANDS, STATE_BANDS] = spread**2 * np.eye(10)
    return replace(belief, mean=mean, covariance=covariance)


def test_a_hole_is_told_of_with_how_deep_it_is() -> None:
    (hole,) = holes_of(with_hole(2.0), dict.fromkeys(BANDS, FEWEST_ANSWERS))
    assert (hole.band_hz, round(hole.ratio, 6)) == (250.0, 2.0)
    half = 1.645 * 0.1 * np.sqrt(1 + 1 / 9)
    assert np.log(hole.interval.high / hole.interval.low) == pytest.approx(2 * half, abs=1e-3)
    assert hole.chance == pytest.approx(norm.sf(np.log(1.25), np.log(2.0), 0.1 * np.sqrt(1 + 1 / 9)))


def test_a_shallow_one_an_uncertain_one_and_one_with_few_answers_are_not() -> None:
    answers = dict.fromkeys(BANDS, float(FEWEST_ANSWERS))
    assert holes_of(with_hole(1.3), answers) == ()
    assert holes_of(with_hole(2.0, spread=0.5), answers) == ()
    assert holes_of(with_hole(2.0), answers | {250.0: FEWEST_ANSWERS - 1.0}) == ()
