"""Intervals: the published tables, and the laws an interval keeps."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binomtest

from trainer.progress.figures.intervals import TooFew, jeffreys, normal_deviate, wilson


@pytest.mark.parametrize(
    ("right", "asked", "low", "high"),
    [
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0.0000, 0.1611),
        (1, 29, 0.0061, 0.1718),
    ],
)
def test_wilson_gives_newcombes_table(right: int, asked: int, low: float, high: float) -> None:
    """Newcombe, Statistics in Medicine 17 (1998), Table I, method 3, 95 %."""
    interval = wilson(right, asked, confidence=0.95)
    assert (interval.low, interval.high) == pytest.approx((low, high), abs=5e-5)


def test_wilson_at_90_percent_of_15_in_20() -> None:
    """Wilson's formula worked by hand: p = .75, z = 1.645 gives .568 to .873."""
    interval = wilson(15, 20)
    assert (interval.low, interval.high) == pytest.approx((0.568, 0.873), abs=5e-4)


@given(st.integers(1, 400).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))), st.floats(0.5, 0.999))
def test_wilson_is_scipys(counts: tuple[int, int], confidence: float) -> None:
    """SciPy's binomtest(...).proportion_ci(method="wilson") is the independent reference."""
    right, asked = counts
    expected = binomtest(right, asked).proportion_ci(confidence, method="wilson")
    interval = wilson(right, asked, confidence=confidence)
    assert (interval.low, interval.high) == pytest.approx((expected.low, expected.high), abs=1e-12)


@pytest.mark.parametrize(
    ("right", "asked", "low", "high"),
    [
        (0, 1, 0.0, 0.975),
        (0, 7, 0.0, 0.410),
        (1, 7, 0.0, 0.501),
        (2, 7, 0.065, 0.648),
        (3, 7, 0.139, 0.766),
        (4, 7, 0.234, 0.861),
        (5, 7, 0.352, 0.935),
    ],
)
def test_jeffreys_gives_the_published_table(right: int, asked: int, low: float, high: float) -> None:
    """Brown, Cai & DasGupta, Statistical Science 16 (2001), Table A.1: modified Jeffreys, 95 %."""
    interval = jeffreys(right, asked, confidence=0.95)
    assert (interval.low, interval.high) == pytest.approx((low, high), abs=1e-3)


@given(st.floats(0.1, 500.0), st.floats(0.01, 0.99), st.sampled_from([0.8, 0.9, 0.95]))
def test_intervals_hold_the_share_and_mirror_right_and_wrong(
    asked: float, share: float, confidence: float
) -> None:
    """Laws, also for fractions: within 0 to 1, around the share, the same seen from the wrong answers."""
    right = min(asked, share * asked)
    for method in (wilson, jeffreys):
        interval = method(right, asked, confidence=confidence)
        mirrored = method(asked - right, asked, confidence=confidence)
        assert 0.0 <= interval.low <= interval.high <= 1.0
        assert (interval.low, interval.high) == pytest.approx((1 - mirrored.high, 1 - mirrored.low), abs=1e-6)
    assert wilson(right, asked, confidence=confidence).holds(right / asked)


def test_more_answers_make_a_narrower_interval() -> None:
    """Law: at the same share the width falls with the count."""
    widths = [method(0.75 * n, n) for method in (wilson, jeffreys) for n in (8, 16, 40, 160)]
    widths_of = [interval.high - interval.low for interval in widths]
    assert widths_of[:4] == sorted(widths_of[:4], reverse=True)
    assert widths_of[4:] == sorted(widths_of[4:], reverse=True)


def test_the_normal_deviates_are_the_tables() -> None:
    """Table of the normal distribution: 90 % within 1.6449, 95 % within 1.9600."""
    assert normal_deviate(0.90) == pytest.approx(1.6449, abs=5e-5)
    assert normal_deviate(0.95) == pytest.approx(1.9600, abs=5e-5)


def test_nothing_asked_says_nothing() -> None:
    assert (wilson(0, 0).low, wilson(0, 0).high) == (0.0, 1.0)
    assert (jeffreys(0, 0).low, jeffreys(0, 0).high) == (0.0, 1.0)


def test_slips_are_told() -> None:
    with pytest.raises(ValueError, match=r"did you mean 0\.9"):
        wilson(1, 2, confidence=90)
    with pytest.raises(ValueError, match="not 3"):
        wilson(3, 2)
    with pytest.raises(ValueError, match="not -1"):
        jeffreys(-1, 2)


def test_too_few_says_how_many_are_missing() -> None:
    assert TooFew(5.5, 8).missing == 3
    assert TooFew(9, 8).missing == 0
