"""The figures of an ear: week by week, by setup, and what changed since week 1."""

import dataclasses
from datetime import date, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from tests.progress.made_up import BANDS, START, answered, rng
from trainer.practice.attempt import Attempt
from trainer.progress.ear_figures import EarFigures, ear_figures_of, ear_figures_of_attempts
from trainer.progress.figures import tallies_of
from trainer.progress.figures.improvement import Improvement, TooEarly
from trainer.progress.store import open_store


def evenings(
    days: int, *, a_day: int = 20, size: float = 6.0, right: float = 0.7, seed: int = 1
) -> list[Attempt]:
    """Return the attempts of an evening a day, in bands by chance, a share of them right."""
    random, made = rng(seed), []
    for day in range(days):
        for place in range(a_day):
            band, is_right = int(random.integers(10)), random.random() < right
            said = BANDS[band] if is_right else BANDS[(band + 1) % 10]
            at = START + timedelta(days=day, seconds=30 * place)
            number = day * a_day + place
            made.append(answered(number, band_hz=BANDS[band], said_hz=said, at=at, size=size))
    return made


def figures(attempts: list[Attempt], *, on: date | None = None) -> EarFigures:
    today = on or max((attempt.at for attempt in attempts), default=START).date()
    return ear_figures_of_attempts(attempts, today=today)


def test_the_figures_of_the_store_are_those_of_its_attempts(tmp_path: Path) -> None:
    attempts = evenings(20, a_day=6)
    today = attempts[-1].at.date()
    with open_store(tmp_path / "store.sqlite", now=START) as store:
        store.log.add_all(attempts)
        tallies = store.sums.tallies(learner="Heron")
        for _ in range(2):  # replayed, then from the days kept
            found = ear_figures_of(store, "Heron", today=today, tallies=tallies)
            assert found == figures(attempts)


def test_a_week_is_seven_days_and_the_trend_begins_with_the_second() -> None:
    attempts = evenings(7, a_day=3)
    assert figures(attempts).trend == ()
    last = attempts[-1].at.date()
    assert [week.week for week in figures(attempts, on=last + timedelta(days=1)).trend] == [1]
    weeks = [week.week for week in figures(attempts, on=START.date() + timedelta(days=31)).trend]
    assert weeks == [1, 2, 3, 4, 5], "idle weeks have a figure too"


def test_an_ear_that_never_changes_shows_no_trend_and_no_improvement() -> None:
    """A stationary learner: what the weeks say differs by far less than the interval is wide."""
    found = figures(evenings(28, a_day=25, right=0.75))
    sizes = np.array([week.t75_db for week in found.trend])
    half = np.array([(change.interval.high - change.interval.low) / 2 for change in found.bands])
    assert np.all(np.ptp(sizes, axis=0) < half)
    assert isinstance(found.improvement, Improvement)
    assert 0.05 < found.improvement.overall.chance < 0.95


def test_an_ear_that_gets_better_is_said_to_and_one_that_gets_worse_too() -> None:
    """Three in four right at half the size, or at twice: T75 halves, or doubles."""
    first = evenings(7, a_day=25, size=8.0, right=0.75)
    for size, way in ((4.0, "smaller"), (15.0, "larger")):
        later = [
            dataclasses.replace(attempt, at=attempt.at + timedelta(days=7), uid=f"{number:032x}")
            for number, attempt in enumerate(evenings(21, a_day=25, size=size, right=0.75), 10_000)
        ]
        found = figures([*first, *later]).improvement
        assert isinstance(found, Improvement)
        assert (found.is_smaller, found.is_larger) == (way == "smaller", way == "larger")
        assert bool(found.smaller_hz) == found.is_smaller
        assert bool(found.larger_hz) == found.is_larger


@pytest.mark.parametrize(
    ("days", "a_day", "missing"),
    [(1, 10, (14, 90)), (7, 20, (8, 0)), (14, 20, (1, 0)), (15, 14, (0, 2)), (15, 15, None)],
)
def test_it_is_told_when_it_is_too_early(days: int, a_day: int, missing: tuple[int, int] | None) -> None:
    """14 days since the start, and 100 answers in week 1."""
    found = figures(evenings(days, a_day=a_day)).improvement
    if missing is None:
        assert isinstance(found, Improvement)
        assert not any(band.is_told for band in found.bands if band.band_hz == 31.5 and a_day < 15)
    else:
        assert found == TooEarly(*missing)


def test_a_band_needs_twelve_answers_since_week_1() -> None:
    first = evenings(7, a_day=20)
    for count in (11, 12):
        at = START + timedelta(days=10)
        later = [answered(9000 + n, band_hz=250.0, said_hz=250.0, at=at) for n in range(count)]
        found = figures([*first, *later], on=START.date() + timedelta(days=20)).improvement
        assert isinstance(found, Improvement)
        assert [band.band_hz for band in found.bands if band.is_told] == ([250.0] if count == 12 else [])


def test_somebody_who_never_answered_has_figures_that_are_all_too_early() -> None:
    found = figures([])
    assert {change.missing for change in found.bands} == {20}
    assert (found.trend, found.improvement) == ((), TooEarly(14, 100))


def test_answers_given_with_a_clock_put_back_change_nothing_but_what_they_say() -> None:
    """An attempt dated after today: the figures are there all the same."""
    attempts = evenings(9, a_day=5)
    early = datetime.combine(START.date() - timedelta(days=3), START.timetz()).date()
    assert len(figures(attempts, on=early).bands) == 10
    assert tallies_of(attempts)
