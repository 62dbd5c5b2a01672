"""T75 by octave band: its interval and the share named at 6 dB, against scipy; and when it is too early."""

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.special import expit
from scipy.stats import lognorm, norm

from trainer.dsp.octave_bands import NOMINAL_HZ
from trainer.progress.figures.smallest_changes import named_at, smallest_changes
from trainer.progress.thresholds import Belief, after_answer, first_belief, next_day, question_on, with_week_1


def heard(count: int, *, place: int, size_db: float, seed: int = 1) -> Belief:
    """Return what is believed after some answers in one band, two in three of them right."""
    belief, rng = first_belief(), np.random.default_rng(seed)
    for _ in range(count):
        question = question_on(np.eye(10)[place], direction=int(rng.choice((-1, 1))))
        belief = after_answer(belief, question=question, size_db=size_db, right=bool(rng.random() < 0.67))
    return belief


BELIEFS = {
    "nobody": first_belief(),
    "few": heard(9, place=3, size_db=6.0),
    "many": heard(90, place=7, size_db=3.0),
}
PLENTY = dict.fromkeys(NOMINAL_HZ, 9.0)


def log_sd(belief: Belief, place: int) -> float:
    return float(np.sqrt(belief.covariance[place, place]))


@pytest.mark.parametrize("belief", BELIEFS.values(), ids=BELIEFS)
@pytest.mark.parametrize("confidence", [0.90, 0.5])
def test_t75_and_its_interval_are_quantiles_of_a_lognormal_distribution(
    belief: Belief, confidence: float
) -> None:
    """The 5 %, 50 % and 95 % quantiles of scipy.stats.lognorm."""
    tail = (1.0 - confidence) / 2.0
    for place, change in enumerate(smallest_changes(belief, PLENTY, confidence=confidence)):
        spread = lognorm(s=log_sd(belief, place), scale=np.exp(belief.mean[place]))
        found = change.interval.low, change.t75_db, change.interval.high
        assert found == pytest.approx(spread.ppf([tail, 0.5, 1.0 - tail]), rel=1e-9)


def share_named(ease: float) -> float:
    """Return how often band and direction are named, written out (slope 2.7, lapses 3 %, one of 10, one of 2)."""
    band = 0.1 + 0.9 * expit(2.7 * ease)
    direction = 0.5 + 0.5 * expit(2.7 * (ease + 0.5))
    return float(0.97 * band * direction + 0.03 / 20)


@pytest.mark.parametrize("belief", BELIEFS.values(), ids=BELIEFS)
@pytest.mark.parametrize("size_db", [1.0, 6.0, 15.0])
def test_the_share_named_is_the_expectation_over_what_is_believed(belief: Belief, size_db: float) -> None:
    """Against scipy.integrate.quad over a normal density, with the ease of 75 % found by scipy's own root finder."""
    from scipy.optimize import brentq

    at_75 = brentq(lambda ease: share_named(ease) - 0.75, -5.0, 5.0)
    figures = named_at(belief, size_db)
    for place in (0, 3, 7):
        expected, low, high = figures[place]
        ease, spread = np.log(size_db) - belief.mean[place] + at_75, log_sd(belief, place)
        whole, _ = quad(lambda u, e=ease, s=spread: norm.pdf(u) * share_named(e + s * u), -9.0, 9.0)
        assert expected == pytest.approx(whole, abs=2e-4)
        assert (low, high) == pytest.approx(
            [share_named(ease + side * spread) for side in norm.ppf([0.05, 0.95])]
        )
        assert low < expected < high


def test_at_t75_itself_three_in_four_are_named() -> None:
    """The definition of T75, where nothing of it is in doubt."""
    sure = first_belief()
    known = Belief(sure.mean, sure.covariance * 1e-12)
    assert [named for named, _, _ in named_at(known, 8.0)] == pytest.approx([0.75] * 10)


def test_it_is_too_early_before_twenty_answers_in_all_and_two_in_the_band() -> None:
    def missing(answers: dict[float, float]) -> list[int]:
        return [change.missing for change in smallest_changes(first_belief(), answers)]

    assert missing({}) == [20] * 10
    assert missing({1000.0: 19.0}) == [2, 2, 2, 2, 2, 1, 2, 2, 2, 2]
    assert missing({1000.0: 20.0}) == [2, 2, 2, 2, 2, 0, 2, 2, 2, 2]
    assert missing({1000.0: 18.5, 63.0: 1.5}) == [2, 1, 2, 2, 2, 0, 2, 2, 2, 2]
    assert missing(PLENTY) == [0] * 10
    assert missing(dict.fromkeys(NOMINAL_HZ, 6 * (1 / 3))) == [0] * 10, "the dust of adding is none"
    early, told = (smallest_changes(first_belief(), answers)[5] for answers in ({}, PLENTY))
    assert (early.is_early, told.is_early) == (True, False)


def test_week_1_is_told_once_there_is_one() -> None:
    belief = heard(30, place=5, size_db=4.0)
    kept = with_week_1(belief)
    later = next_day(after_answer(kept, question=question_on(np.eye(10)[5]), size_db=3.0, right=True))
    now = smallest_changes(later, PLENTY, has_week_1=True)
    assert {change.week_1_db for change in smallest_changes(later, PLENTY)} == {None}
    then = smallest_changes(kept, PLENTY, has_week_1=True)[5]
    assert then.week_1_db == pytest.approx(then.t75_db)
    assert now[5].week_1_db < then.t75_db, "a right answer since says something of week 1 too"  # type: ignore[operator]


def test_what_is_likelier_than_not_larger_than_all_that_is_asked_is_beyond() -> None:
    """Where more than half of the lognormal distribution lies above 15 dB."""
    for belief in (heard(40, place=3, size_db=15.0, seed=seed) for seed in (2, 3, 5, 8)):
        for place, change in enumerate(smallest_changes(belief, PLENTY)):
            above = lognorm(s=log_sd(belief, place), scale=np.exp(belief.mean[place])).sf(15.0)
            assert change.is_beyond == (above > 0.5)
    deaf = first_belief()
    for _ in range(12):
        deaf = after_answer(deaf, question=question_on(np.eye(10)[0]), size_db=15.0, right=False)
    assert smallest_changes(deaf, PLENTY)[0].is_beyond
    assert not any(change.is_beyond for change in smallest_changes(first_belief(), PLENTY))
