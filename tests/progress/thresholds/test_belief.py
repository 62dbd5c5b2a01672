"""The filter's laws: what an answer may do and may not, what days do, and that many at once are as one by one."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.stats import norm

from trainer.progress.thresholds import (
    EASE_75,
    Belief,
    after_answer,
    chance_right,
    first_belief,
    next_day,
    question_on,
    smoothed,
    t75_of,
    with_kind,
    with_week_1,
)
from trainer.progress.thresholds.belief import (
    APART,
    APART_SD,
    BANDS,
    DAILY,
    KINDS,
    PACE,
    PACE_DRIFT_SD,
    day_step,
)
from trainer.progress.thresholds.smoothing import smoothed_means

ANSWERS = st.lists(
    st.tuples(
        st.integers(0, 9),
        st.sampled_from((1, -1)),
        st.sampled_from((1.5, 3.0, 6.0, 10.0, 15.0)),
        st.booleans(),
    ),
    min_size=1,
    max_size=25,
)
SIZE = KINDS
Answer = tuple[int, int, float, bool]


def took(belief: Belief, answer: Answer) -> Belief:
    band, direction, size_db, right = answer
    question = question_on(np.eye(10)[band], direction=direction, size=belief.mean.shape[-1])
    return after_answer(belief, question=question, size_db=size_db, right=right)


def after_all(answers: list[Answer], *, days: int = 3) -> Belief:
    belief = with_kind(first_belief())
    for number, answer in enumerate(answers):
        belief = took(belief, answer)
        if number % max(1, len(answers) // days) == 0:
            belief = next_day(belief)
    return belief


@given(ANSWERS)
def test_the_covariance_stays_symmetrical_and_nowhere_below_0(answers: list[Answer]) -> None:
    belief = next_day(with_week_1(after_all(answers)))
    assert np.array_equal(belief.covariance, belief.covariance.T)
    assert np.linalg.eigvalsh(belief.covariance).min() >= -1e-12


@given(ANSWERS, st.integers(0, 9), st.sampled_from((1.5, 6.0, 15.0)))
def test_a_right_answer_never_raises_its_band_and_a_wrong_one_never_lowers_it(
    answers: list[Answer], band: int, size_db: float
) -> None:
    belief = after_all(answers)
    right, wrong = (took(belief, (band, 1, size_db, is_right)) for is_right in (True, False))
    assert right.mean[band] <= belief.mean[band] + 1e-12
    assert wrong.mean[band] >= belief.mean[band] - 1e-12


def test_an_answer_that_tells_nothing_changes_nothing() -> None:
    """A flat likelihood (all answers alike on offer: one band, one way) leaves the variance within .01 %."""
    belief = first_belief()
    question = question_on(np.eye(10)[4])
    flat = after_answer(belief, question=question, size_db=6.0, right=True, options=(1, 1))
    assert flat.mean == pytest.approx(belief.mean, abs=1e-12)
    assert np.diagonal(flat.covariance) == pytest.approx(np.diagonal(belief.covariance), rel=1e-4, abs=1e-15)


@pytest.mark.parametrize(("size_db", "right"), [(3.0, True), (6.0, False), (12.0, False)])
def test_one_answer_about_one_band_is_bayes_rule(size_db: float, right: bool) -> None:
    """Against numerical integration (QUADPACK by scipy) of prior times likelihood, one dimension."""
    belief = first_belief()
    found = after_answer(belief, question=question_on(np.eye(10)[6]), size_db=size_db, right=right)
    prior = norm(np.log(8.0), np.sqrt(belief.covariance[6, 6]))

    def weight(x: float, power: int) -> float:
        chance = float(chance_right(np.log(size_db) - x + EASE_75))
        return float(x**power * prior.pdf(x) * (chance if right else 1.0 - chance))

    whole, first, second = (quad(weight, -2.0, 6.0, (power,), limit=200)[0] for power in (0, 1, 2))
    assert found.mean[6] == pytest.approx(first / whole, abs=1e-4)
    assert found.covariance[6, 6] == pytest.approx(second / whole - (first / whole) ** 2, rel=2e-3)


def test_the_order_of_a_days_answers_hardly_matters() -> None:
    """Agreed beforehand, in ln T75: 99 in 100 bands move by less than .02, none by more than .04."""
    rng, moved, begun = np.random.default_rng(4), [], first_belief()
    for number in range(250):
        right = bool(rng.random() < 0.75)
        begun = took(begun, (int(rng.integers(10)), 1, float(rng.choice((7.0, 8.0, 9.0))), right))
        begun = next_day(begun) if number % 25 == 24 else begun
    for _ in range(40):
        answers = [
            (
                int(rng.integers(10)),
                int(rng.choice((1, -1))),
                float(rng.uniform(3, 12)),
                bool(rng.random() < 0.75),
            )
            for _ in range(25)
        ]
        one = other = begun
        for answer in answers:
            one = took(one, answer)
        for place in rng.permutation(25):
            other = took(other, answers[place])
        moved.append(np.abs(one.mean[BANDS] - other.mean[BANDS]))
    assert np.quantile(moved, 0.99) < 0.02
    assert np.max(moved) < 0.04


def test_thirty_idle_days_double_the_intervals_of_a_practised_ear_and_do_not_shift_them() -> None:
    """The agreed figure: x2.1 after 30 days for somebody well measured, the pace at rest."""
    rng, belief = np.random.default_rng(5), first_belief()
    for _ in range(60):
        for _ in range(25):
            right = bool(rng.random() < 0.75)
            belief = took(belief, (int(rng.integers(10)), 1, float(rng.choice((7.0, 8.0, 9.0))), right))
        belief = next_day(belief)
    mean, covariance = belief.mean.copy(), belief.covariance.copy()
    mean[PACE] = 0.0
    later = belief = Belief(mean, covariance)
    for _ in range(30):
        later = next_day(later)
    assert later.mean[BANDS] == pytest.approx(mean[BANDS])
    wider = np.sqrt(np.diagonal(later.covariance)[BANDS] / np.diagonal(covariance)[BANDS])
    assert 1.7 < np.mean(wider) < 2.6


def test_learners_together_are_as_they_are_alone() -> None:
    rng = np.random.default_rng(6)
    together = first_belief(learners=(5,))
    alone = [first_belief() for _ in range(5)]
    for _ in range(12):
        bands, ways = rng.integers(10, size=5), rng.choice((1, -1), 5)
        sizes_db, rights = rng.uniform(2, 12, 5), rng.random(5) < 0.7
        question = question_on(np.eye(10)[bands], direction=ways)
        together = next_day(after_answer(together, question=question, size_db=sizes_db, right=rights))
        alone = [
            next_day(took(one, (int(band), int(way), float(size_db), bool(right))))
            for one, band, way, size_db, right in zip(alone, bands, ways, sizes_db, rights, strict=True)
        ]
    assert together.mean == pytest.approx(np.array([one.mean for one in alone]), abs=1e-12)
    assert together.covariance == pytest.approx(np.array([one.covariance for one in alone]), abs=1e-12)


def test_the_interval_holds_nine_in_ten_of_what_is_believed() -> None:
    """Against scipy.stats.norm: the 5 % and 95 % points of the logarithm."""
    belief = took(first_belief(), (3, 1, 4.0, True))
    median, low, high = t75_of(belief)
    spread = np.sqrt(np.diagonal(belief.covariance)[BANDS])
    assert np.log(median) == pytest.approx(belief.mean[BANDS])
    assert np.log(low) == pytest.approx(norm.ppf(0.05, belief.mean[BANDS], spread))
    assert np.log(high) == pytest.approx(norm.ppf(0.95, belief.mean[BANDS], spread))


# Smoothing.


def test_smoothing_is_the_joint_posterior_of_all_days() -> None:
    """Against one dense Gaussian over all days at once, each day's answers taken in as linear measurements.

    The filter's own answers are replaced by exact linear ones (Kalman, Journal of Basic Engineering 82, 1960),
    so that both routes must give the same numbers.
    """
    days, size, noise = 6, 12, 0.3**2
    rng = np.random.default_rng(7)
    rows = rng.standard_normal((days, size)) * (np.arange(size) < 10)
    seen = 2.0 + rng.standard_normal(days)
    step, drift = day_step(SIZE)[:size, :size], np.zeros((size, size))
    drift[BANDS, BANDS] = DAILY
    drift[PACE, PACE] = PACE_DRIFT_SD**2
    start = first_belief()
    mean, covariance = start.mean[:size], start.covariance[:size, :size]
    filtered = []
    for day in range(days):
        if day:
            mean, covariance = step @ mean, step @ covariance @ step.T + drift
        gain = covariance @ rows[day] / (rows[day] @ covariance @ rows[day] + noise)
        mean = mean + gain * (seen[day] - rows[day] @ mean)
        covariance = covariance - np.outer(gain, rows[day] @ covariance)
        filtered.append(_whole(mean, covariance))
    found = smoothed(filtered)
    # All days as one vector: x_d = step^d x_0 + sum of step^(d - k) noise_k.
    joint_mean = np.concatenate(
        [np.linalg.matrix_power(step, day) @ start.mean[:size] for day in range(days)]
    )
    joint = np.zeros((days * size, days * size))
    first = start.covariance[:size, :size]
    for i in range(days):
        for j in range(days):
            block = np.linalg.matrix_power(step, i) @ first @ np.linalg.matrix_power(step, j).T
            for k in range(1, min(i, j) + 1):
                block += np.linalg.matrix_power(step, i - k) @ drift @ np.linalg.matrix_power(step, j - k).T
            joint[i * size : (i + 1) * size, j * size : (j + 1) * size] = block
    measure = np.zeros((days, days * size))
    for day in range(days):
        measure[day, day * size : (day + 1) * size] = rows[day]
    gain = joint @ measure.T @ np.linalg.inv(measure @ joint @ measure.T + noise * np.eye(days))
    joint_mean = joint_mean + gain @ (seen - measure @ joint_mean)
    joint = joint - gain @ measure @ joint
    for day, belief in enumerate(found):
        here = slice(day * size, (day + 1) * size)
        assert belief.mean[:size] == pytest.approx(joint_mean[here], abs=1e-9)
        assert belief.covariance[:size, :size] == pytest.approx(joint[here, here], abs=1e-9)


def _whole(mean: np.ndarray, covariance: np.ndarray) -> Belief:
    whole = Belief(np.zeros(SIZE), np.zeros((SIZE, SIZE)))
    whole.mean[: len(mean)] = mean
    whole.covariance[: len(mean), : len(mean)] = covariance
    whole.covariance[APART, APART] = APART_SD**2
    return whole


def test_smoothing_knows_all_kinds_on_every_day_and_narrows_what_was_believed() -> None:
    rng, belief, days = np.random.default_rng(8), first_belief(), []
    for day in range(10):
        if day == 4:
            belief = with_kind(belief, expected=0.2)
        if day == 7:
            belief = with_week_1(belief)
        for _ in range(10):
            belief = took(belief, (int(rng.integers(10)), 1, 6.0, bool(rng.random() < 0.7)))
        days.append(belief)
        belief = next_day(belief)
    found = smoothed(days)
    assert [one.mean.shape for one in found] == [(SIZE + 1,)] * 10
    assert found[-1].mean[BANDS] == pytest.approx(days[-1].mean[BANDS])
    for early, late in zip(days[:-1], found[:-1], strict=True):
        assert np.all(np.diagonal(late.covariance)[BANDS] < np.diagonal(early.covariance)[BANDS])
    assert np.array_equal(smoothed_means(days), [one.mean for one in found])
    assert smoothed([]) == []
    assert len(smoothed_means([])) == 0
