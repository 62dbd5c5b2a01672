"""Values: what the fields of an answer hold: a word, a number, or a list of rows of them."""

import math
from collections.abc import Mapping
from typing import Any, TypeGuard

Simple = str | float
"""A key of an option, or a number (a band's nominal hertz, decibels)."""
Row = Mapping[str, Simple]
"""One row of a list: field key to value."""
Value = Simple | tuple[Row, ...]
"""What one field of an answer holds."""
Answer = Mapping[str, Value]
"""Field key to value."""


def is_simple(value: object) -> TypeGuard[Simple]:
    """Return whether a value is a word or a finite number."""
    if isinstance(value, bool):
        return False
    return isinstance(value, str) or (isinstance(value, int | float) and math.isfinite(value))


def number_in(answer: Answer, key: str) -> float:
    """Return the number one field holds.

    Raises
    ------
    ValueError
        If it holds none.
    """
    value = answer.get(key)
    if isinstance(value, int | float):
        return float(value)
    raise ValueError(f"the field {key!r} holds a number, not {value!r}")


def text_in(answer: Answer, key: str) -> str:
    """Return the word one field holds; `ValueError` if it holds none."""
    value = answer.get(key)
    if isinstance(value, str):
        return value
    raise ValueError(f"the field {key!r} holds a word, not {value!r}")


def rows_in(answer: Answer, key: str) -> tuple[Row, ...]:
    """Return the rows one field holds; `ValueError` if it holds none."""
    value = answer.get(key)
    if isinstance(value, tuple):
        return value
    raise ValueError(f"the field {key!r} holds a list of rows, not {value!r}")


def plain_value(value: Value) -> Any:
    """Return a value as JSON holds it."""
    return [dict(row) for row in value] if isinstance(value, tuple) else value


def plain_answer(answer: Answer) -> dict[str, Any]:
    """Return an answer as JSON holds it."""
    return {key: plain_value(value) for key, value in answer.items()}


def value_from(plain: Any) -> Value:
    """Return the value that `plain_value` made.

    Raises
    ------
    ValueError
        If it is the plain form of none.
    """
    if is_simple(plain):
        return plain
    if isinstance(plain, list | tuple):
        return tuple(_row_from(row) for row in plain)
    raise ValueError(f"a value is a word, a number or a list of rows, not {plain!r}")


def answer_from(plain: Any) -> dict[str, Value]:
    """Return the answer that `plain_answer` made; `ValueError` if it is the plain form of none."""
    if not isinstance(plain, Mapping):
        raise ValueError(f"an answer is a table of fields, not {plain!r}")
    return {str(key): value_from(value) for key, value in plain.items()}


def _row_from(plain: Any) -> dict[str, Simple]:
    if not isinstance(plain, Mapping) or not all(map(is_simple, plain.values())):
        raise ValueError(f"a row is a table of words and numbers, not {plain!r}")
    return {str(key): value for key, value in plain.items()}
