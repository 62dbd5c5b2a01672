"""Quizzes for tests: of noise, dealt once, and classes that answer as the threshold model says."""

import math
from collections.abc import Mapping
from datetime import UTC, date, datetime
from functools import lru_cache

import numpy as np
from numpy.random import Generator, default_rng

from tests.noise_show import NoiseShow
from trainer.dsp.octave_bands import NOMINAL_HZ
from trainer.practice.attempt import Value
from trainer.practice.catalogue import load
from trainer.practice.deal import Rep
from trainer.practice.exercise import Answer
from trainer.progress.thresholds.hearing import chance_right, ease_of
from trainer.season.answer_files import Returned
from trainer.season.quiz import Quiz, QuizItem
from trainer.season.quiz_draw import drawn, items_of
from trainer.season.quiz_wish import QuizPart, QuizWish, part_of

EXERCISES = load().exercises
MADE_AT = datetime(2031, 3, 3, 18, 0, tzinfo=UTC)
TAKEN_AT = datetime(2031, 3, 4, 18, 0, tzinfo=UTC)
NOW = date(2031, 3, 4)


def wish_of(*parts: QuizPart, seed: int = 5, title: str = "Week 3") -> QuizWish:
    return QuizWish(title, "noise", seed, parts or (part_of(EXERCISES["octave-tone"]),))


@lru_cache(maxsize=4)
def dealt(seed: int = 5, items: int = 30, exercise: str = "octave-tone") -> tuple[Rep, ...]:
    """Return the reps of a quiz on noise."""
    sizes = (6.0, 9.0) if exercise == "octave-tone" else None
    wish = wish_of(part_of(EXERCISES[exercise], items=items, sizes=sizes), seed=seed)
    return tuple(drawn(wish, EXERCISES, NoiseShow()))


def quiz_of(reps: tuple[Rep, ...], *, uid: str = "abcdef0123456789abcdef0123456789") -> Quiz:
    return Quiz(uid, "Week 3", MADE_AT, items_of(iter(reps)))


def class_of(quiz: Quiz, count: int, rng: Generator, *, spread: float = 0.35) -> list[Returned]:
    """Return what a class answers: the ears' ln T75 differ by ``spread``, around 6.5 dB."""
    names = [f"Student {number:02d}" for number in range(1, count + 1)]
    return [
        Returned(name, TAKEN_AT, "", _answers(quiz, math.log(6.5) + spread * rng.standard_normal(), rng))
        for name in names
    ]


def _answers(quiz: Quiz, ln_t75: float, rng: Generator) -> dict[int, Answer]:
    ears = ln_t75 + 0.2 * rng.standard_normal(len(NOMINAL_HZ))
    return {item.number: _answer(item, ears, rng) for item in quiz.items}


def _answer(item: QuizItem, ears: np.ndarray, rng: Generator) -> Mapping[str, Value]:
    band = NOMINAL_HZ.index(max(item.bands, key=lambda band_hz: item.bands[band_hz]))
    ease = math.log(item.question.size) - ears[band] + ease_of(0.75)
    options = tuple(sorted((len(one.options) for one in item.question.fields), reverse=True))
    if rng.random() < chance_right(ease, options=options):
        return dict(item.answer)
    return {one.key: one.options[int(rng.integers(len(one.options)))] for one in item.question.fields}


def rng_of(seed: int) -> Generator:
    return default_rng(seed)
