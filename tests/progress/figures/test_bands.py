"""Accuracy by octave band and week, counted by hand and against Wilson's interval."""

from datetime import timedelta

import pytest

from tests.progress.made_up import BANDS, START, answered, attempt
from trainer.progress.figures import (
    band_figures,
    band_figures_of,
    tallies_of,
    wilson,
)


def test_all_ten_bands_are_always_there_low_to_high() -> None:
    """ISO 266 names the bands: 31.5 Hz to 16 kHz."""
    figures = band_figures([])
    assert tuple(figure.band_hz for figure in figures) == BANDS
    assert {(figure.asked, figure.accuracy, figure.low, figure.high) for figure in figures} == {
        (0.0, None, None, None)
    }


def test_accuracy_and_interval_of_a_band_counted_by_hand() -> None:
    """15 right of 20 gives .568 to .873 at 90 % (Wilson's formula worked by hand)."""
    attempts = [answered(n, band_hz=250.0, said_hz=250.0 if n < 15 else 500.0) for n in range(20)]
    figure = band_figures(attempts)[3]
    assert (figure.band_hz, figure.asked, figure.right, figure.accuracy) == (250.0, 20, 15, 0.75)
    assert (figure.low, figure.high) == pytest.approx((0.568, 0.873), abs=5e-4)


def test_giving_up_counts_as_wrong() -> None:
    attempts = [answered(n, band_hz=250.0, said_hz=250.0 if n < 4 else None) for n in range(8)]
    assert band_figures(attempts)[3].accuracy == 0.5


def test_an_attempt_counts_in_its_bands_by_weight() -> None:
    """A level change in three bands: its weights are its counts, and their sum is the number of attempts."""
    bands = {125.0: 0.5, 250.0: 0.3, 500.0: 0.2}
    missed = {"marks": {"band": 0.0, "direction": 1.0}}
    attempts = [attempt(n, bands=bands, **({} if n < 20 else missed)) for n in range(50)]
    figures = {figure.band_hz: figure for figure in band_figures(attempts)}
    assert [figures[hz].asked for hz in bands] == pytest.approx([25.0, 15.0, 10.0])
    assert [figures[hz].accuracy for hz in bands] == pytest.approx([0.4, 0.4, 0.4])
    assert sum(figure.asked for figure in figures.values()) == pytest.approx(50.0)
    expected = wilson(6.0, 15.0)
    assert (figures[250.0].low, figures[250.0].high) == pytest.approx((expected.low, expected.high))


def test_below_eight_answers_there_is_no_accuracy_but_a_count() -> None:
    seven = band_figures([answered(n, band_hz=63.0, said_hz=63.0) for n in range(7)])[1]
    assert (seven.asked, seven.right, seven.accuracy, seven.interval, seven.missing) == (7, 7, None, None, 1)
    eight = band_figures([answered(n, band_hz=63.0, said_hz=63.0) for n in range(8)])[1]
    assert (eight.accuracy, eight.high, eight.missing) == (1.0, 1.0, 0)


def test_the_minimum_can_be_lowered() -> None:
    one = band_figures([answered(1, band_hz=63.0, said_hz=63.0)], fewest=1)
    assert one[1].accuracy == 1.0
    assert one[0].accuracy is None


def test_tallies_give_the_same_figures_as_the_attempts() -> None:
    """Law: summing first changes nothing."""
    midnight = START.replace(hour=0)
    made = [
        answered(n, band_hz=BANDS[n % 10], said_hz=BANDS[n % 7], at=midnight + timedelta(hours=5 * n))
        for n in range(400)
    ]
    tallies = tallies_of(made)
    assert band_figures_of(tallies) == band_figures(made)


def test_rounding_of_weights_costs_no_answer() -> None:
    """Ten answers with a weight of 0.8 there are eight, though 0.8 added ten times is not."""
    made = [attempt(n, bands={125.0: 0.8, 250.0: 0.2}) for n in range(10)]
    assert band_figures(made)[2].accuracy == pytest.approx(1.0)
    assert band_figures(made)[2].missing == 0
