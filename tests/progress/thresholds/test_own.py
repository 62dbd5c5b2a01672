"""Kinds with a figure of their own: in milliseconds, or there or not; they move no octave band's lane."""

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from scipy.integrate import quad

from tests.progress.made_up import START, attempt
from trainer.practice.evidence import Evidence
from trainer.progress.figures.intervals import wilson
from trainer.progress.thresholds import EASE_75, chance_right
from trainer.progress.thresholds.ear import Ear, after, new_ear, on_day
from trainer.progress.thresholds.own import first_threshold

DAY = START.date()


def late(
    number: int, *, named: bool, size_ms: float = 20.0, start: float | None = 40.0, **changed: object
) -> Ear:
    """Return what an ear is after so many answers about a section that is late, each by so many ms."""
    said = Evidence("delay/section", size_ms, "ms", {}, named, (4.0, 2.0), 1, {}, start)
    ear = new_ear()
    for one in range(1, number + 1):
        ear = after(ear, attempt(one, exercise="delay", evidence=(said,), **changed))
    return ear


def test_answers_about_milliseconds_move_no_octave_lane() -> None:
    for named in (True, False):
        ear = late(30, named=named)
        assert np.array_equal(ear.belief.mean, new_ear().belief.mean)
        assert np.array_equal(ear.belief.covariance, new_ear().belief.covariance)
        assert ear.kinds == ()
        assert (ear.seen, ear.answers) == (30, 30)


def test_its_threshold_is_told_in_its_own_unit_and_follows_the_answers() -> None:
    good, poor = (late(30, named=named).own.thresholds["delay/section"] for named in (True, False))
    assert good.unit == poor.unit == "ms"
    assert good.interval()[0] < 20.0 < poor.interval()[0]
    assert good.answers == 30


def test_at_first_it_is_as_hard_at_its_start_as_octave_tone_is_at_9_db() -> None:
    median, interval = first_threshold("ms", start=45.0, day=DAY).interval()
    assert median == pytest.approx(45.0 * 8.0 / 9.0)
    assert interval.low < median < interval.high


def test_one_answer_is_taken_in_as_bayes_rule_says() -> None:
    """Bayes' rule by adaptive quadrature (scipy.integrate.quad), for the mean of ln T75 after one answer."""
    first = first_threshold("ms", start=40.0, day=DAY)

    def weight(ln_t75: float) -> float:
        likely = chance_right(np.log(20.0) - ln_t75 + EASE_75, options=(4.0, 2.0))
        return float(np.exp(-0.5 * (ln_t75 - first.mean) ** 2 / first.variance) * likely)

    low, high = first.mean - 6.0 * first.variance**0.5, first.mean + 6.0 * first.variance**0.5
    expected = quad(lambda u: u * weight(u), low, high)[0] / quad(weight, low, high)[0]
    assert late(1, named=True).own.thresholds["delay/section"].mean == pytest.approx(expected, abs=0.002)


def test_days_and_other_headphones_widen_it() -> None:
    same = late(2, named=True, setup="headphones").own.thresholds["delay/section"]
    said = Evidence("delay/section", 20.0, "ms", {}, True, (4.0, 2.0), 1, {}, 40.0)
    ear = late(1, named=True, setup="headphones")
    other = after(ear, attempt(2, exercise="delay", evidence=(said,), setup="loudspeakers"))
    later = after(
        ear, attempt(2, exercise="delay", evidence=(said,), setup="headphones", at=START + timedelta(days=40))
    )
    assert same.variance < other.own.thresholds["delay/section"].variance
    assert same.variance < later.own.thresholds["delay/section"].variance
    assert later.own.thresholds["delay/section"].day == DAY + timedelta(days=40)


def test_a_fault_that_is_there_or_not_is_counted_and_told_as_a_rate() -> None:
    """Wilson's interval (Newcombe, Statistics in Medicine 17, 1998)."""
    ear = new_ear()
    for number in range(1, 11):
        said = Evidence("polarity/stem", None, "", {}, number <= 8, (5.0,))
        ear = after(ear, attempt(number, exercise="polarity", evidence=(said,)))
    estimate = ear.own.rates["polarity/stem"].estimate
    assert estimate is not None
    assert (estimate.value, estimate.interval) == (0.8, wilson(8, 10))
    assert ear.own.thresholds == {}
    assert np.array_equal(ear.belief.mean, new_ear().belief.mean)
    assert ear.practised["polarity"].answers == 10


def test_several_things_said_by_one_answer_are_all_taken_in() -> None:
    tone = attempt().evidence[0]
    one = attempt(1, evidence=(tone, replace(tone, kind="level/section", named=False)))
    ear = after(new_ear(), one)
    assert (ear.seen, ear.answers, ear.kinds) == (1, 2, ("level/section",))
    assert ear.practised["octave-tone"].answers == 2


def test_a_threshold_stands_still_when_the_clock_is_put_back() -> None:
    ear = on_day(late(3, named=True), date(2031, 3, 1))
    own = ear.own.thresholds["delay/section"]
    said = Evidence("delay/section", 20.0, "ms", {}, True, (4.0, 2.0), 1, {}, 40.0)
    back = after(ear, attempt(9, exercise="delay", evidence=(said,), at=START - timedelta(days=10)))
    assert back.own.thresholds["delay/section"].day == own.day


def test_idle_days_widen_it_too() -> None:
    ear = late(3, named=True)
    later = on_day(ear, DAY + timedelta(days=30))
    assert later.own.thresholds["delay/section"].variance > ear.own.thresholds["delay/section"].variance
    assert later.own.thresholds["delay/section"].mean == ear.own.thresholds["delay/section"].mean
