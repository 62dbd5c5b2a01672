"""A question as plain values that JSON can hold, and back: kept with a quiz, so that paper can be marked."""

from collections.abc import Mapping
from dataclasses import fields
from typing import Any

from trainer.practice.exercise import Question
from trainer.practice.fields import AmountField, BandField, ChoiceField, DirectionField, Field, WhichField
from trainer.refusal import Refused

KINDS: dict[str, type[Any]] = {
    "band": BandField,
    "direction": DirectionField,
    "which": WhichField,
    "amount": AmountField,
    "choice": ChoiceField,
}
"""The kinds of field there are, by the name they are kept under."""


def plain_question(question: Question) -> dict[str, Any]:
    """Return a question as plain values.

    Raises
    ------
    Refused
        If it has a field of a kind that cannot be kept (an exercise of another package may have).
    """
    return {
        "text": question.text,
        "target": question.target,
        "size": question.size,
        "fields": [_plain_field(field) for field in question.fields],
    }


def question_from(plain: Mapping[str, Any]) -> Question:
    """Return the question that `plain_question` made the values of; `ValueError` if they are those of none."""
    try:
        return Question(
            text=str(plain["text"]),
            fields=tuple(map(_field_from, plain["fields"])),
            target=str(plain["target"]),
            size=float(plain["size"]),
        )
    except (KeyError, TypeError, AttributeError) as why:
        raise ValueError(f"{plain!r} is no question: {why!r}") from why


def _plain_field(field: Field) -> dict[str, Any]:
    for kind, made_of in KINDS.items():
        if isinstance(field, made_of):
            values = {part.name: _plain_value(getattr(field, part.name)) for part in fields(made_of)}
            return {"kind": kind} | values
    raise Refused(f"a {type(field).__name__} cannot be kept with a quiz: leave its exercise out")


def _plain_value(value: Any) -> Any:
    """Return tuples as lists, and a mapping as pairs: their order is what is offered, and JSON may sort keys."""
    if isinstance(value, Mapping):
        return [list(pair) for pair in value.items()]
    return list(value) if isinstance(value, tuple) else value


def _field_from(plain: Mapping[str, Any]) -> Field:
    values = {key: value for key, value in plain.items() if key != "kind"}
    given = {key: tuple(value) if isinstance(value, list) else value for key, value in values.items()}
    made_of = KINDS[plain["kind"]]
    if "choices" in given:
        given["choices"] = dict(given["choices"])
    made: Field = made_of(**given)
    return made
