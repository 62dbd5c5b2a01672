"""Questions kept as text."""

import json
from dataclasses import replace

import pytest

from tests.noise_show import SameNoise
from trainer.practice.catalogue import load
from trainer.practice.deal import deal
from trainer.practice.exercise import Focus, Question, Scope
from trainer.practice.fields import (
    BandField,
    ChoiceField,
    DirectionField,
    OptionField,
    WhichField,
    field_from,
)
from trainer.practice.question_text import asked_text, plain_question, question_from
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


def test_the_order_of_choices_is_kept_against_the_alphabet() -> None:
    field = ChoiceField.of("how", "how", {"slow": "slow", "fast": "fast"})
    question = Question("?", (field,), "mix", 3.0, "mix")
    again = question_from(json.loads(json.dumps(plain_question(question), sort_keys=True)))
    assert again == question


TONE = Question("?", (BandField(), DirectionField()), "brass", 3.0, "section")


def test_a_field_of_an_exercise_that_is_not_installed_is_refused() -> None:
    with pytest.raises(Refused, match="the kind 'smell' comes from an exercise that is not installed here"):
        question_from(plain_question(TONE) | {"fields": [{"kind": "smell"}]})


@pytest.mark.parametrize("spoilt", [None, {"fields": 3}, {"fields": [3]}, {"size": None}])
def test_what_is_no_question_is_a_value_error(spoilt: dict[str, object] | None) -> None:
    with pytest.raises(ValueError, match="is no question"):
        question_from({} if spoilt is None else plain_question(TONE) | spoilt)


def test_the_same_fields_are_the_same_text_whatever_is_true_of_the_rest() -> None:
    other = replace(TONE, text="!", target="battery", size=9.0)
    assert asked_text(other) == asked_text(TONE)
    narrower = replace(TONE, fields=(BandField((63.0, 125.0)), DirectionField()))
    assert asked_text(narrower) != asked_text(TONE)
    assert tuple(map(field_from, json.loads(asked_text(narrower)))) == narrower.fields


@pytest.mark.parametrize(
    ("target", "fields", "scope"),
    [
        ("mix", (BandField(), DirectionField()), "mix"),
        ("brass", (BandField(), DirectionField()), "section"),
        ("snare-line", (BandField(), DirectionField()), "stem"),
        ("", (WhichField(("battery", "brass")), DirectionField()), "section"),
        ("", (WhichField(("marimba", "cymbals")), DirectionField()), "stem"),
    ],
)
def test_a_question_kept_before_its_scope_was_says_it_by_its_target_or_its_offer(
    target: str, fields: tuple[OptionField, ...], scope: Scope
) -> None:
    """As version 0.1.0 kept questions with a quiz."""
    question = Question("?", fields, target, 3.0, scope)
    plain = plain_question(question)
    assert question_from(plain) == question
    del plain["scope"]
    assert question_from(plain) == question
