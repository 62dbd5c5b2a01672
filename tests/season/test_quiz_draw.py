"""Drawing a quiz: balanced, the same for the same seed, in an order that tells nothing, always audible."""

from collections import Counter
from dataclasses import replace
from itertools import count

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.random import Generator
from scipy.stats import binomtest, chisquare

from tests.noise_show import SameNoise
from tests.season.quizzes import EXERCISES, quiz_of, rng_of, wish_of
from trainer.ensemble.excerpt import Excerpt
from trainer.practice.band_scale import OCTAVE_SCALE
from trainer.practice.deal import deal
from trainer.practice.exercise import Draw, Focus, Unhearable
from trainer.practice.rep_code import decode
from trainer.refusal import Refused
from trainer.season.quiz_draw import drawn, foci_of, items_of
from trainer.season.quiz_wish import part_of

TONE = EXERCISES["octave-tone"]


@settings(max_examples=40, deadline=None)
@given(items=st.integers(1, 60), seed=st.integers(0, 2**32 - 1))
def test_every_octave_band_comes_equally_often_give_or_take_one(items: int, seed: int) -> None:
    part = part_of(TONE, items=items)
    counts = Counter(focus.band_hz for focus in foci_of(part, TONE, rng_of(seed)))
    asked = [counts[band_hz] for band_hz in OCTAVE_SCALE.names_hz]
    assert sum(asked) == items
    assert max(asked) - min(asked) <= 1


def test_sizes_are_steps_of_the_ladder_between_the_two() -> None:
    sizes = Counter(focus.size for focus in foci_of(part_of(TONE, items=60), TONE, rng_of(1)))
    assert set(sizes) == {4.0, 4.5, 5.0, 5.5, 6.0}
    one = foci_of(part_of(TONE, items=9, sizes=(5.0, 5.0)), TONE, rng_of(1))
    assert {focus.size for focus in one} == {5.0}


def test_place_and_neighbour_tell_nothing_of_band_and_direction() -> None:
    """2000 quizzes of 20: the band at a place, and a band after another, are as even as chance (chi-square)."""
    part = part_of(TONE, items=20)
    quizzes = [foci_of(part, TONE, rng_of(seed)) for seed in range(2000)]
    first = Counter(quiz[0].band_hz for quiz in quizzes)
    seventh = Counter(quiz[6].band_hz for quiz in quizzes)
    for counts in (first, seventh):
        assert chisquare([counts[band_hz] for band_hz in OCTAVE_SCALE.names_hz]).pvalue > 0.001
    again = sum(quiz[0].band_hz == quiz[1].band_hz for quiz in quizzes)
    expected = 1 / 19  # one of the 19 others is of the same band
    assert binomtest(again, len(quizzes), expected).pvalue > 0.001
    boosts = sum(focus.direction == 1 for quiz in quizzes for focus in quiz)
    assert binomtest(boosts, 40_000, 0.5).pvalue > 0.001


def test_the_same_wish_gives_the_same_items_and_every_code_gives_its_rep_again() -> None:
    wish = wish_of(
        part_of(TONE, items=3, sizes=(9.0, 9.0)), part_of(EXERCISES["level"], items=2, sizes=(12.0, 12.0))
    )
    reps = list(drawn(wish, EXERCISES, SameNoise()))
    assert [rep.exercise.key for rep in reps] == ["octave-tone"] * 3 + ["level"] * 2
    codes = [rep.code for rep in drawn(wish, EXERCISES, SameNoise())]
    assert codes == [rep.code for rep in reps]
    spec = decode(reps[0].code)
    again = deal(spec, TONE, SameNoise())
    assert (again.answer, again.plain.samples.tobytes()) == (reps[0].answer, reps[0].plain.samples.tobytes())


@pytest.mark.parametrize("heard_from", [0, 15, None])
def test_an_item_that_cannot_be_heard_is_tried_with_other_seeds_and_then_told(heard_from: int | None) -> None:
    tried = count()

    def draw(excerpt: Excerpt, focus: Focus, rng: Generator) -> Draw:
        if heard_from is None or next(tried) < heard_from:
            raise Unhearable("too soft")
        return TONE.draw(excerpt, focus, rng)

    deaf = {TONE.key: replace(TONE, draw=draw)}
    reps = drawn(wish_of(part_of(TONE, items=1, sizes=(9.0, 9.0))), deaf, SameNoise())
    if heard_from is None:
        with pytest.raises(Refused, match="too small to be heard"):
            list(reps)
    else:
        (rep,) = reps
        at_once = next(drawn(wish_of(part_of(TONE, items=1, sizes=(9.0, 9.0))), EXERCISES, SameNoise()))
        assert (rep.code == at_once.code) is (heard_from == 0)
        assert rep.spec.focus == at_once.spec.focus


def test_items_are_numbered_and_told_one_by_one() -> None:
    told: list[int] = []
    reps = drawn(wish_of(part_of(TONE, items=3, sizes=(9.0, 9.0))), EXERCISES, SameNoise())
    items = items_of(reps, told=told.append)
    assert [item.number for item in items] == told == [1, 2, 3]
    quiz = quiz_of(tuple(drawn(wish_of(part_of(TONE, items=3, sizes=(9.0, 9.0))), EXERCISES, SameNoise())))
    assert quiz.key_of(quiz.items[1]) == f"{quiz.uid}:002"
