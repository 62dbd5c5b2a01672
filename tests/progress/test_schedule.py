"""What is asked next: nothing to be guessed from the order, sizes right three times in four, and what is due."""

from dataclasses import replace
from datetime import timedelta
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import chisquare

from tests.progress.made_up import START, attempt, rng
from trainer.dsp.octave_bands import NOMINAL_HZ
from trainer.practice.block import mark_of
from trainer.practice.catalogue import load
from trainer.practice.listening import Listening
from trainer.progress.due import FIRST_REPS, REP_S, Due, due_of, plan_of, rep_s_of
from trainer.progress.schedule import (
    EASY,
    HARD,
    LEAST_CHANCE,
    MOST_CHANCE,
    NEWCOMER,
    aims,
    band_chances,
    next_focus,
    sizes,
)
from trainer.progress.setups import Setup
from trainer.progress.thresholds import (
    NAMED,
    Belief,
    after_answer,
    chance_right,
    ease_of,
    first_belief,
    question_on,
)
from trainer.progress.thresholds.belief import BANDS
from trainer.progress.thresholds.ear import Ear, Practised, new_ear
from trainer.progress.thresholds.hearing import EASE_75
from trainer.progress.why import why_due, why_words

DAY = START.date()
DRAWS = 20_000
MOST_LEAK_BITS = 0.12


def believed(seed: int) -> Belief:
    """Return a belief of somebody uneven after some answers."""
    chance, belief = rng(seed), first_belief()
    for _ in range(40):
        question = question_on(np.eye(10)[chance.integers(10)], direction=chance.choice((1, -1)))
        right = bool(chance.random() < 0.6)
        belief = after_answer(belief, question=question, size_db=float(chance.uniform(2, 12)), right=right)
    return belief


def leak_bits(chances: np.ndarray) -> float:
    """Return by how many bits a draw with known chances can be told better than ten bands alike."""
    return float(np.log2(10) + np.sum(chances * np.log2(chances)))


@given(st.lists(st.floats(-2.5, 2.5), min_size=10, max_size=10), st.integers(0, 50))
def test_no_band_is_ever_asked_more_or_less_often_than_the_caps_and_they_sum_to_1(
    shifts: list[float], seed: int
) -> None:
    belief = believed(seed % 5)
    mean = belief.mean.copy()
    mean[BANDS] += shifts
    chances = band_chances(replace(belief, mean=mean))
    assert np.sum(chances) == pytest.approx(1.0, abs=1e-9)
    assert np.all((chances >= LEAST_CHANCE - 1e-12) & (chances <= MOST_CHANCE + 1e-12))
    assert leak_bits(chances) <= MOST_LEAK_BITS


def test_what_is_avoided_would_leak_far_more() -> None:
    """Shannon's entropy of orders that look fair: no band twice in a row, and a shuffled deck of the ten.

    Exactly log2 10 - log2 9 bit a question, and log2 10 - mean log2 of the cards left.
    """
    no_repeat = np.array([1 / 9] * 9)
    deck = [leak_bits(np.full(left, 1.0 / left)) for left in range(1, 11)]
    assert leak_bits(no_repeat) == pytest.approx(0.152, abs=5e-4)
    assert np.mean(deck) == pytest.approx(1.143, abs=5e-4)


def test_the_caps_leak_0_118_bit_at_worst() -> None:
    """Shannon's entropy is least where as many bands as can be are at either cap, and one between them."""
    worst = np.array([MOST_CHANCE] * 4 + [1.0 - 4 * MOST_CHANCE - 5 * LEAST_CHANCE] + [LEAST_CHANCE] * 5)
    assert LEAST_CHANCE < worst[4] < MOST_CHANCE
    assert leak_bits(worst) == pytest.approx(0.118, abs=0.001)


def test_20_000_draws_of_a_season_leak_no_more_than_0_12_bit_and_boosts_are_a_fair_coin() -> None:
    """The leak measured from what is drawn, not from the chances: the order's own entropy, bits a draw.

    Somebody who knows every chance exactly guesses with the draw's own surprise, -log2 of its chance; its mean
    against log2 10 is the leak. Pearson's chi-square for the direction.
    """
    exercise, chance, ear = load()["octave-tone"], rng(3), new_ear()
    chances = band_chances(ear.belief)
    surprise, ups, bands = [], 0, []
    for number in range(DRAWS):
        focus = next_focus(ear, exercise, aim=NAMED, rng=chance)
        ups += focus.direction == 1
        if focus.band_hz is None:
            continue
        place = NOMINAL_HZ.index(focus.band_hz)
        bands.append(place)
        surprise.append(-np.log2(chances[place]))
        if number % 10 == 0:
            question = question_on(np.eye(10)[place], size=len(ear.belief.mean))
            right = bool(chance.random() < (0.9 if place % 3 else 0.45))
            belief = after_answer(ear.belief, question=question, size_db=focus.size, right=right)
            ear, chances = replace(ear, belief=belief), band_chances(belief)
    leak = np.log2(10) - np.mean(surprise)
    assert len(surprise) > DRAWS / 4
    assert -0.03 < leak <= MOST_LEAK_BITS
    assert chisquare([ups, DRAWS - ups]).pvalue > 0.01
    counts = np.bincount(bands, minlength=10) / len(bands)
    assert counts.max() <= MOST_CHANCE + 0.01
    assert counts.max() > 1.3 * counts.min()  # it does ask oftener where it is worth more


def test_a_band_is_asked_after_itself_as_often_as_after_any_other() -> None:
    """No rule against asking twice, no deck: the chance of a repeat is the sum of squared chances."""
    ear = replace(new_ear(), belief=believed(1))
    chance, exercise = rng(4), load()["octave-tone"]
    drawn = [next_focus(ear, exercise, aim=NAMED, rng=chance).band_hz for _ in range(6_000)]
    pairs = [(one, other) for one, other in pairwise(drawn) if one and other]
    expected = float(np.sum(np.square(band_chances(ear.belief))))
    repeats = sum(one == other for one, other in pairs)
    assert (
        chisquare([repeats, len(pairs) - repeats], np.array([expected, 1 - expected]) * len(pairs)).pvalue
        > 0.01
    )


def test_what_the_setup_cannot_play_is_never_drawn_and_the_others_share_its_chance() -> None:
    usable = np.array([hz >= 125.0 for hz in NOMINAL_HZ])
    chances = band_chances(believed(2), usable=usable)
    assert np.all(chances[~usable] == 0.0)
    assert np.sum(chances) == pytest.approx(1.0, abs=1e-9)
    assert np.all(chances[usable] <= MOST_CHANCE * 10 / 8 + 1e-12)
    ear, exercise, chance = replace(new_ear(), belief=believed(2)), load()["octave-tone"], rng(5)
    playable = tuple(hz for hz in NOMINAL_HZ if hz >= 125.0)
    foci = [
        next_focus(ear, exercise, aim=NAMED, rng=chance, listening=Listening(usable_hz=playable))
        for _ in range(400)
    ]
    assert {focus.band_hz for focus in foci} <= {None, *playable}
    assert {focus.listening.usable_hz for focus in foci} == {playable}


@pytest.mark.parametrize("aim", [EASY, HARD, NAMED, NEWCOMER])
def test_a_size_is_named_as_often_as_it_is_aimed_at(aim: float) -> None:
    """Where T75 is what is believed, the chance at the mean size is the aim itself."""
    belief = first_belief()
    question = question_on(np.eye(10)[4])
    drawn = sizes(
        replace(belief, mean=np.broadcast_to(belief.mean, (4000, len(belief.mean)))),
        np.broadcast_to(question, (4000, len(belief.mean))),
        np.full(4000, aim),
        rng(6),
        step=0.01,
        hardest=0.1,
        easiest=100.0,
    )
    at_mean = chance_right(np.mean(np.log(drawn)) - np.log(8.0) + EASE_75)
    assert at_mean == pytest.approx(aim, abs=0.01)
    assert np.std(np.log(drawn)) == pytest.approx(0.15, abs=0.01)


def test_sizes_stay_on_the_ladder() -> None:
    exercise, chance = load()["level"], rng(7)
    drawn = {next_focus(new_ear(), exercise, aim=HARD, rng=chance).size for _ in range(300)}
    assert all(exercise.ladder.check(size) == size and (size / 0.5).is_integer() for size in drawn)
    assert len(drawn) > 4


def test_t75_is_named_three_times_in_four() -> None:
    assert chance_right(EASE_75) == pytest.approx(0.75)
    with pytest.raises(ValueError, match="no size is named right"):
        ease_of(0.99)


@pytest.mark.parametrize(
    ("case", "share"),
    [
        ({"place": 0}, {EASY: 1.0}),
        ({"wrong_in_a_row": 3}, {EASY: 1.0}),
        ({"answers": 9}, {NEWCOMER: 1.0}),
        ({"days_away": 7, "place": 4}, {NEWCOMER: 1.0}),
        ({"days_away": 7, "place": 5}, {HARD: 0.15, EASY: 0.05, NAMED: 0.80}),
        ({}, {HARD: 0.15, EASY: 0.05, NAMED: 0.80}),
    ],
    ids=["first reps", "after three wrong", "a newcomer", "back after a week", "settled again", "else"],
)
def test_some_reps_are_easier_and_some_harder(case: dict[str, int], share: dict[float, float]) -> None:
    situation = {"place": 12, "wrong_in_a_row": 0, "answers": 100, "days_away": 1} | case
    drawn = aims(rng(9), **situation, shape=(8000,))
    found = {float(aim): float(np.mean(drawn == aim)) for aim in np.unique(drawn)}
    assert found == pytest.approx(share, abs=0.015)


# What is due.


def ear_with(**practised: Practised) -> Ear:
    return replace(
        new_ear(), answers=80, practised={key.replace("_", "-"): one for key, one in practised.items()}
    )


def test_the_most_overdue_comes_first_and_what_was_never_drilled_before_all() -> None:
    ear = ear_with(level=Practised(DAY, answers=50, interval_before=2), octave_tone=Practised(DAY, answers=5))
    today = DAY + timedelta(days=2)
    found = due_of(ear, ("compression", "level", "octave-tone"), today)
    assert [due.exercise for due in found] == ["compression", "octave-tone", "level"]
    assert [due.is_due for due in found] == [True, True, False]
    assert found[2].interval_days == 4


@pytest.mark.parametrize(("minutes", "count", "most"), [(3, 5, 1), (8, 14, 2), (15, 26, 3)])
def test_a_block_is_as_long_as_one_likes_in_runs_of_about_eight(minutes: int, count: int, most: int) -> None:
    keys = ("compression", "level", "octave-tone")
    plan = plan_of(ear_with(), keys, today=DAY, minutes=minutes, rep_s=34.0)
    assert (plan.count, len(plan.due)) == (count, most)
    assert plan.is_anything_due


def test_a_first_block_has_a_few_of_everything() -> None:
    plan = plan_of(new_ear(), ("level", "octave-tone", "compression"), today=DAY, minutes=15, rep_s=34.0)
    assert (plan.count, plan.exercises) == (FIRST_REPS, ("level", "octave-tone", "compression"))


def test_where_nothing_is_due_it_is_what_comes_next() -> None:
    fresh = Practised(DAY, answers=50, interval_before=2)
    ear = ear_with(level=fresh, octave_tone=replace(fresh, interval_before=1))
    plan = plan_of(ear, ("level", "octave-tone"), today=DAY + timedelta(days=1), minutes=15, rep_s=34.0)
    assert plan.exercises == ("octave-tone",)
    assert not plan.is_anything_due


def test_why_it_is_due_is_said_in_words() -> None:
    assert why_due(Due("level", None, 1)) == "new to you"
    assert why_due(Due("level", 1, 1)) == "last drilled yesterday, wanted every day"
    assert why_due(Due("level", 3, 2)) == "last drilled 3 days ago, wanted every 2 days"


def test_what_tells_of_all_bands_comes_every_day() -> None:
    well = Practised(DAY, answers=80, interval_before=4)
    (due,) = due_of(ear_with(level=well), ("level",), DAY + timedelta(days=1))
    (daily,) = due_of(ear_with(level=well), ("level",), DAY + timedelta(days=1), daily=("level",))
    assert (due.is_due, daily.is_due) == (False, True)


def test_at_the_end_of_a_block_it_is_said_why_it_asked_what_it_asked() -> None:
    exercises = load().exercises
    plan = plan_of(new_ear(), ("level",), today=DAY, minutes=3, rep_s=34.0)
    marks = [mark_of(attempt(number)) for number in range(3)]
    said = why_words(plan, marks, exercises)
    assert said.startswith("Due: level (new to you).")
    assert "most came at 1 kHz" in said
    assert "most came" not in why_words(None, marks[:1], exercises)
    laptop = Setup("laptop", "", NOMINAL_HZ[2:], START)
    assert why_words(None, marks, exercises, setup=laptop).endswith("cannot play it: 31.5 Hz, 63 Hz.")


def test_how_long_a_rep_takes_follows_the_learner_once_there_are_answers() -> None:
    assert rep_s_of([attempt(number) for number in range(7)]) == REP_S
    assert rep_s_of([attempt(number, response_s=10.0) for number in range(8)]) == pytest.approx(24.0)
