"""Octave tone: the bell sits on the octave's exact centre, and the lanes on offer are those that can be heard."""

from collections import Counter

import numpy as np
import pytest
from numpy.random import default_rng
from scipy.stats import chisquare

from exercises.octave_tone import EXERCISE, draw
from tests.noise_show import NoiseShow
from trainer.dsp.octave_bands import NOMINAL_HZ
from trainer.practice import audibility
from trainer.practice.change import Bell
from trainer.practice.exercise import Focus, Unhearable

EXCERPT = NoiseShow().excerpt(1)


@pytest.mark.parametrize(
    ("nominal_hz", "exact_hz"),
    [(31.5, 31.6228), (250.0, 251.1886), (4000.0, 3981.0717), (16000.0, 15848.9319)],
)
def test_the_bell_sits_on_the_exact_centre_an_octave_wide(nominal_hz: float, exact_hz: float) -> None:
    """IEC 61260-1:2014, the exact midband frequencies of octave filters (base ten)."""
    drawn = draw(EXCERPT, Focus(6.0, "mix", nominal_hz, -1), default_rng(1))
    (edit,) = EXERCISE.change(drawn.answer, drawn.question, EXCERPT).edits
    assert isinstance(edit.process, Bell)
    assert edit.process.centre_hz == pytest.approx(exact_hz, rel=1e-5)
    assert (edit.target, edit.process.gain_db, edit.process.width_octaves) == ("mix", -6.0, 1.0)


def test_in_the_mix_all_ten_lanes_are_on_offer() -> None:
    drawn = draw(EXCERPT, Focus(6.0, "mix", 500.0, 1), default_rng(1))
    assert drawn.question.fields[0].options == NOMINAL_HZ
    assert drawn.answer == {"band": 500.0, "direction": "boost"}


def test_a_band_that_cannot_be_heard_in_the_mix_is_not_on_offer_and_another_is_asked() -> None:
    """31.5 Hz by 1.5 dB, at 65 dB SPL; chi-squared against even odds (Pearson 1900) over the others."""
    drawn = [draw(EXCERPT, Focus(1.5, "mix", 31.5, 1), default_rng(seed)) for seed in range(300)]
    lanes = audibility.lanes(EXCERPT, "mix", size_db=1.5)
    assert 3 <= len(lanes) < 10
    assert {one.question.fields[0].options for one in drawn} == {lanes}
    counts = Counter(one.answer["band"] for one in drawn)
    assert set(counts) == set(lanes)
    assert chisquare(list(counts.values())).pvalue > 0.001


def test_on_a_stem_the_lanes_on_offer_are_those_that_can_be_heard_drawn_evenly() -> None:
    """Chi-squared against even odds (Pearson 1900) over the lanes of one stem."""
    drawn = [draw(EXCERPT, Focus(12.0, "stem", 31.5, 1), default_rng(seed)) for seed in range(1200)]
    (target, asked), *_ = Counter(draw.question.target for draw in drawn).most_common()
    lanes = audibility.lanes(EXCERPT, target, size_db=12.0)
    counts = Counter(draw.answer["band"] for draw in drawn if draw.question.target == target)
    assert asked > 200
    assert {draw.question.fields[0].options for draw in drawn if draw.question.target == target} == {lanes}
    assert set(counts) == set(lanes)
    assert chisquare(list(counts.values())).pvalue > 0.001


def test_where_no_stem_shows_it_another_excerpt_is_asked_for() -> None:
    with pytest.raises(Unhearable, match="no stem shows it in 3 octave bands"):
        draw(EXCERPT, Focus(1.5, "stem", 500.0, 1), default_rng(1))


def test_the_remedy_is_the_opposite_move() -> None:
    drawn = draw(EXCERPT, Focus(6.5, "mix", 2000.0, 1), default_rng(1))
    remedy = EXERCISE.remedy(drawn.answer, drawn.question)
    assert "2 kHz" in remedy
    assert "cut by 6.5 dB" in remedy
    back = EXERCISE.change({"band": 2000.0, "direction": "cut"}, drawn.question, EXCERPT).edits[0].process
    there = EXERCISE.change(drawn.answer, drawn.question, EXCERPT).edits[0].process
    restored = back.apply(there.apply({"mix": EXCERPT.mix}))["mix"]
    assert np.max(np.abs(restored.samples - EXCERPT.mix.samples)) < 1e-4
