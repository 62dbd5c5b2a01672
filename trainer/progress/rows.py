"""Rows: an attempt, checked at the door, as plain columns of text and numbers; and back, losing nothing.

What was on offer is the same for many attempts: a row holds the digest of it, and the text is kept once.
"""

import hashlib
import json
import math
from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from functools import lru_cache
from typing import Any

from trainer.practice.attempt import Attempt
from trainer.practice.evidence import Evidence, evidence_from, plain_evidence, plain_told
from trainer.practice.values import Value, answer_from, plain_answer
from trainer.refusal import Refused

EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
TEXTS = (
    "learner", "block", "exercise", "rep_code", "show", "unit", "target", "setup", "quiz_item", "version",
)  # fmt: skip
NUMBERS = ("size", "score", "response_s")
MAPPINGS = ("right_answer", "given_answer", "marks", "evidence", "told")
"""The columns that hold JSON."""
ASKED, QUESTION = "asked", "question"
"""What was on offer, and the digest a row holds in its place."""
DIGEST_BYTES = 16
KNOWN_TEXTS = 5000
_PLAIN = (*TEXTS, *NUMBERS)
COLUMNS = ("uid", "at_us", *TEXTS, "seed", *NUMBERS, "right", "flips", *MAPPINGS, QUESTION)
"""The columns of the table of attempts."""


def to_row(attempt: Attempt) -> dict[str, Any]:
    """Return the attempt as columns, and what was on offer under ``asked``.

    Raises
    ------
    Refused
        If it holds what cannot be remembered: text that is not Unicode, a number that is not finite, a time
        without a zone, a ``uid`` that is no UUID.
    """
    row: dict[str, Any] = {"uid": _uid(attempt.uid), "at_us": microseconds(attempt.at)}
    row |= {name: checked_text(name, getattr(attempt, name)) for name in TEXTS}
    row |= {name: _number(name, getattr(attempt, name)) for name in NUMBERS}
    row |= {"seed": str(int(attempt.seed)), "right": bool(attempt.right), "flips": int(attempt.flips)}
    for name in ("right_answer", "given_answer"):
        row[name] = _json(name, plain_answer(getattr(attempt, name)))
    row["marks"] = _json("marks", {key: _number("a mark", mark) for key, mark in attempt.marks.items()})
    row["evidence"] = _json("evidence", plain_evidence(attempt.evidence))
    row["told"] = _json("told", plain_told(attempt.evidence))
    row[ASKED] = checked_text(ASKED, attempt.asked)
    return row | {QUESTION: digest_of(attempt.asked)}


def from_row(row: Mapping[str, Any]) -> Attempt:
    """Return the attempt that `to_row` made the columns of."""
    return Attempt(
        uid=row["uid"],
        at=time_of(row["at_us"]),
        seed=int(row["seed"]),
        right=bool(row["right"]),
        flips=row["flips"],
        right_answer=_answer_in(row["right_answer"]),
        given_answer=_answer_in(row["given_answer"]),
        marks=_marks_in(row["marks"]),
        evidence=evidence_in(row["evidence"], row["told"]),
        asked=row[ASKED],
        **{name: row[name] for name in _PLAIN},
    )


@lru_cache(maxsize=KNOWN_TEXTS)
def digest_of(asked: str) -> str:
    """Return the digest of what was on offer, as hex digits: the same text has the same one everywhere."""
    return hashlib.blake2b(asked.encode("utf-8", "surrogatepass"), digest_size=DIGEST_BYTES).hexdigest()


# The same few texts come again and again: each is read once, and what is read is never changed.


@lru_cache(maxsize=KNOWN_TEXTS)
def _answer_in(text: str) -> dict[str, Value]:
    return answer_from(json.loads(text))


@lru_cache(maxsize=KNOWN_TEXTS)
def _marks_in(text: str) -> dict[str, float]:
    return {str(key): float(mark) for key, mark in json.loads(text).items()}


@lru_cache(maxsize=KNOWN_TEXTS)
def evidence_in(text: str, told: str = "[]") -> tuple[Evidence, ...]:
    """Return the evidence a column holds, with what was said for what where that is of interest."""
    return evidence_from(json.loads(text), json.loads(told))


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


def _json(name: str, plain: object) -> str:
    try:
        text = json.dumps(plain, ensure_ascii=False, allow_nan=False)
    except ValueError as why:
        raise Refused(f"{name} holds a number that is not finite: {plain!r}") from why
    return checked_text(name, text)
