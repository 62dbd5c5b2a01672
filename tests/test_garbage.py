"""Garbage answers, to every exercise there is: they never make a smallest change smaller, in any octave band."""

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import pytest
from numpy.random import default_rng

from tests.exercises.drawn import worst_value
from tests.noise_show import NoiseShow
from tests.progress.made_up import attempt
from trainer.practice.attempt import Attempt
from trainer.practice.catalogue import load
from trainer.practice.exercise import Exercise, Focus, Unhearable
from trainer.practice.grading import evidence_of, grade
from trainer.practice.values import Answer
from trainer.progress.thresholds import t75_of
from trainer.progress.thresholds.ear import after, new_ear

EXERCISES = tuple(load().exercises.values())
ANSWERS = 60
"""As many as sixty third octaves, five octaves off each, once brought T75 at 1 kHz from 8.0 to 3.3 dB."""
EXCERPT = NoiseShow().excerpt(1)


def attempts_at(exercise: Exercise, *, is_right: bool) -> Iterator[Attempt]:
    """Yield answers to questions of all scopes, each right or as wrong as can be in every field."""
    rng, made = default_rng(3), 0
    while made < ANSWERS:
        size = exercise.ladder.around_start(rng)
        scope = exercise.scopes[rng.integers(len(exercise.scopes))]
        focus = Focus(size, scope, 1000.0 if scope == "mix" else None, int(rng.choice((1, -1))))
        try:
            draw = exercise.draw(EXCERPT, focus, rng)
        except Unhearable:
            continue
        question, right = draw.question, draw.answer
        bands = {1000.0: 1.0} if draw.bands is None else draw.bands
        worst: Answer = {one.key: worst_value(one, right[one.key]) for one in question.fields}
        given = right if is_right else worst
        marked = grade(given, right, question, exercise)
        said = evidence_of(exercise, given, right, question, bands=bands, grade=marked)
        made += 1
        yield attempt(made, exercise=exercise.key, size=question.size, evidence=said)


def t75s(exercise: Exercise, *, is_right: bool) -> np.ndarray:
    ear = new_ear()
    for one in attempts_at(exercise, is_right=is_right):
        ear = after(ear, one)
    assert ear.answers == ANSWERS
    return t75_of(ear.belief)[0]


@pytest.mark.parametrize("exercise", EXERCISES, ids=lambda exercise: exercise.key)
def test_answers_as_wrong_as_can_be_never_make_a_threshold_smaller(exercise: Exercise) -> None:
    first = t75_of(new_ear().belief)[0]
    assert np.all(t75s(exercise, is_right=False) >= first)


@pytest.mark.parametrize("exercise", EXERCISES, ids=lambda exercise: exercise.key)
def test_right_answers_make_lanes_smaller_or_leave_them_alone(exercise: Exercise) -> None:
    """What is named in decibels of a band moves lanes; a lateness in ms and a polarity leave them to the last bit."""
    first, now = t75_of(new_ear().belief)[0], t75s(exercise, is_right=True)
    if exercise.ladder.has_sizes and exercise.ladder.unit == "dB":
        assert np.all(now < first)
    else:
        assert np.array_equal(now, first)


def test_the_same_garbage_named_by_a_field_that_does_not_matter_would_be_noticed() -> None:
    """The control: third octaves whose evidence looks at the direction alone, five octaves off and the way right."""
    thirds = next(one for one in EXERCISES if one.key == "third-octave")
    first, ear = t75_of(new_ear().belief)[0], new_ear()
    for one in attempts_at(thirds, is_right=False):
        named = tuple(replace(said, named=True) for said in one.evidence)
        ear = after(ear, replace(one, evidence=named))
    assert np.min(t75_of(ear.belief)[0] / first) < 0.6
