"""What an attempt tells of an ear, in the few numbers the thresholds take in; read from an attempt or from its row."""

import math
from collections.abc import Sequence
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
    """A question: its exercise and kind, the shares of the ten bands (none: it is about nothing), its direction."""

    exercise: str
    kind: str
    shares: tuple[float, ...]
    direction: int
    options: tuple[int, ...]


class Answered(NamedTuple):
    """An answer: the question, what it was heard on, ln of its size (None: it tells nothing), whether it was named."""

    asked: Asked
    setup: str
    log_size: float | None
    named: bool


def answered_in(attempt: Attempt) -> Answered:
    """Return what an attempt tells."""
    return _answered(_asked_in(attempt), attempt.setup, attempt.size, is_named(attempt))


def answered_in_row(row: Sequence[Any]) -> Answered:
    """Return what an attempt tells, from its `COLUMNS`."""
    _, _, exercise, target, setup, quiz_item, size, *texts = row
    asked, named = _read(exercise, target, bool(quiz_item), *texts)
    return _answered(asked, setup, size, named)


def _answered(asked: Asked, setup: str, size: float, named: bool) -> Answered:
    return Answered(asked, setup, math.log(size) if size > 0.0 and asked.shares else None, named)


def _asked_in(attempt: Attempt) -> Asked:
    known = [attempt.bands.get(band_hz, 0.0) for band_hz in NOMINAL_HZ]
    whole = math.fsum(known)
    shares = tuple(share / whole for share in known) if any(known) else ()
    direction = WAYS.get(str(attempt.right_answer.get("direction")), 0)
    return Asked(attempt.exercise, kind_of(attempt), shares, direction, options_of(attempt))


_BLANK = (
    {"uid": "", "at_us": 0, "seed": "0", "right": False, "flips": 0}
    | dict.fromkeys(TEXTS, "")
    | dict.fromkeys(NUMBERS, 0.0)
    | dict.fromkeys(MAPPINGS, "{}")
)


@lru_cache(maxsize=KNOWN_TEXTS)
def _read(
    exercise: str, target: str, in_quiz: bool, bands: str, right_answer: str, options: str, marks: str
) -> tuple[Asked, bool]:
    """Return what was asked and whether it was named; the same few texts come again and again."""
    texts = {"bands": bands, "right_answer": right_answer, "options": options, "marks": marks}
    asked = {"exercise": exercise, "target": target, "quiz_item": "quiz" if in_quiz else ""}
    attempt = from_row(_BLANK | asked | texts)
    return _asked_in(attempt), is_named(attempt)
