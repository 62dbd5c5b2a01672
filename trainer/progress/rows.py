"""Rows: an attempt, checked at the door, as plain columns of text and numbers; and back, losing nothing."""

import json
import math
from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from functools import lru_cache
from typing import Any

from trainer.practice.attempt import Attempt
from trainer.practice.values import Value
from trainer.refusal import Refused

EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
TEXTS = (
    "learner", "block", "exercise", "rep_code", "show", "unit", "target", "setup", "quiz_item", "version",
)  # fmt: skip
NUMBERS = ("size", "score", "response_s")
MAPPINGS = ("bands", "right_answer", "given_answer", "options", "marks")
KNOWN_TEXTS = 5000
_PLAIN = (*TEXTS, *NUMBERS)
COLUMNS = ("uid", "at_us", *TEXTS, "seed", *NUMBERS, "right", "flips", *MAPPINGS)


def to_row(attempt: Attempt) -> dict[str, Any]:
    """Return the attempt as columns.

    Raises
    ------
    Refused
        If it holds what cannot be remembered: text that is not Unicode, a number that is not finite, a time
        without a zone, a ``uid`` that is no UUID, weights that do not sum to 1.
    """
    row: dict[str, Any] = {"uid": _uid(attempt.uid), "at_us": microseconds(attempt.at)}
    row |= {name: checked_text(name, getattr(attempt, name)) for name in TEXTS}
    row |= {name: _number(name, getattr(attempt, name)) for name in NUMBERS}
    row |= {"seed": str(int(attempt.seed)), "right": bool(attempt.right), "flips": int(attempt.flips)}
    row["bands"] = _json("bands", _weights(attempt.bands))
    for name in ("right_answer", "given_answer", "marks"):
        row[name] = _json(name, {k: _value(name, v) for k, v in getattr(attempt, name).items()})
    row["options"] = _json("options", {k: [_value(k, v) for v in vs] for k, vs in attempt.options.items()})
    return row


def from_row(row: Mapping[str, Any]) -> Attempt:
    """Return the attempt that `to_row` made the columns of."""
    bands, right_answer, given_answer, options, marks = (row[name] for name in MAPPINGS)
    return Attempt(
        uid=row["uid"],
        at=time_of(row["at_us"]),
        seed=int(row["seed"]),
        right=bool(row["right"]),
        flips=row["flips"],
        bands=_bands_in(bands),
        right_answer=_values_in(right_answer),
        given_answer=_values_in(given_answer),
        options=_options_in(options),
        marks=_values_in(marks),
        **{name: row[name] for name in _PLAIN},
    )


# The same few texts come again and again: each is read once, and what is read is never changed.


@lru_cache(maxsize=KNOWN_TEXTS)
def _values_in(text: str) -> dict[str, Any]:
    values: dict[str, Any] = json.loads(text)
    return values


@lru_cache(maxsize=KNOWN_TEXTS)
def _bands_in(text: str) -> dict[float, float]:
    return {float(hz): weight for hz, weight in json.loads(text).items()}


@lru_cache(maxsize=KNOWN_TEXTS)
def _options_in(text: str) -> dict[str, tuple[Value, ...]]:
    return {key: tuple(values) for key, values in json.loads(text).items()}


def _uid(uid: str) -> str:
    if len(uid) != 32 or not set(uid) <= set("0123456789abcdef"):
        raise Refused(f"an attempt's uid is 32 lower-case hex digits (a UUID), not {uid!r}")
    return uid


def microseconds(at: datetime) -> int:
    """Return a time as whole microseconds since 1970, UTC."""
    if at.tzinfo is None:
        raise Refused(f"a time needs its zone, and {at.isoformat()} has none; did you mean UTC?")
    return (at - EPOCH) // timedelta(microseconds=1)


def time_of(at_us: int) -> datetime:
    """Return the time of so many microseconds since 1970."""
    return EPOCH + timedelta(microseconds=at_us)


def iso_of(at_us: int) -> str:
    """Return a time as ISO 8601 text."""
    return time_of(at_us).isoformat()


def checked_text(name: str, text: str) -> str:
    """Return the text, refused if it cannot be written as UTF-8."""
    try:
        text.encode("utf-8")
    except UnicodeEncodeError:
        raise Refused(
            f"{name} {text!r} is not valid Unicode text; was it read in the wrong encoding?"
        ) from None
    if "\0" in text:
        raise Refused(f"{name} {text!r} holds a NUL character, which no text here may hold")
    return text


def _number(name: str, number: float) -> float:
    if not math.isfinite(number):
        raise Refused(f"{name} is a finite number, not {number}")
    return float(number)


def _value(name: str, value: Value) -> Value:
    return value if isinstance(value, str) else _number(name, value)


def _weights(bands: Mapping[float, float]) -> dict[float, float]:
    weights = {_number("a band", hz): _number("a band's weight", weight) for hz, weight in bands.items()}
    if weights and (
        min(weights.values()) < 0.0 or not math.isclose(sum(weights.values()), 1.0, abs_tol=1e-6)
    ):
        raise Refused(f"the weights of an attempt's octave bands sum to 1, none below 0, not {weights}")
    return weights


def _json(name: str, mapping: Mapping[Any, Any]) -> str:
    return checked_text(name, json.dumps(mapping, ensure_ascii=False, allow_nan=False))
