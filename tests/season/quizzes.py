"""Quizzes for tests: of noise, dealt once, and classes that answer as the threshold model says."""

import math
from collections.abc import Mapping
from datetime import UTC, datetime

import numpy as np
from numpy.random import Generator, default_rng

from trainer.practice.band_scale import OCTAVE_SCALE
from trainer.practice.catalogue import load
from trainer.practice.deal import Rep
from trainer.practice.exercise import Focus, Question
from trainer.practice.fields import BandField, DirectionField, OptionField
from trainer.practice.rep_code import RepSpec, encode
from trainer.practice.values import Answer, Value
from trainer.progress.thresholds.hearing import chance_right, ease_of
from trainer.season.answer_files import Returned
from trainer.season.quiz import Quiz, QuizItem
from trainer.season.quiz_draw import foci_of, items_of
from trainer.season.quiz_wish import QuizPart, QuizWish, part_of

EXERCISES = load().exercises
MADE_AT = datetime(2031, 3, 3, 18, 0, tzinfo=UTC)
TAKEN_AT = datetime(2031, 3, 4, 18, 0, tzinfo=UTC)


def wish_of(*parts: QuizPart, seed: int = 5, title: str = "Week 3") -> QuizWish:
    return QuizWish(title, "noise", seed, parts or (part_of(EXERCISES["octave-tone"]),))


def tone_quiz(*, items: int = 30, seed: int = 5, sizes: tuple[float, float] = (4.0, 6.0)) -> Quiz:
    """Return a quiz of octave tones on the mix as it would be drawn, without any sound being made."""
    tone = EXERCISES["octave-tone"]
    foci = foci_of(part_of(tone, items=items, sizes=sizes), tone, default_rng(seed))
    return Quiz(
        "ab" * 16, "Week 3", MADE_AT, tuple(_tone(focus, number) for number, focus in enumerate(foci, 1))
    )


def _tone(focus: Focus, number: int) -> QuizItem:
    question = Question(
        "In the full mix: which octave band?", (BandField(), DirectionField()), "mix", focus.size, "mix"
    )
    band_hz = float(focus.band_hz or 0.0)
    answer = {"band": band_hz, "direction": "boost" if focus.direction == 1 else "cut"}
    code = encode(RepSpec("octave-tone", "noise", number, focus))
    return QuizItem(
        number,
        "octave-tone",
        "octave tone",
        code,
        "noise",
        number,
        "dB",
        question,
        answer,
        {band_hz: 1.0},
        "octave-tone/mix",
    )


def quiz_of(reps: tuple[Rep, ...], *, uid: str = "abcdef0123456789abcdef0123456789") -> Quiz:
    return Quiz(uid, "Week 3", MADE_AT, items_of(iter(reps)))


def class_of(
    quiz: Quiz, count: int, rng: Generator, *, spread: float = 0.35, uneven: float = 0.2
) -> list[Returned]:
    """Return what a class answers: the ears' ln T75 differ by ``spread``, around 6.5 dB."""
    names = [f"Student {number:02d}" for number in range(1, count + 1)]
    return [
        Returned(name, TAKEN_AT, "", answers_of(quiz, ear_of(rng, spread=spread, uneven=uneven), rng))
        for name in names
    ]


def ear_of(rng: Generator, *, spread: float, uneven: float) -> np.ndarray:
    """Return somebody's ln T75, low band to high: around 6.5 dB, their bands unlike each other by ``uneven``."""
    return math.log(6.5) + spread * rng.standard_normal() + uneven * rng.standard_normal(len(OCTAVE_SCALE))


def answers_of(quiz: Quiz, ear: np.ndarray, rng: Generator) -> dict[int, Answer]:
    """Return what an ear answers."""
    return {item.number: _answer(item, ear, rng) for item in quiz.items}


def _answer(item: QuizItem, ear: np.ndarray, rng: Generator) -> Mapping[str, Value]:
    band = OCTAVE_SCALE.place(max(item.bands, key=lambda band_hz: item.bands[band_hz]))
    ease = math.log(item.question.size) - ear[band] + ease_of(0.75)
    fields = [one for one in item.question.fields if isinstance(one, OptionField)]
    options = tuple(sorted((len(one.options) for one in fields), reverse=True))
    if rng.random() < chance_right(ease, options=options):
        return dict(item.answer)
    return {one.key: one.options[int(rng.integers(len(one.options)))] for one in fields}


def rng_of(seed: int) -> Generator:
    return default_rng(seed)
