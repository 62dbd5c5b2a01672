"""A quiz kept by version 0.1.0 is read and marked: its record was made by that version's own code, on noise."""

import json
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

import pytest

from tests.season.quizzes import EXERCISES, MADE_AT, TAKEN_AT
from trainer.practice.evidence import bands_of
from trainer.practice.rep_code import decode
from trainer.progress.records import record_of
from trainer.progress.store import Store, open_store
from trainer.refusal import Refused
from trainer.season.answer_files import Returned, attempts_of
from trainer.season.quiz import Quiz, keep_quiz, quizzes_of
from trainer.season.quiz_marking import mark, score_of
from trainer.season.quiz_results import quiz_page
from trainer.season.sheet import answer_sheet, key_line

KEPT = json.loads((Path(__file__).parent / "quiz_of_010.json").read_text(encoding="utf-8"))


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with open_store(tmp_path / "store.sqlite", now=MADE_AT) as opened:
        made_at = datetime.fromisoformat(KEPT["at"])
        opened.records.put([record_of(KEPT["kind"], KEPT["key"], KEPT["content"], at=made_at)])
        yield opened


@pytest.fixture
def quiz(store: Store) -> Quiz:
    (quiz,) = quizzes_of(store)
    return quiz


def test_its_items_are_what_they_were(quiz: Quiz) -> None:
    """The scope, which 0.1.0 did not keep, is what a question's target or its options say."""
    scopes = [item.question.scope for item in quiz.items]
    assert scopes == ["mix", "mix", "section", "section", "section", "stem", "section", "section"]
    assert [key_line(item) for item in quiz.items] == [
        "4 kHz, cut (size 6 dB)",
        "250 Hz, cut (size 4.5 dB)",
        "125 Hz, boost (size 9 dB)",
        "electronics, up, 6 dB (size 6 dB)",
        "electronics, down, 6 dB (size 6 dB)",
        "cymbals, up, 12 dB (size 12 dB)",
        "brass, firm, about 6 dB, fast (attack 1 ms, release 60 ms) (size 8 dB)",
        "electronics, firm, about 6 dB, fast (attack 1 ms, release 60 ms) (size 8 dB)",
    ]
    assert len(answer_sheet(quiz).items) == 8


def test_it_is_marked_and_what_it_says_of_an_ear_is_kept(store: Store, quiz: Quiz) -> None:
    """Under the kind it was made as: a size of 0.1.0's compression is no swing of a meter."""
    answers = {item.number: item.answer for item in quiz.items}
    wrong = {number: answer for number, answer in answers.items() if number > 3}
    returned = [Returned("Heron", TAKEN_AT, "", answers), Returned("Plover", TAKEN_AT, "", wrong)]
    sheets, fresh = mark(store, quiz, returned, EXERCISES)
    assert fresh == 2
    assert [score_of(quiz, sheet) for sheet in sheets] == [1.0, pytest.approx(0.55, abs=0.1)]
    kept = {one.quiz_item: one for one in store.log.attempts(learner="Heron")}
    for item in quiz.items:
        (evidence,) = kept[quiz.key_of(item)].evidence
        assert evidence.kind == f"{item.exercise}/{item.question.scope}/quiz"
        assert evidence.named
        assert bands_of([evidence]) == pytest.approx(dict(item.bands))
    page = quiz_page(quiz, list(store.log.attempts(quiz=quiz.uid)), names={})
    assert [item.difficulty.value for item in page.items] == [0.5] * 3 + [1.0] * 5


def test_kept_again_it_is_the_same(tmp_path: Path, quiz: Quiz) -> None:
    with open_store(tmp_path / "other.sqlite", now=MADE_AT) as other:
        keep_quiz(other, quiz)
        assert quizzes_of(other) == (quiz,)


def test_its_sound_cannot_be_made_again_and_that_is_said(quiz: Quiz) -> None:
    with pytest.raises(Refused, match="version"):
        decode(quiz.items[0].code)


def test_without_its_exercise_it_is_refused_in_one_sentence(quiz: Quiz) -> None:
    fewer = {key: one for key, one in EXERCISES.items() if key != "level"}
    with pytest.raises(Refused, match="'Week 3' asks 'level', an exercise that is not installed here"):
        attempts_of(quiz, Returned("Heron", TAKEN_AT, "", {}), fewer)
