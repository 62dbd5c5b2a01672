"""Questions kept as text."""

import json

import pytest

from tests.noise_show import SameNoise
from trainer.practice.catalogue import load
from trainer.practice.deal import deal
from trainer.practice.exercise import Focus, Question
from trainer.practice.fields import BandField, ChoiceField, DirectionField
from trainer.practice.question_text import plain_question, question_from
from trainer.practice.rep_code import RepSpec
from trainer.refusal import Refused

EXERCISES = load().exercises


@pytest.mark.parametrize("key", EXERCISES)
def test_every_exercises_question_survives_json_with_its_keys_sorted(key: str) -> None:
    exercise = EXERCISES[key]
    spec = RepSpec(key, "noise", 3, Focus(exercise.ladder.start, scope=exercise.scopes[0]))
    question = deal(spec, exercise, SameNoise()).question
    text = json.dumps(plain_question(question), sort_keys=True)
    again = question_from(json.loads(text))
    assert again == question
    assert [one.options for one in again.fields] == [one.options for one in question.fields]
    for mine, theirs in zip(again.fields, question.fields, strict=True):
        assert [mine.label(option) for option in mine.options] == [theirs.label(o) for o in theirs.options]


def test_the_order_of_choices_is_kept_against_the_alphabet() -> None:
    field = ChoiceField("how", "how", {"slow": "slow", "fast": "fast"})
    question = Question("?", (field,), "mix", 3.0)
    again = question_from(json.loads(json.dumps(plain_question(question), sort_keys=True)))
    assert again.fields[0].options == ("slow", "fast")


class StrangeField:
    """A field that is none of ours."""

    key, title, options = "x", "x", ("a", "b")


def test_a_field_that_cannot_be_kept_is_refused() -> None:
    strange: tuple[object, ...] = (StrangeField(),)
    with pytest.raises(Refused, match="StrangeField cannot be kept with a quiz"):
        plain_question(Question("?", strange, "mix", 3.0))  # type: ignore[arg-type]


@pytest.mark.parametrize("spoilt", [{}, {"fields": [{"kind": "smell"}]}, {"fields": 3}])
def test_what_is_no_question_is_a_value_error(spoilt: dict[str, object]) -> None:
    whole = plain_question(Question("?", (BandField(), DirectionField()), "mix", 3.0))
    with pytest.raises(ValueError, match="is no question"):
        question_from((whole | spoilt) if spoilt else {})
