"""Yards and degrees against their definitions."""

import pytest

from trainer.units import fahrenheit_to_celsius, yards_to_metres


def test_a_yard_is_its_agreed_length() -> None:
    """The international yard of 1959: 0.9144 m exactly; a football field of 100 yards is 91.44 m."""
    assert yards_to_metres(100.0) == pytest.approx(91.44, abs=1e-12)
    assert yards_to_metres(30.0) == pytest.approx(27.432, abs=1e-12)


@pytest.mark.parametrize(
    ("fahrenheit", "celsius"), [(32.0, 0.0), (212.0, 100.0), (-40.0, -40.0), (68.0, 20.0)]
)
def test_the_two_scales_meet_where_they_should(fahrenheit: float, celsius: float) -> None:
    """Water freezes at 32 °F and boils at 212 °F; the scales cross at -40 degrees."""
    assert fahrenheit_to_celsius(fahrenheit) == pytest.approx(celsius, abs=1e-12)
