"""Every exercise keeps to the contract (tests/exercises/contract.py): a new one before its author writes a test."""

from pathlib import Path

import pytest

from tests.exercises.contract import CHECKS, Check
from trainer.practice.catalogue import load
from trainer.practice.exercise import Exercise

README = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
CATALOGUE = load()
EXERCISES = tuple(CATALOGUE.exercises.values())
FEWEST_REPS = 1

every_exercise = pytest.mark.parametrize("exercise", EXERCISES, ids=lambda exercise: exercise.key)


def test_there_are_exercises_to_test() -> None:
    assert len(EXERCISES) >= 3
    assert CATALOGUE.broken == ()


@every_exercise
@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.__name__)
def test_every_exercise_keeps_to_the_contract(exercise: Exercise, check: Check) -> None:
    seen = check(exercise)
    assert set(seen) == set(exercise.scopes)
    assert min(seen.values()) >= FEWEST_REPS


@every_exercise
def test_the_readme_lists_it(exercise: Exercise) -> None:
    assert f"`{exercise.key}`" in README
