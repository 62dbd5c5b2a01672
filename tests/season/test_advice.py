"""Advice, situation by situation: what it says stands on a figure of the page, and nothing is said of chance."""

import math
from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from numpy.random import default_rng

from trainer.dsp.octave_bands import NOMINAL_HZ
from trainer.progress.ear_figures import EarFigures
from trainer.progress.figures.confusions import Confusions
from trainer.progress.figures.holes import holes_of
from trainer.progress.figures.improvement import Change, Improvement, TooEarly
from trainer.progress.figures.intervals import Interval
from trainer.progress.figures.smallest_changes import smallest_changes
from trainer.progress.season_counts import NOTHING_SAID, Said
from trainer.progress.thresholds.belief import BANDS, Belief, first_belief
from trainer.season.advice import advice_words
from trainer.season.pages import Aim

TODAY = date(2031, 3, 20)
EVERY_DAY = tuple(TODAY - timedelta(days=days) for days in range(40, -1, -1))
MOST_LETTERS = 560
"""Four lines on the page."""


def heard(**t75_db: float) -> Belief:
    """Return what is believed of an ear: 5 dB everywhere but where it is said, as in ``at_250=9.0``."""
    belief = first_belief()
    mean = belief.mean.copy()
    mean[BANDS] = math.log(5.0)
    for band, size_db in t75_db.items():
        mean[NOMINAL_HZ.index(float(band.removeprefix("at_")))] = math.log(size_db)
    return Belief(mean, belief.covariance * 0.1)


def ear(belief: Belief, answers: float = 40.0, **changed: float) -> EarFigures:
    counts = dict.fromkeys(NOMINAL_HZ, answers) | {
        float(band.removeprefix("at_")): count for band, count in changed.items()
    }
    return EarFigures(smallest_changes(belief, counts), (), TooEarly(1, 1), holes_of(belief, counts))


def said_of(
    counts: np.ndarray | None = None, directions: tuple[tuple[int, int], ...] = ((90, 10), (10, 90))
) -> Said:
    table = np.eye(10, dtype=int) * 40 if counts is None else counts
    rows = tuple(tuple(map(int, row)) for row in table)
    ways = Confusions("direction", ("boost", "cut"), directions, (0, 0))
    return Said(Confusions("band", NOMINAL_HZ, rows, (0,) * 10), ways)


def advice(
    figures: EarFigures,
    said: Said | None = None,
    aims: tuple[Aim, ...] = (),
    days: tuple[date, ...] = EVERY_DAY,
) -> str:
    words = advice_words(figures, said or said_of(), aims, days=days, today=TODAY, minutes=8)
    assert len(words) <= MOST_LETTERS
    assert words.endswith(".")
    assert "  " not in words
    assert "nan" not in words
    return words


def test_whoever_never_drilled_is_told_how_to_begin() -> None:
    assert advice(ear(first_belief(), 0.0), NOTHING_SAID, days=()) == (
        "Has not drilled yet: begin with a block of 8 minutes a day of octave tone on the full mix; the first "
        "figures come after 20 answers."
    )


def test_while_it_is_too_early_to_tell_no_band_is_named() -> None:
    words = advice(ear(first_belief(), 1.2))
    assert words.startswith("It is too early to tell where the ear is weak, 8 more answers to go:")
    assert "Hz" not in words
    assert "1 more answer to go" in advice(ear(first_belief(), 1.9))


def needs(figures: EarFigures, band_hz: float) -> str:
    interval = figures.bands[NOMINAL_HZ.index(band_hz)].interval
    return f"needs {interval.low:.1f}–{interval.high:.1f} dB"


def test_a_hole_comes_first_then_the_largest() -> None:
    figures = ear(heard(at_250=10.0, at_4000=6.5))
    (hole,) = figures.holes
    assert hole.band_hz == 250.0
    assert advice(figures) == (
        f"Drill octave tone on the full mix, 8 minutes a day, and listen for 250 Hz ({needs(figures, 250.0)}, "
        f"{hole.ratio:.1f} times the change of the other bands) and 4 kHz ({needs(figures, 4000.0)})."
    )


def test_with_a_plan_the_band_farthest_behind_its_aim_is_named_and_not_the_largest() -> None:
    figures = ear(heard(at_250=6.0, at_4000=5.5))
    assert not figures.holes
    aims = tuple(Aim(hz, 3.0 if hz == 4000.0 else 6.0, 0.01 if hz == 4000.0 else 0.5) for hz in NOMINAL_HZ)
    first, second = needs(figures, 4000.0), needs(figures, 250.0)
    said = f"4 kHz ({first}, the aim is 3.0 dB) and 250 Hz ({second}, the aim is 6.0 dB)."
    assert f"listen for {said}" in advice(figures, aims=aims)
    assert "listen for 250 Hz" in advice(figures)


def test_bands_that_are_on_track_are_not_named_beside_those_that_are_not() -> None:
    figures = ear(heard(at_250=6.0, at_63=5.9))
    aims = tuple(Aim(hz, 6.0, 0.05 if hz == 250.0 else 0.95) for hz in NOMINAL_HZ)
    words = advice(figures, aims=aims)
    assert words.endswith(f"listen for 250 Hz ({needs(figures, 250.0)}, the aim is 6.0 dB).")


def test_on_track_everywhere_the_next_step_is_named() -> None:
    aims = tuple(Aim(hz, 9.0, 0.97) for hz in NOMINAL_HZ)
    figures = ear(heard(at_63=6.0))
    assert advice(figures, aims=aims) == (
        "On track in every band: go on with octave tone on single sections and stems, 8 minutes a day, and with the "
        f"other exercises; the largest change is needed at 63 Hz ({needs(figures, 63.0)}, the aim is 9.0 dB)."
    )


def test_a_hole_is_drilled_though_its_aim_is_reached() -> None:
    aims = tuple(Aim(hz, 14.0, 0.97) for hz in NOMINAL_HZ)
    assert "on the full mix, 8 minutes a day, and listen for 250 Hz (" in advice(
        ear(heard(at_250=10.0)), aims=aims
    )


def test_what_lies_beyond_all_that_is_asked_is_told_as_that() -> None:
    assert "250 Hz (needs from 13." in advice(ear(heard(at_250=17.0)))
    assert "250 Hz (needs over 15 dB, " in advice(ear(heard(at_250=40.0)))


def test_a_band_taken_for_another_is_named_with_its_counts() -> None:
    counts = np.eye(10, dtype=int) * 40
    counts[3, 3], counts[3, 4], counts[3, 5] = 26, 13, 1
    weak = ear(heard(at_250=6.0))
    assert "250 Hz is taken for 500 Hz in 13 of 40: hear the two one after the other." in advice(
        weak, said_of(counts)
    )
    assert "taken for" not in advice(weak)
    assert "taken for" not in advice(ear(heard(at_8000=6.0, at_16000=6.0)), said_of(counts)), "no weak band"


def test_answers_that_scatter_are_not_called_a_confusion() -> None:
    """Wrong answers of an ear without leaning: a quarter wrong, seven in ten of them an octave off."""
    rng, chances = default_rng(5), 0.75 * np.eye(10)
    for true in range(10):
        near = [band for band in (true - 1, true + 1) if 0 <= band < 10]
        chances[true, near] += 0.25 * 0.7 / len(near)
        far = [band for band in range(10) if band != true and band not in near]
        chances[true, far] += 0.25 * 0.3 / len(far)
    told = 0
    for _ in range(200):
        counts = np.array([rng.multinomial(40, row / row.sum()) for row in chances])
        told += "taken for" in advice(ear(heard(at_500=6.0, at_2000=6.0)), said_of(counts))
    assert told <= 10, "of 200 ears, with two bands each"


def test_a_leaning_in_doubt_is_named_only_where_it_is_sure() -> None:
    weak = ear(heard(at_250=6.0))
    assert "In doubt says boost more often than it is true." in advice(
        weak, said_of(directions=((95, 5), (35, 65)))
    )
    assert "In doubt says cut more often than it is true." in advice(
        weak, said_of(directions=((65, 35), (5, 95)))
    )
    for directions in (((90, 10), (14, 86)), ((30, 2), (15, 17))):
        assert "In doubt" not in advice(weak, said_of(directions=directions))


@pytest.mark.parametrize(
    ("days", "words"),
    [
        (EVERY_DAY, ""),
        (EVERY_DAY[:-6], ""),
        (EVERY_DAY[:-9], "Has not drilled for 9 days: 8 minutes a day do more than an hour now and then."),
        ((*EVERY_DAY[:-14], TODAY), "Drilled on 1 day of the last 14: 8 minutes on most days do more."),
        (
            (*EVERY_DAY[:-14], *EVERY_DAY[-3:]),
            "Drilled on 3 days of the last 14: 8 minutes on most days do more.",
        ),
        (EVERY_DAY[-2:], ""),
    ],
)
def test_how_often_somebody_drills_is_said_where_it_is_seldom(days: tuple[date, ...], words: str) -> None:
    said = advice(ear(heard(at_250=6.0)), days=days)
    assert said.endswith(words)
    assert ("drilled" in said.casefold()) == bool(words)
    assert words in advice(ear(first_belief(), 1.2), days=days)


def test_larger_changes_than_in_week_1_and_bands_too_early_to_tell_are_named() -> None:
    figures = ear(heard(at_250=6.0), **{"at_31.5": 0.0})
    assert "Of 31.5 Hz it is too early to tell." in advice(figures)
    change = Change(0.03, 1.2, Interval(1.05, 1.4))
    worse = replace(figures, improvement=Improvement(change, (), (), ()))
    assert "Larger changes are needed than in week 1 (chance 97 %): ask what is different." in advice(worse)
    better = replace(figures, improvement=Improvement(replace(change, chance=0.5), (), (), ()))
    assert "week 1" not in advice(better)
