"""Quizzes through the assembly: made, sat, left in the middle and gone on with, once unless staff allow more."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.test_assembly import NOW, assembly_of
from trainer.assembly import Assembly
from trainer.practice.sitting import from_text, to_text
from trainer.progress.sittings import SITTING_SETTING
from trainer.progress.store import Store, open_store
from trainer.refusal import Refused
from trainer.season.quiz import Quiz, keep_quiz, number_of
from trainer.season.quiz_marking import sheets_by_block
from trainer.season.quiz_sittings import allow_sittings
from trainer.season.quiz_wish import QuizWish, part_of


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with open_store(tmp_path / "store.sqlite", now=NOW) as opened:
        yield opened


def quiz_in(store: Store, assembly: Assembly, *, items: int = 4) -> Quiz:
    part = part_of(assembly.catalogue["octave-tone"], items=items, sizes=(9.0, 9.0))
    quiz = assembly.new_quiz(QuizWish("Week 3", "noise", 5, (part,)))
    keep_quiz(store, quiz)
    return quiz


def sit(assembly: Assembly, store: Store, quiz: Quiz, *, learner: str = "Heron", count: int = 4) -> str:
    """Answer so many items of a quiz, all right, and leave; return the block's uid."""
    sitting = assembly.quiz_sitting(store, quiz, learner)
    with assembly.block(store, sitting) as block:
        assert block.is_quiz
        for _ in range(count):
            block.answer(block.rep.answer)
    return sitting.uid


def test_everybody_is_asked_the_same_in_the_same_order(store: Store) -> None:
    quiz = quiz_in(store, assembly_of())
    for seed, learner in enumerate(("Heron", "Plover", "Avocet"), 2):
        sit(assembly_of(seed), store, quiz, learner=learner)
    asked = {
        learner: [attempt.rep_code for attempt in store.log.attempts(quiz=quiz.uid, learner=learner)]
        for learner in ("Heron", "Plover", "Avocet")
    }
    assert set(map(tuple, asked.values())) == {tuple(item.code for item in quiz.items)}
    attempts = list(store.log.attempts(quiz=quiz.uid, learner="Heron"))
    assert [number_of(attempt) for attempt in attempts] == [1, 2, 3, 4]
    assert [attempt.right_answer for attempt in attempts] == [item.answer for item in quiz.items]


def test_a_quiz_left_in_the_middle_goes_on_from_there_whatever_was_drilled_between(store: Store) -> None:
    assembly = assembly_of()
    quiz = quiz_in(store, assembly)
    begun = sit(assembly, store, quiz, count=2)
    drill = assembly.new_sitting("Heron", ("level",), "noise", 2)
    with assembly.block(store, drill) as block:
        block.answer(None)
    assert assembly.open_sitting(store, "Heron") == drill, "a quiz is no drill to go on with"
    assert sit(assembly_of(3), store, quiz, count=2) == begun
    sheet = sheets_by_block(store, quiz, "Heron")[begun]
    assert sorted(sheet.attempts) == [1, 2, 3, 4]


def test_one_sitting_unless_staff_allow_another(store: Store) -> None:
    assembly = assembly_of()
    quiz = quiz_in(store, assembly)
    first = sit(assembly, store, quiz)
    with pytest.raises(Refused, match=r"Heron has taken 'Week 3' already, on 2031-02-03; staff can allow"):
        assembly.quiz_sitting(store, quiz, "Heron")
    assert assembly.quiz_sitting(store, quiz, "Plover").quiz == quiz.uid
    allow_sittings(store, quiz, "Heron", 2, now=assembly.now())
    assert sit(assembly, store, quiz) != first
    with pytest.raises(Refused, match="has taken"):
        assembly.quiz_sitting(store, quiz, "Heron")


def test_a_quiz_leaves_the_drill_that_was_open_alone(store: Store) -> None:
    assembly = assembly_of()
    sit(assembly, store, quiz_in(store, assembly), count=2)
    assert store.settings.get("Heron", SITTING_SETTING, "") == ""


def test_a_sitting_of_a_quiz_survives_as_text(store: Store) -> None:
    assembly = assembly_of()
    sitting = assembly.quiz_sitting(store, quiz_in(store, assembly), "Heron")
    assert from_text(to_text(sitting)) == sitting


def test_the_reps_of_a_quiz_are_made_again_for_a_pack(store: Store) -> None:
    assembly = assembly_of()
    quiz = quiz_in(store, assembly, items=2)
    assert [rep.code for rep in assembly_of(9).quiz_reps(quiz)] == [item.code for item in quiz.items]
