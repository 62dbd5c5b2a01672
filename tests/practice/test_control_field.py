"""The control field: set on a step of its travel, right within its tolerance, worth nothing four times as far off."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.practice.control_field import ControlField
from trainer.practice.fields import field_from
from trainer.refusal import Refused

GAIN = ControlField("gain", "gain", "dB", low=-12.0, high=12.0, step=0.5, tolerance=1.0)
settings = st.floats(GAIN.low, GAIN.high)


@pytest.mark.parametrize(("typed", "meant"), [("3", 3.0), ("-4.5 dB", -4.5), (" 2.7db ", 2.5), ("12", 12.0)])
def test_a_setting_is_read_with_or_without_its_unit_to_its_step(typed: str, meant: float) -> None:
    assert GAIN.read(typed) == meant


@pytest.mark.parametrize("typed", ["loud", "", "dB", "nan", "inf"])
def test_what_is_no_number_is_refused(typed: str) -> None:
    with pytest.raises(Refused, match=r"no number of dB|runs from -12 to 12 dB"):
        GAIN.read(typed)


@pytest.mark.parametrize("value", [12.5, -13.0, "3", True, None, (), float("nan")])
def test_what_is_off_its_travel_is_refused(value: object) -> None:
    with pytest.raises(Refused, match="gain runs from -12 to 12 dB"):
        GAIN.checked(value)


@pytest.mark.parametrize(
    ("off_db", "mark"), [(0.0, 1.0), (1.0, 1.0), (2.5, 0.5), (4.0, 0.0), (9.0, 0.0), (1.5, 2.5 / 3.0)]
)
def test_the_mark_falls_in_a_straight_line_between_one_and_four_tolerances(
    off_db: float, mark: float
) -> None:
    """Worked by hand: (4 - off) / 3 between the two."""
    assert GAIN.mark(off_db, 0.0) == pytest.approx(mark)
    assert GAIN.mark(-off_db, 0.0) == pytest.approx(mark)
    assert GAIN.mark(2.0 - off_db, 2.0) == pytest.approx(mark)


@given(st.integers(-120, 120), st.sampled_from([0.1, 0.3, 0.5, 0.7]))
def test_as_far_off_as_the_tolerance_is_right_however_numbers_are_rounded(
    place: int, tolerance: float
) -> None:
    fine = ControlField("gain", "gain", "dB", low=-20.0, high=20.0, step=0.1, tolerance=tolerance)
    assert fine.mark(place / 10 + tolerance, place / 10) == 1.0


@given(settings, settings)
def test_a_mark_lies_between_nothing_and_1_and_is_the_same_either_way(
    given_db: float, right_db: float
) -> None:
    assert 0.0 <= GAIN.mark(given_db, right_db) == GAIN.mark(right_db, given_db) <= 1.0
    assert GAIN.mark(given_db, given_db) == 1.0


def test_guessing_is_worth_what_its_marks_are_on_average() -> None:
    """Worked by hand: of 24 dB, 2 are whole and 6 worth a half on average: 5 / 24; half of it at an end."""
    assert GAIN.chance == pytest.approx(2 / 24)
    assert GAIN.guessed(0.0) == pytest.approx(5 / 24, abs=0.01)
    assert GAIN.guessed(12.0) == pytest.approx(2.5 / 24, abs=0.015)
    assert ControlField("x", "x", "", 0.0, 1.0, 0.1, 2.0).chance == 1.0


def test_it_is_told_with_its_unit_and_comes_back_from_json() -> None:
    assert GAIN.label(-3.0) == "-3 dB"
    assert GAIN.read(GAIN.label(-3.0)) == -3.0
    assert GAIN.hint == "-12 to 12 dB"
    assert field_from(json.loads(json.dumps(GAIN.plain(), sort_keys=True))) == GAIN
