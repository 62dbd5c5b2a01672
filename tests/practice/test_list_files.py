"""A rep of an exercise with a list, as files: question and answer survive JSON, and the question tells nothing."""

import json
from pathlib import Path

import pytest

from tests.list_exercise import EXERCISE, KEY
from tests.noise_show import SameNoise
from trainer.practice.deal import Rep, deal
from trainer.practice.exercise import Focus
from trainer.practice.grading import checked, grade
from trainer.practice.question_text import plain_question, question_from
from trainer.practice.rep_code import RepSpec
from trainer.practice.rep_files import write_rep
from trainer.practice.values import answer_from, plain_answer, rows_in


@pytest.fixture(scope="module")
def rep() -> Rep:
    return deal(RepSpec(KEY, "noise", 3, Focus(9.0, "mix")), EXERCISE, SameNoise())


def test_the_files_hold_the_columns_of_a_row_and_the_rows_that_are_right(rep: Rep, tmp_path: Path) -> None:
    write_rep(rep, tmp_path)
    question = json.loads((tmp_path / "rep.json").read_text(encoding="utf-8"))
    answer = json.loads((tmp_path / "answer.json").read_text(encoding="utf-8"))
    (field,) = question["fields"]
    assert (field["key"], field["most"]) == ("changes", 4)
    assert [column["key"] for column in field["rows"]] == ["band", "direction"]
    assert field["rows"][0]["options"][0] == {"value": 31.5, "label": "31.5 Hz"}
    assert field["rows"][0]["options"][5] == {"value": 1000, "label": "1 kHz"}
    assert len(answer["answer"]["changes"]) == 2
    again = answer_from(answer["answer"])
    assert checked(again, rep.question) == rep.answer
    assert grade(again, rep.answer, rep.question, EXERCISE).right
    assert "answer" not in question


def test_a_list_question_and_its_answers_survive_json(rep: Rep) -> None:
    question = question_from(json.loads(json.dumps(plain_question(rep.question), sort_keys=True)))
    assert question == rep.question
    first, second = rows_in(rep.answer, KEY)
    for rows in ((), (first,), (second, first)):
        again = answer_from(json.loads(json.dumps(plain_answer({KEY: rows}))))
        assert checked(again, question) == {KEY: rows}
        whole = len(rows) == 2
        assert grade(again, rep.answer, question, EXERCISE).right is whole
