"""What an attempt tells of an ear, in the few numbers the thresholds take in; read from an attempt or from its row."""

import math
from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import Any, NamedTuple

from trainer.dsp.octave_bands import NOMINAL_HZ
from trainer.practice.attempt import Attempt
from trainer.progress.rows import MAPPINGS, NUMBERS, TEXTS, from_row
from trainer.progress.thresholds.ear import WAYS, is_named, kind_of, options_of

COLUMNS = (
    "learner", "at_us", "exercise", "target", "setup", "quiz_item", "size", "bands", "right_answer", "options", "marks",
)  # fmt: skip
"""The columns of an attempt that an ear hangs on."""
KNOWN_TEXTS = 50_000


class Asked(NamedTuple):
    """A question: its exercise and kind, its direction, how many answers were on offer; not what it counts for."""

    exercise: str
    kind: str
    direction: int
    options: tuple[int, ...]


class Answered(NamedTuple):
    """An answer to a question.

    Attributes
    ----------
    shares
        Of the ten octave bands; empty where it is about nothing.
    setup
        What it was heard on.
    log_size
        The natural logarithm of the size; None where the answer tells nothing.
    named
        Whether the change was named.
    """

    asked: Asked
    shares: tuple[float, ...]
    setup: str
    log_size: float | None
    named: bool


def answered_in(attempt: Attempt) -> Answered:
    """Return what an attempt tells."""
    shares = _shares_of(attempt.bands)
    return _answered(_asked_in(attempt), shares, attempt.setup, attempt.size, is_named(attempt))


def answered_in_row(row: Sequence[Any]) -> Answered:
    """Return what an attempt tells, from its `COLUMNS`."""
    _, _, exercise, target, setup, quiz_item, size, bands, right_answer, options, marks = row
    asked, named = _read(exercise, target, bool(quiz_item), right_answer, options, marks)
    return _answered(asked, _shares_in(bands), setup, size, named)


def _answered(asked: Asked, shares: tuple[float, ...], setup: str, size: float, named: bool) -> Answered:
    return Answered(asked, shares, setup, math.log(size) if size > 0.0 and shares else None, named)


def _asked_in(attempt: Attempt) -> Asked:
    direction = WAYS.get(str(attempt.right_answer.get("direction")), 0)
    return Asked(attempt.exercise, kind_of(attempt), direction, options_of(attempt))


def _shares_of(bands: Mapping[float, float]) -> tuple[float, ...]:
    known = [bands.get(band_hz, 0.0) for band_hz in NOMINAL_HZ]
    whole = math.fsum(known)
    return tuple(share / whole for share in known) if any(known) else ()


_BLANK = (
    {"uid": "", "at_us": 0, "seed": "0", "right": False, "flips": 0}
    | dict.fromkeys(TEXTS, "")
    | dict.fromkeys(NUMBERS, 0.0)
    | dict.fromkeys(MAPPINGS, "{}")
)


# The same texts come again and again; what an answer counts for least of all, so that is read apart.


@lru_cache(maxsize=KNOWN_TEXTS)
def _shares_in(bands: str) -> tuple[float, ...]:
    return _shares_of(from_row(_BLANK | {"bands": bands}).bands)


@lru_cache(maxsize=KNOWN_TEXTS)
def _read(
    exercise: str, target: str, in_quiz: bool, right_answer: str, options: str, marks: str
) -> tuple[Asked, bool]:
    """Return what was asked, and whether it was named."""
    texts = {"right_answer": right_answer, "options": options, "marks": marks}
    asked = {"exercise": exercise, "target": target, "quiz_item": "quiz" if in_quiz else ""}
    attempt = from_row(_BLANK | asked | texts)
    return _asked_in(attempt), is_named(attempt)
