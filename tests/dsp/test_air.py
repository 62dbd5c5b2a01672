"""The speed of sound in air against ISO 9613-1 and the handbook figure."""

import pytest

from trainer.dsp.air import speed_of_sound_mps, travel_s
from trainer.units import yards_to_metres


@pytest.mark.parametrize(
    ("temperature_c", "speed_mps"), [(0.0, 331.286), (10.0, 337.296), (20.0, 343.2), (30.0, 349.005)]
)
def test_the_speed_of_sound_is_that_of_the_standard(temperature_c: float, speed_mps: float) -> None:
    """ISO 9613-1:1993, c = 343.2 sqrt(T / 293.15) m/s, as pyfar 0.8.1's ``speed_of_sound_simple``: within 0.01 %."""
    assert speed_of_sound_mps(temperature_c=temperature_c) == pytest.approx(speed_mps, rel=1e-4)


@pytest.mark.parametrize(("temperature_c", "speed_mps"), [(-10.0, 325.179), (0.0, 331.3), (35.0, 351.886)])
def test_the_speed_of_sound_is_that_of_the_handbook(temperature_c: float, speed_mps: float) -> None:
    """331.3 sqrt(1 + t / 273.15) m/s, the usual handbook form, worked out with a calculator."""
    assert speed_of_sound_mps(temperature_c=temperature_c) == pytest.approx(speed_mps, abs=1e-3)


@pytest.mark.parametrize(
    ("distance_yd", "temperature_c", "travel_ms"),
    [(1.0, 20.0, 2.664), (30.0, 20.0, 79.93), (30.0, 0.0, 82.80), (30.0, 35.0, 77.96), (100.0, 20.0, 266.42)],
)
def test_sound_takes_its_time_across_a_field(
    distance_yd: float, temperature_c: float, travel_ms: float
) -> None:
    """A yard is 0.9144 m exactly; 30 yards are 27.432 m, at 343.215 m/s 79.93 ms."""
    found_s = travel_s(yards_to_metres(distance_yd), temperature_c=temperature_c)
    assert 1000.0 * found_s == pytest.approx(travel_ms, abs=6e-3)


@pytest.mark.parametrize("temperature_c", [-40.1, 60.1, 77.0])
def test_a_temperature_that_no_field_has_is_refused(temperature_c: float) -> None:
    with pytest.raises(ValueError, match="did you mean °F"):
        speed_of_sound_mps(temperature_c=temperature_c)


@pytest.mark.parametrize("temperature_c", [-40.0, 60.0])
def test_the_coldest_and_the_hottest_field_are_allowed(temperature_c: float) -> None:
    assert 300.0 < speed_of_sound_mps(temperature_c=temperature_c) < 370.0
