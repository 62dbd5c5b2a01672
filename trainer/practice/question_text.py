"""A question as plain values that JSON can hold, and back: kept with a quiz, so that paper can be marked."""

import json
from collections.abc import Mapping
from typing import Any

from trainer.ensemble.parts import SECTION_BY_KEY
from trainer.practice import control_field, list_field  # noqa: F401 - their kinds are known from here on
from trainer.practice.change import MIX
from trainer.practice.exercise import SCOPES, Question, Scope
from trainer.practice.fields import field_from


def plain_question(question: Question) -> dict[str, Any]:
    """Return a question as plain values."""
    return {
        "text": question.text,
        "target": question.target,
        "scope": question.scope,
        "size": question.size,
        "fields": [one.plain() for one in question.fields],
    }


def question_from(plain: Mapping[str, Any]) -> Question:
    """Return the question that `plain_question` made the values of.

    Raises
    ------
    Refused
        If it has a field of a kind that no exercise here brings.
    ValueError
        If they are the values of no question.
    """
    try:
        return Question(
            text=str(plain["text"]),
            fields=tuple(map(field_from, plain["fields"])),
            target=str(plain["target"]),
            size=float(plain["size"]),
            scope=_scope_in(plain),
        )
    except (KeyError, TypeError, AttributeError) as why:
        raise ValueError(f"{plain!r} is no question: {why!r}") from why


def asked_text(question: Question) -> str:
    """Return what was on offer in a question's fields as JSON: the same text for the same fields."""
    return asked_from([one.plain() for one in question.fields])


def asked_from(plain_fields: list[dict[str, Any]]) -> str:
    """Return the JSON of fields' plain values."""
    return json.dumps(plain_fields, ensure_ascii=False, allow_nan=False, sort_keys=True)


def _scope_in(plain: Mapping[str, Any]) -> Scope:
    """Return what a question was asked on; one of before it was kept says so by its target, or by what it offers."""
    if "scope" in plain:
        return next(scope for scope in SCOPES if scope == plain["scope"])
    offered = next((one["options"][0] for one in plain["fields"] if one["kind"] == "which"), MIX)
    named = plain["target"] or offered
    return "mix" if named == MIX else "section" if named in SECTION_BY_KEY else "stem"
