"""An ear's figures against the standards' tables and the worked values of the paper."""

import numpy as np
import pytest

from trainer.dsp import hearing


@pytest.mark.parametrize(
    ("frequency_hz", "level_db_spl"),
    [(31.5, 59.5), (63.0, 37.5), (125.0, 22.1), (250.0, 11.4), (500.0, 4.4), (1000.0, 2.4), (2000.0, -1.3),
     (4000.0, -5.4), (8000.0, 12.6), (12500.0, 12.3)],
)  # fmt: skip
def test_the_threshold_of_hearing_is_the_standards(frequency_hz: float, level_db_spl: float) -> None:
    """ISO 226:2023, table 1, T_f (the same in the edition of 2003 at these frequencies)."""
    assert hearing.threshold_db_spl(frequency_hz) == pytest.approx(level_db_spl, abs=1e-9)


@pytest.mark.parametrize(
    ("frequency_hz", "level_db_spl"), [(14_000.0, 18.4), (16_000.0, 40.2), (18_000.0, 73.2)]
)
def test_above_12_khz_the_threshold_is_that_of_audiometry(frequency_hz: float, level_db_spl: float) -> None:
    """ISO 389-7:2005 and its amendment of 2016 (18 kHz), free field, as three public programs quote them."""
    assert hearing.threshold_db_spl(frequency_hz) == pytest.approx(level_db_spl, abs=1e-9)


def test_between_the_tabled_frequencies_the_threshold_is_straight_over_log_frequency() -> None:
    middle = hearing.threshold_db_spl(np.sqrt(31.5 * 40.0))
    assert middle == pytest.approx((59.5 + 51.1) / 2.0)
    assert hearing.threshold_db_spl([5.0, 22_000.0]).tolist() == [78.5, 73.2]


@pytest.mark.parametrize(
    ("frequency_hz", "width_hz"), [(1000.0, 132.639), (100.0, 35.494), (8000.0, 888.212)]
)
def test_a_bandwidth_is_the_papers(frequency_hz: float, width_hz: float) -> None:
    """Glasberg and Moore (1990), equation 3: 24.7 (4.37 F + 1) with F in kHz; 132.6 Hz at 1 kHz is quoted widely."""
    assert hearing.erb_hz(frequency_hz) == pytest.approx(width_hz, abs=0.001)


def test_bandwidths_are_counted_as_in_the_paper() -> None:
    """Glasberg and Moore (1990), equation 4: 21.4 log10(4.37 F + 1), 15.6 of them below 1 kHz."""
    assert hearing.erb_number(1000.0) == pytest.approx(15.62, abs=0.005)
    assert hearing.erb_number(0.0) == 0.0
    assert hearing.erb_number_to_hz(hearing.erb_number(3210.0)) == pytest.approx(3210.0)


def test_one_bandwidth_further_up_is_one_bandwidth_in_hertz() -> None:
    """The count is the integral of 1 / ERB (Glasberg and Moore 1990), here summed in steps of 1 Hz to 4 kHz."""
    steps_hz = np.arange(0.5, 4000.0)
    assert np.sum(1.0 / hearing.erb_hz(steps_hz)) == pytest.approx(hearing.erb_number(4000.0), rel=0.005)
