"""Direction bias: signal detection's criterion worked by hand, and no figure where there is none to give."""

import pytest
from scipy.stats import norm

from tests.progress.made_up import answered, attempt
from trainer.practice.attempt import Attempt
from trainer.progress.figures import DirectionBias, TooFew, direction_bias
from trainer.progress.figures.direction_bias import LABELS


def answers(
    *, hits: int, misses: int, false_alarms: int, rejections: int, labels: tuple[str, str] = LABELS[0]
) -> list[Attempt]:
    first, second = labels
    cells = [
        (first, first, hits),
        (first, second, misses),
        (second, first, false_alarms),
        (second, second, rejections),
    ]
    pairs = [(true, said) for true, said, count in cells for _ in range(count)]
    return [
        answered(n, band_hz=500.0, said_hz=500.0, direction=true, said=said)
        for n, (true, said) in enumerate(pairs)
    ]


def test_the_criterion_is_the_textbooks() -> None:
    """The criterion -½[z(H) + z(F)] by SciPy, log-linear rule, of 80 in 100 and 40 in 100."""
    bias = direction_bias(answers(hits=80, misses=20, false_alarms=40, rejections=60))
    assert isinstance(bias, DirectionBias)
    hit, false_alarm = 80.5 / 101, 40.5 / 101
    assert bias.criterion == pytest.approx(-0.5 * (norm.ppf(hit) + norm.ppf(false_alarm)))
    variance = sum(p * (1 - p) / (100 * norm.pdf(norm.ppf(p)) ** 2) for p in (hit, false_alarm))
    assert bias.interval.high - bias.criterion == pytest.approx(1.6448536 * 0.5 * variance**0.5)
    assert bias.leans_to == "boost"


def test_an_even_learner_leans_to_nothing_and_a_cautious_one_to_cut() -> None:
    even = direction_bias(answers(hits=50, misses=10, false_alarms=10, rejections=50))
    cautious = direction_bias(answers(hits=30, misses=30, false_alarms=5, rejections=55))
    assert isinstance(even, DirectionBias)
    assert isinstance(cautious, DirectionBias)
    assert even.criterion == pytest.approx(0.0)
    assert even.leans_to is None
    assert cautious.leans_to == "cut"


def test_the_interval_at_the_minimum_is_about_a_quarter_either_way() -> None:
    """At 60 + 60 answers, three in four right, half the interval is about a fifth (no source; simulated)."""
    bias = direction_bias(answers(hits=45, misses=15, false_alarms=15, rejections=45))
    assert isinstance(bias, DirectionBias)
    assert 0.15 < bias.interval.high < 0.27


def test_never_wrong_and_always_the_same_answer_are_finite() -> None:
    """The log-linear rule is there for these."""
    perfect = direction_bias(answers(hits=60, misses=0, false_alarms=0, rejections=60))
    stuck = direction_bias(answers(hits=60, misses=0, false_alarms=60, rejections=0))
    assert isinstance(perfect, DirectionBias)
    assert isinstance(stuck, DirectionBias)
    assert perfect.criterion == pytest.approx(0.0)
    assert stuck.criterion < -2.0
    assert stuck.leans_to == "boost"


def test_up_and_down_are_counted_apart_from_boost_and_cut() -> None:
    level = answers(hits=60, misses=0, false_alarms=30, rejections=30, labels=("up", "down"))
    assert direction_bias(level) == TooFew(0, 60)
    bias = direction_bias(level, labels=("up", "down"))
    assert isinstance(bias, DirectionBias)
    assert bias.leans_to == "up"


def test_fewer_than_sixty_either_way_is_too_few_and_giving_up_counts_for_neither() -> None:
    made = answers(hits=100, misses=0, false_alarms=0, rejections=59)
    given_up = [
        attempt(1000 + n, right_answer={"direction": "cut"}, given_answer={}, right=False) for n in range(50)
    ]
    assert direction_bias(made + given_up) == TooFew(59, 60)
