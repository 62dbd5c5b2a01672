"""The ear: what of an attempt it takes in, what it makes of days, and that a log gives the same ear again."""

import math
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import numpy as np
import pytest

from tests.progress.made_up import START, answered, attempt
from trainer.practice.attempt import Attempt
from trainer.progress.thresholds import chance_right, spread_of, t75_of
from trainer.progress.thresholds.belief import BANDS, KINDS, WEEK_1
from trainer.progress.thresholds.ear import (
    REFERENCE_KIND,
    Ear,
    Practised,
    after,
    new_ear,
    on_day,
    question_of,
)

DAY = START.date()


def level(number: int = 1, **changed: Any) -> Attempt:
    """Return an attempt at naming which of four sections is up, the amount missed by a step."""
    sections = ("front-ensemble", "battery", "brass", "electronics")
    true = {"which": "brass", "direction": "up", "amount": 6.0}
    whole: dict[str, Any] = {
        "exercise": "level",
        "target": "",
        "size": 5.0,
        "bands": {500.0: 0.75, 1000.0: 0.25},
        "right_answer": true,
        "given_answer": true | {"amount": 3.0},
        "options": {"which": sections, "direction": ("up", "down"), "amount": (1.5, 3.0, 6.0, 12.0)},
        "marks": {"which": 1.0, "direction": 1.0, "amount": 0.7},
        "right": False,
        "score": 0.7,
    }
    return attempt(number, **(whole | changed))


def heard(*attempts: Attempt, ear: Ear | None = None) -> Ear:
    ear = ear or new_ear()
    for one in attempts:
        ear = after(ear, one)
    return ear


def t75(ear: Ear) -> np.ndarray:
    return t75_of(ear.belief)[0]


def test_naming_one_of_few_says_less_than_naming_one_of_many() -> None:
    """Guessing evenly among m bands and two directions is right in 1/(2m): C. E. Shannon's surprise in it."""
    few = {"options": {"band": (500.0, 1000.0, 2000.0), "direction": ("boost", "cut")}}
    assert chance_right(-50.0, options=(3, 2), lapse=0.0) == pytest.approx(1 / 6)
    assert chance_right(-50.0, options=(10, 2), lapse=0.0) == pytest.approx(1 / 20)
    small = {"size": 2.0}
    many_heard, few_heard = heard(attempt(**small)), heard(attempt(**small, **few))
    assert attempt(**few).evidence[0].kind == REFERENCE_KIND
    assert t75(many_heard)[5] < t75(few_heard)[5] < 8.0


def test_a_right_answer_moves_its_band_most_and_its_neighbours_more_than_those_far_off() -> None:
    moved = np.log(8.0 / t75(heard(attempt(size=4.0))))
    assert np.argmax(moved) == 5
    assert moved[5] > moved[4] > moved[2] > moved[0] > 0.0


def test_an_answer_about_several_bands_moves_them_by_their_weights() -> None:
    moved = np.log(8.0 / t75(heard(level(size=3.0))))
    assert moved[4] > moved[5] > 0.0


def test_a_kind_met_late_is_expected_to_be_as_hard_at_its_own_start() -> None:
    ear = heard(attempt(), level(2))
    assert ear.kinds == ("level/section",)
    question = question_of(
        replace(ear, belief=heard(level()).belief), "level/section", {500.0: 1.0}, direction=0
    )
    assert question[KINDS] == 1.0
    first = heard(level(size=6.0 * 0.9999999, marks={"which": 0.0, "direction": 0.0, "amount": 0.0}))
    (said,) = first_said = level(size=9.0 * 0.9999999, marks={"which": 0.0, "direction": 0.0}).evidence
    assert said.start == 6.0
    unknown = heard(level(evidence=(replace(first_said[0], kind="other/section", start=None),)))
    assert t75(first) == pytest.approx(t75(unknown))


@pytest.mark.parametrize("changed", [{"size": 0.0}, {"bands": {}}, {"bands": {44.0: 1.0}}, {"evidence": ()}])
def test_an_attempt_about_nothing_is_seen_and_changes_nothing(changed: dict[str, Any]) -> None:
    before = heard(attempt())
    ear = heard(attempt(2, **changed), ear=before)
    assert (ear.seen, ear.answers) == (2, 1)
    assert np.array_equal(ear.belief.mean, before.belief.mean)


def test_week_1_is_kept_at_the_end_of_its_seventh_day_and_moves_with_what_comes_later() -> None:
    ear = heard(attempt())
    assert not on_day(ear, DAY + timedelta(days=6)).has_week_1
    later = on_day(ear, DAY + timedelta(days=7))
    assert later.has_week_1
    sixth = on_day(ear, DAY + timedelta(days=6)).belief
    assert np.array_equal(later.belief.mean[WEEK_1], sixth.mean[BANDS])
    assert np.array_equal(later.belief.covariance[WEEK_1, WEEK_1], sixth.covariance[BANDS, BANDS])
    missed = {"size": 15.0, "at": START + timedelta(days=7), "marks": {"band": 0.0, "direction": 1.0}}
    wrong = answered(9, band_hz=1000.0, said_hz=63.0, **missed)
    surprised = heard(wrong, ear=later)
    assert surprised.belief.mean[WEEK_1][5] > later.belief.mean[WEEK_1][5]


def test_an_ear_does_not_grow_younger_when_the_clock_is_put_back() -> None:
    ear = on_day(heard(attempt()), DAY + timedelta(days=3))
    assert on_day(ear, DAY).belief is ear.belief
    assert on_day(ear, DAY).day == DAY + timedelta(days=3)


def test_idle_days_widen_the_intervals_by_the_drift_alone() -> None:
    """The drift is a random walk: variances grow by what is added daily (and by the pace's, which fades)."""
    ear = heard(attempt())
    one = np.eye(1, len(ear.belief.mean), 5)[0]
    before, after_30 = (
        spread_of(moved.belief, one)[1] for moved in (ear, on_day(ear, DAY + timedelta(days=30)))
    )
    pace = 0.015**2 * sum(0.97**day for day in range(30)) ** 2
    drift = 30 * (0.020**2 + 0.015**2 + 0.018**2)
    assert after_30**2 == pytest.approx(before**2 + pace + drift, rel=0.05)


def test_other_headphones_widen_all_bands_together_and_the_same_ones_do_not() -> None:
    same = heard(attempt(1, setup="headphones"), attempt(2, setup="headphones"))
    other = heard(attempt(1, setup="headphones"), attempt(2, setup="loudspeakers"))
    unnamed = heard(attempt(1, setup="headphones"), attempt(2, setup=""))
    spreads = [np.sqrt(np.diagonal(ear.belief.covariance)[BANDS]) for ear in (same, other, unnamed)]
    assert np.all(spreads[1] > spreads[0])
    assert np.array_equal(spreads[0], spreads[2])
    assert (same.setup, other.setup, unnamed.setup) == ("headphones", "loudspeakers", "headphones")


def test_what_goes_as_expected_comes_again_after_twice_as_long_and_what_does_not_the_next_day() -> None:
    record = Practised(DAY, answers=50)
    well = record.after_all(DAY + timedelta(days=1), [(True, 0.75)])
    assert (record.interval_days, well.interval_days) == (2, 4)
    again = well.after_all(DAY + timedelta(days=5), [(True, 0.75)])
    assert again.interval_days == 7
    badly = again
    for _ in range(5):
        badly = badly.after_all(DAY + timedelta(days=5), [(False, 0.75)])
    assert badly.interval_days == 1
    assert badly.predicted == pytest.approx(6 * 0.75)
    assert math.sqrt(badly.variance) == pytest.approx(math.sqrt(6 * 0.75 * 0.25))
    assert Practised(DAY, answers=39).interval_days == 1


def test_the_day_is_that_of_greenwich() -> None:
    assert heard(attempt()).first_day == date(2031, 2, 3)
