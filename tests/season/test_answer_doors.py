"""Lists, control positions and thirty bands through every door: pack, file, table, paper, mark, store, results."""

import json
from collections.abc import Iterator, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from tests.season.list_quiz import ALL, CHANGES, LIST, made_of_everything
from tests.season.quizzes import EXERCISES, MADE_AT, TAKEN_AT
from trainer.practice.exercise import Grade
from trainer.practice.fields import DirectionField, WhichField
from trainer.practice.question_text import asked_text
from trainer.practice.values import Answer, rows_in
from trainer.progress.store import Store, open_store
from trainer.refusal import Refused
from trainer.season.answer_files import (
    Returned,
    attempts_of,
    begun_answers,
    read_answers,
    write_answers,
)
from trainer.season.answer_tables import numbers_of_sheet, read_table, read_typed
from trainer.season.class_pack import write_key
from trainer.season.pages import SheetBlank, SheetChoice, SheetRows
from trainer.season.quiz import (
    QUIZ_KIND,
    Quiz,
    keep_quiz,
    number_of,
    quiz_named,
    quiz_record,
    quizzes_of,
    unreadable_quizzes,
)
from trainer.season.quiz_marking import mark, score_of, scores_by_field
from trainer.season.quiz_results import quiz_page
from trainer.season.sealed_pack import open_pack, write_sealed_pack
from trainer.season.sheet import answer_sheet, key_line
from trainer.season.untold import untold_blocks


@pytest.fixture(scope="module")
def quiz() -> Quiz:
    return made_of_everything().quiz


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with open_store(tmp_path / "store.sqlite", now=MADE_AT) as opened:
        yield opened


def right(quiz: Quiz) -> dict[int, Answer]:
    return {item.number: item.answer for item in quiz.items}


def test_a_pack_taken_returned_marked_kept_and_counted(store: Store, tmp_path: Path, quiz: Quiz) -> None:
    made = made_of_everything()
    keep_quiz(store, quiz)
    assert quizzes_of(store) == (quiz,)
    write_sealed_pack(quiz, made.reps, tmp_path / "pack.zip")
    pack = open_pack(tmp_path / "pack.zip")
    questions = {item.number: item.question for item in pack.items}
    assert [one.fields for one in questions.values()] == [item.question.fields for item in quiz.items]
    file = tmp_path / "heron.json"
    write_answers(
        file, quiz=pack.quiz, sitting="1" * 32, learner="Heron", begun_at=TAKEN_AT, answers=right(quiz)
    )
    assert begun_answers(pack.quiz, pack.title, questions, file) == read_answers(quiz, file)
    one_missed = {**right(quiz), 1: {"changes": rows_in(quiz.items[0].answer, "changes")[:1]}}
    others = Returned("Plover", TAKEN_AT, "", {**one_missed, 2: {"gain": 11.0}})
    sheets, fresh = mark(store, quiz, [read_answers(quiz, file), others], ALL)
    assert fresh == 2
    assert score_of(quiz, sheets[0]) == 1.0
    assert scores_by_field(quiz, sheets[1])["third-octave band"] == 1.0
    kept = sorted(store.log.attempts(learner="Heron"), key=number_of)
    assert [one.given_answer for one in kept] == [dict(item.answer) for item in quiz.items]
    assert [one.asked for one in kept] == [asked_text(item.question) for item in quiz.items]
    assert [[e.kind for e in one.evidence] for one in kept] == [
        ["changes/mix/quiz"] * 2, ["fader/mix/quiz"], ["thirds/mix/quiz"], ["octave-tone/mix/quiz"],
    ]  # fmt: skip
    assert mark(store, quiz, [others], ALL)[1] == 0, "the same answers again"
    page = quiz_page(quiz, list(store.log.attempts(quiz=quiz.uid)), names={})
    assert [item.difficulty.value for item in page.items] == [0.5, 0.5, 1.0, 1.0]


def test_a_list_counts_for_its_field_by_its_own_mark(quiz: Quiz) -> None:
    """One of two changes found: the field's own mark, guessing taken away, and its part of the score."""
    item = quiz.items[0]
    found: Answer = {"changes": rows_in(item.answer, "changes")[:1]}
    (attempt, *_) = attempts_of(quiz, Returned("Heron", TAKEN_AT, "", {1: found}), ALL)
    assert attempt.score == attempt.marks["changes"] == LIST.mark(found["changes"], item.answer["changes"])
    assert 0.2 < attempt.score < 0.5
    assert [one.named for one in attempt.evidence] == [True, False]


def test_an_exercise_marks_its_items_itself(quiz: Quiz) -> None:
    def generous(given: Answer, right: Answer, question: object) -> Grade:  # noqa: ARG001 - the interface's shape
        return Grade({"changes": 0.25}, 0.75, right=False)

    marking = {**ALL, "changes": replace(CHANGES, grade=generous)}
    attempts = attempts_of(quiz, Returned("Heron", TAKEN_AT, "", right(quiz)), marking)
    assert (attempts[0].marks, attempts[0].score, attempts[0].right) == ({"changes": 0.25}, 0.75, False)
    assert attempts[1].score == 1.0


@pytest.mark.parametrize("separator", [",", ";"])
def test_a_table_holds_lists_and_positions_whatever_parts_its_cells(
    quiz: Quiz, tmp_path: Path, separator: str
) -> None:
    cells = ["Heron", '"500 boost; 2k cut"', "-3.5 dB", "1.25k boost", '"1k, cut"']
    none = ["Plover", "nothing", "", "", ""]
    lines = [["name", "1", "2", "3", "4"], cells, none]
    path = tmp_path / "answers.csv"
    path.write_text("\n".join(separator.join(line) for line in lines), encoding="utf-8")
    heron, plover = read_table(quiz, path, at=TAKEN_AT)
    assert heron.answers == {
        1: {"changes": ({"band": 500.0, "direction": "boost"}, {"band": 2000.0, "direction": "cut"})},
        2: {"gain": -3.5},
        3: {"band": 1250.0, "direction": "boost"},
        4: {"band": 1000.0, "direction": "cut"},
    }
    assert plover.answers == {1: {"changes": ()}}


def test_a_list_outside_quotation_marks_is_told_and_not_taken_for_the_next_items(
    quiz: Quiz, tmp_path: Path
) -> None:
    path = tmp_path / "answers.csv"
    path.write_text("name;1;2;3;4\nHeron;500 boost; 2k cut;-3;1k cut;1k cut\n", encoding="utf-8")
    with pytest.raises(Refused, match=r"line 2: there are 6 cells under 5 columns; .* in quotation marks"):
        read_table(quiz, path, at=TAKEN_AT)
    path.write_text("name;1;2;3;4\nHeron;500 boost;-3;1k cut;1k cut;;;\n", encoding="utf-8")
    assert len(read_table(quiz, path, at=TAKEN_AT)[0].answers) == 4, "empty cells beyond the last do no harm"


SLIPS: list[tuple[dict[str, Any], str]] = [
    ({"1": {"changes": "500 boost"}}, "item 1: the changes are a list of rows"),
    ({"1": {"changes": [{"band": 500}]}}, "item 1: a row of the changes holds octave band, direction"),
    (
        {"1": {"changes": [{"band": 440, "direction": "cut"}]}},
        "item 1: the octave band was answered with 440",
    ),
    ({"1": {"changes": [{"band": 500, "direction": "cut"}] * 5}}, "item 1: the changes hold 5 rows"),
    ({"2": {"gain": 40}}, "item 2: the gain runs from -12 to 12 dB, not to 40"),
    ({"2": {"gain": "loud"}}, "item 2: the gain runs from -12 to 12 dB, not to 'loud'"),
]


@pytest.mark.parametrize(("answers", "said"), SLIPS)
def test_what_is_no_list_or_position_is_told(
    quiz: Quiz, tmp_path: Path, answers: Mapping[str, object], said: str
) -> None:
    content = {"kind": "yardline-answers", "quiz": quiz.uid, "sitting": "a" * 32, "learner": "Heron",
               "begun_at": "2031-03-04T18:00:00+00:00", "answers": answers}  # fmt: skip
    path = tmp_path / "answers.json"
    path.write_text(json.dumps(content), encoding="utf-8")
    with pytest.raises(Refused, match=said):
        read_answers(quiz, path)


def test_paper_has_a_place_for_each_kind_of_field_with_short_names_for_bands(quiz: Quiz) -> None:
    rows, blank, thirds, octaves = (item.fields[0] for item in answer_sheet(quiz).items)
    assert isinstance(rows, SheetRows)
    assert (rows.rows, [column.title for column in rows.columns]) == (4, ["octave band", "direction"])
    assert blank == SheetBlank("gain", "dB", "-12 to 12")
    assert isinstance(thirds, SheetChoice)
    assert isinstance(octaves, SheetChoice)
    assert (len(thirds.options), thirds.options[:2], thirds.options[-1]) == (30, ("25", "31.5"), "20k")
    assert set(octaves.options) < set(thirds.options)


def test_the_key_says_lists_and_positions_and_no_size_of_a_fault_that_has_none(
    quiz: Quiz, tmp_path: Path
) -> None:
    words = [key_line(item) for item in quiz.items]
    assert words[0] == "250 Hz boost; 2 kHz cut (size 6 dB)"
    assert words[1] == "-6 dB (size 6 dB)"
    assert key_line(replace(quiz.items[1], unit="")) == "-6 dB"
    write_key(quiz, tmp_path / "key.csv")
    assert words[0] in (tmp_path / "key.csv").read_text(encoding="utf-8-sig")


def test_a_number_of_the_sheet_means_what_it_means_there() -> None:
    """Two items offer different stems: #3 is the third of all of them, which is the second of the other item."""
    level = made_of_everything().quiz.items[3]

    def item(number: int, *stems: str) -> Any:
        question = replace(level.question, fields=(WhichField(stems), DirectionField(("up", "down"))))
        return replace(level, number=number, question=question, answer={"which": stems[0], "direction": "up"})

    quiz = replace(
        made_of_everything().quiz,
        items=(item(1, "snare-line", "marimba", "cymbals"), item(2, "marimba", "cymbals", "trumpets")),
    )
    numbers, asked = numbers_of_sheet(quiz), quiz.items[1].question
    assert read_typed(asked, "#3 up", numbers) == {"which": "cymbals", "direction": "up"}
    assert read_typed(asked, "#4, #2", numbers) == {"which": "trumpets", "direction": "down"}
    assert read_typed(asked, "cymbals up", numbers) == {"which": "cymbals", "direction": "up"}
    with pytest.raises(Refused, match="#1 stands for no which of this item on the answer sheet"):
        read_typed(asked, "#1 up", numbers)
    with pytest.raises(Refused, match="#9 stands for no which"):
        read_typed(asked, "#9 up", numbers)


def test_a_quiz_of_fields_that_nobody_here_brings_stands_apart_and_blocks_no_other(
    store: Store, quiz: Quiz
) -> None:
    keep_quiz(store, quiz)
    record = quiz_record(replace(quiz, uid="f" * 32, title="Faders"))
    strange = replace(record, body=record.body.replace('"kind": "control"', '"kind": "joystick"'))
    assert strange.kind == QUIZ_KIND
    store.records.put([strange])
    assert quizzes_of(store) == (quiz,)
    (unreadable,) = unreadable_quizzes(store)
    assert (unreadable.uid, unreadable.title) == ("f" * 32, "Faders")
    assert "'joystick' comes from an exercise that is not installed here" in unreadable.reason
    assert quiz_named([quiz], "", unreadable=[unreadable]) == quiz
    assert quiz_named([quiz], "week 3", unreadable=[unreadable]) == quiz
    for typed in ("faders", "ffff"):
        with pytest.raises(Refused, match="'Faders' cannot be read: a field of the kind 'joystick'"):
            quiz_named([quiz], typed, unreadable=[unreadable])
    assert untold_blocks(store, "Heron") == frozenset()


def test_of_an_unreadable_quiz_too_nothing_is_told_before_its_end(store: Store, quiz: Quiz) -> None:
    record = quiz_record(quiz)
    store.records.put([replace(record, body=record.body.replace('"kind": "control"', '"kind": "joystick"'))])
    attempts = attempts_of(quiz, Returned("Heron", TAKEN_AT, "1" * 32, right(quiz)), ALL)
    store.log.add_all(attempts[:2])
    assert untold_blocks(store, "Heron") == {"1" * 32}
    store.log.add_all(attempts[2:])
    assert untold_blocks(store, "Heron") == frozenset()


def test_without_the_exercise_nothing_is_marked(store: Store, quiz: Quiz) -> None:
    with pytest.raises(Refused, match="'Week 3' asks 'changes', an exercise that is not installed here"):
        mark(store, quiz, [Returned("Heron", TAKEN_AT, "", right(quiz))], EXERCISES)
    assert list(store.log.attempts()) == []
