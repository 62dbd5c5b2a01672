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
from trainer.practice.band_scale import OCTAVE_SCALE, THIRD_SCALE
from trainer.practice.deal import Rep, deal
from trainer.practice.exercise import Draw, Exercise, Focus, Question, Unhearable
from trainer.practice.fields import BandField, DirectionField, Field
from trainer.practice.list_field import ListField
from trainer.practice.listening import STANDARD
from trainer.practice.rep_code import decode
from trainer.practice.values import Answer
from trainer.refusal import Refused
from trainer.season.quiz_draw import SEEDS_TRIED, drawn, foci_of, is_as_wished, items_of
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


def offering(lanes_of: dict[int, tuple[float, ...]]) -> Exercise:
    """Return octave tone on the mix with some bands left out, by how many excerpts were tried before."""
    tried = count()

    def draw(excerpt: Excerpt, focus: Focus, rng: Generator) -> Draw:
        drawn = TONE.draw(excerpt, focus, rng)
        lanes = lanes_of.get(next(tried), OCTAVE_SCALE.names_hz)
        field = BandField(lanes)
        band_hz = focus.band_hz if focus.band_hz in lanes else lanes[0]
        question = replace(drawn.question, fields=(field, *drawn.question.fields[1:]))
        return Draw(
            question, {**drawn.answer, "band": float(band_hz or 0.0)}, bands={float(band_hz or 0.0): 1.0}
        )

    return replace(TONE, draw=draw)


def made_of(exercise: Exercise, *, seed: int = 5) -> Rep:
    wish = wish_of(part_of(TONE, items=1, sizes=(9.0, 9.0)), seed=seed)
    return next(drawn(wish, {TONE.key: exercise}, SameNoise()))


MIDDLE_HZ = (250.0, 500.0, 1000.0)


def test_an_item_that_leaves_bands_out_is_left_for_other_music() -> None:
    """What is on offer, and how much of it, is the same in all items: it would tell of the others."""
    rep = made_of(offering(dict.fromkeys(range(SEEDS_TRIED - 1), MIDDLE_HZ)))
    assert rep.question.fields[0] == BandField()
    assert rep.answer["band"] == rep.spec.focus.band_hz
    seeds = [
        made_of(offering(dict.fromkeys(range(tries), MIDDLE_HZ))).spec.seed for tries in range(SEEDS_TRIED)
    ]
    assert len(set(seeds)) == SEEDS_TRIED


def test_where_no_music_offers_all_bands_the_last_is_taken_as_it_comes() -> None:
    lanes = {tried: MIDDLE_HZ[:2] if tried == SEEDS_TRIED - 1 else MIDDLE_HZ for tried in range(SEEDS_TRIED)}
    rep = made_of(offering(lanes))
    assert rep.question.fields[0] == BandField(MIDDLE_HZ[:2])


def test_an_item_that_can_be_heard_is_taken_though_the_last_music_shows_nothing() -> None:
    tried, tone = count(), offering(dict.fromkeys(range(20), MIDDLE_HZ))

    def draw(excerpt: Excerpt, focus: Focus, rng: Generator) -> Draw:
        if next(tried) > 0:
            raise Unhearable("too soft")
        return tone.draw(excerpt, focus, rng)

    assert made_of(replace(TONE, draw=draw)).question.fields[0] == BandField(MIDDLE_HZ)


def wished(field: Field, answer: Answer, band_hz: float) -> bool:
    question = Question("Which?", (field, DirectionField()), "mix", 6.0, "mix")
    return is_as_wished(question, answer, band_hz)


def test_an_item_is_as_wished_in_its_band_of_any_scale_alone_or_in_a_list() -> None:
    thirds, fewer = BandField(THIRD_SCALE.names_hz, scale=THIRD_SCALE), BandField(MIDDLE_HZ)
    assert wished(BandField(), {"band": 500.0}, 500.0)
    assert not wished(BandField(), {"band": 1000.0}, 500.0)
    assert not wished(fewer, {"band": 500.0}, 500.0)
    assert all(wished(thirds, {"band": band_hz}, 500.0) for band_hz in (400.0, 500.0, 630.0))
    assert not wished(thirds, {"band": 800.0}, 500.0)
    assert not wished(BandField(THIRD_SCALE.names_hz[1:], scale=THIRD_SCALE), {"band": 500.0}, 500.0)
    rows = ({"band": 125.0, "direction": "cut"}, {"band": 500.0, "direction": "cut"})
    assert wished(ListField((BandField(), DirectionField()), most=4), {"changes": rows}, 500.0)
    assert not wished(ListField((BandField(), DirectionField()), most=4), {"changes": rows}, 250.0)
    assert not wished(ListField((fewer, DirectionField()), most=4), {"changes": rows[1:]}, 500.0)
    assert wished(DirectionField(), {"direction": "cut"}, 500.0), "a question that asks for no band"


def test_a_quiz_is_listened_to_on_the_standard_and_its_bands_are_those_of_its_answers() -> None:
    reps = list(drawn(wish_of(part_of(TONE, items=20, sizes=(9.0, 9.0))), EXERCISES, SameNoise()))
    assert {rep.spec.focus.listening for rep in reps} == {STANDARD}
    assert Counter(rep.answer["band"] for rep in reps) == dict.fromkeys(OCTAVE_SCALE.names_hz, 2)
    assert {rep.question.fields[0] for rep in reps} == {BandField()}


def test_items_are_numbered_and_told_one_by_one() -> None:
    told: list[int] = []
    reps = drawn(wish_of(part_of(TONE, items=3, sizes=(9.0, 9.0))), EXERCISES, SameNoise())
    items = items_of(reps, told=told.append)
    assert [item.number for item in items] == told == [1, 2, 3]
    quiz = quiz_of(tuple(drawn(wish_of(part_of(TONE, items=3, sizes=(9.0, 9.0))), EXERCISES, SameNoise())))
    assert quiz.key_of(quiz.items[1]) == f"{quiz.uid}:002"
