"""Compression: the compressor works at the times it names, and as hard as the answer says."""

import numpy as np
import pytest
from numpy.random import default_rng

from exercises.compression import EXERCISE, PACES, draw
from tests.noise_show import NoiseShow
from trainer.practice.change import Compression
from trainer.practice.exercise import Focus

EXCERPT = NoiseShow().excerpt(1)


@pytest.mark.parametrize(("size", "step"), [(3.5, 3.0), (5.0, 6.0), (9.0, 12.0), (15.0, 12.0)])
def test_it_compresses_by_its_size_and_the_answer_is_the_nearest_step(size: float, step: float) -> None:
    drawn = draw(EXCERPT, Focus(size, "section"), default_rng(4))
    assert drawn.answer["hardness"] == step
    process = EXERCISE.change(drawn.answer, drawn.question, EXCERPT).edits[0].process
    assert isinstance(process, Compression)
    pace = PACES[str(drawn.answer["speed"])]
    assert (process.reduction_db, process.attack_s, process.release_s) == (
        size,
        pace.attack_s,
        pace.release_s,
    )


def test_fast_and_slow_sound_different_and_fast_follows_more_closely() -> None:
    drawn = draw(EXCERPT, Focus(9.0, "stem"), default_rng(1))
    part = str(drawn.answer["which"])
    stem = EXCERPT.stems[part]
    moving = {}
    for speed in PACES:
        answer = {**drawn.answer, "speed": speed}
        process = EXERCISE.change(answer, drawn.question, EXCERPT).edits[0].process
        pressed = process.apply({part: stem})[part]
        loud = np.abs(stem.samples[:, 0]) > 1e-3
        moving[speed] = float(
            np.mean(np.abs(np.diff(np.log(pressed.samples[loud, 0] / stem.samples[loud, 0]))))
        )
    assert moving["fast"] > 1.5 * moving["slow"]


def test_both_speeds_are_asked_about_equally_often() -> None:
    fast = sum(
        draw(EXCERPT, Focus(9.0, "stem"), default_rng(seed)).answer["speed"] == "fast" for seed in range(400)
    )
    assert 160 < fast < 240


def test_the_remedy_names_the_threshold_and_the_make_up() -> None:
    drawn = draw(EXCERPT, Focus(9.0, "stem"), default_rng(1))
    remedy = EXERCISE.remedy(drawn.answer, drawn.question)
    assert "threshold up" in remedy
    assert "9 dB" in remedy
    assert "make-up" in remedy
