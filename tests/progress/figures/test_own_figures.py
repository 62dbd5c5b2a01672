"""Figures of kinds on their own: told in their own unit or as a rate, never before there is enough to tell."""

from datetime import date

import pytest

from trainer.progress.ear_words import own_words
from trainer.progress.figures.intervals import wilson
from trainer.progress.figures.own_figures import FEWEST_ANSWERS, kind_words, own_figures
from trainer.progress.thresholds.own import NamedRate, OwnFigures, OwnThreshold

DAY = date(2031, 2, 3)


def figures(*, answers: int) -> OwnFigures:
    late = OwnThreshold("ms", DAY, mean=3.0, variance=0.04, answers=answers)
    return OwnFigures({"delay/section": late}, {"polarity/stem": NamedRate(answers, answers - 2)})


def test_a_threshold_is_told_in_its_unit_and_a_rate_with_wilsons_interval() -> None:
    """The ends of a 90 % interval lie 1.645 standard deviations from the middle (normal distribution)."""
    late, fault = own_figures(figures(answers=20))
    assert late.t75 == pytest.approx(20.0855, abs=1e-3)
    assert late.interval is not None
    assert (late.interval.low, late.interval.high) == pytest.approx((14.456, 27.907), abs=1e-2)
    assert fault.rate is not None
    assert (fault.rate.value, fault.rate.interval) == (0.9, wilson(18, 20))
    assert (late.unit, late.rate, fault.unit, fault.t75) == ("ms", None, "", None)


def test_it_is_said_in_its_unit_and_not_before_there_is_enough() -> None:
    late, fault = map(own_words, own_figures(figures(answers=20)))
    assert late == "Delay on a section: the smallest you can name is about 14–28 ms."
    assert fault.startswith("Polarity on a stem: you named 90% of 20 (")
    early = own_figures(figures(answers=FEWEST_ANSWERS - 1))
    assert [figure.missing for figure in early] == [1, 1]
    assert own_words(early[0]) == "Delay on a section: too early to tell, 1 more answer to go."


@pytest.mark.parametrize(
    ("kind", "words"),
    [("delay/mix", "Delay on the mix"), ("third-octave/stem/quiz", "Third octave on a stem, in quizzes"),
     ("compression/section/swing", "Compression on a section")],
)  # fmt: skip
def test_a_kind_is_told_in_words(kind: str, words: str) -> None:
    assert kind_words(kind) == words
