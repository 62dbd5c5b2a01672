"""Response times: quantiles on a logarithmic scale, of right answers only."""

import pytest

from tests.progress.made_up import attempt
from trainer.progress.figures import ResponseTimes, TooFew, response_times


def test_median_and_quartiles_of_a_geometric_series() -> None:
    """1, 2, 4 … 32 s are evenly spaced on a logarithmic scale: the median is the geometric mean, 2^2.5."""
    times = [2.0**power for power in range(6)] * 2
    found = response_times([attempt(n, response_s=time) for n, time in enumerate(times)])
    assert isinstance(found, ResponseTimes)
    assert found.count == 12
    assert found.median_s == pytest.approx(2.0**2.5)
    assert found.lower_quartile_s * found.upper_quartile_s == pytest.approx(found.median_s**2)
    assert found.lower_quartile_s < found.median_s


def test_wrong_answers_and_interruptions_are_left_out() -> None:
    ten = [attempt(n, response_s=10.0) for n in range(8)]
    others = [attempt(20 + n, response_s=60.1) for n in range(9)] + [
        attempt(40 + n, right=False) for n in range(9)
    ]
    found = response_times(ten + others)
    assert isinstance(found, ResponseTimes)
    assert (found.median_s, found.count) == (pytest.approx(10.0), 8)


def test_fewer_than_eight_are_too_few() -> None:
    assert response_times([attempt(n) for n in range(7)]) == TooFew(7, 8)
