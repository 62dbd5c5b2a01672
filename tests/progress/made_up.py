"""Attempts made up for the tests of this room."""

import uuid
from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Any

import numpy as np

from trainer.practice.attempt import Attempt
from trainer.practice.evidence import evidence_from
from trainer.progress.from_0_1_0 import asked_text, plain_evidence_of, told_of

START = datetime(2031, 2, 3, 18, 0, tzinfo=UTC)
BANDS = (31.5, 63.0, 125.0, 250.0, 500.0, 1000.0, 2000.0, 4000.0, 8000.0, 16000.0)


def uid_of(number: int) -> str:
    return uuid.UUID(int=number).hex


def attempt(number: int = 1, **changed: Any) -> Attempt:
    """Return attempt ``number``: a boost at 1 kHz heard right, but for what is ``changed``.

    Where no evidence is given it is what the fields say, as version 0.1.0 had it; ``bands`` and ``options`` are for
    that.
    """
    fields: dict[str, Any] = {
        "uid": uid_of(number),
        "at": START,
        "learner": "Heron",
        "block": uid_of(7),
        "exercise": "octave-tone",
        "rep_code": "octave-tone.1",
        "show": "tide-tables",
        "seed": number,
        "size": 6.5,
        "unit": "dB",
        "target": "mix",
        "bands": {1000.0: 1.0},
        "right_answer": {"band": 1000.0, "direction": "boost"},
        "given_answer": {"band": 1000.0, "direction": "boost"},
        "options": {"band": BANDS, "direction": ("boost", "cut")},
        "marks": {"band": 1.0, "direction": 1.0},
        "score": 1.0,
        "right": True,
        "response_s": 7.25,
        "flips": 3,
        "setup": "headphones",
        "quiz_item": "",
        "version": "0.1.0",
    }
    fields |= changed
    bands, options = fields.pop("bands"), fields.pop("options")
    if "evidence" not in changed:
        told = plain_evidence_of(fields | {"bands": bands, "options": options})
        fields["evidence"] = evidence_from(told, [told_of(fields | {"options": options})] if told else [])
    if "asked" not in changed:
        fields["asked"] = asked_text(options)
    return Attempt(**fields)


def answered(
    number: int,
    *,
    band_hz: float,
    said_hz: float | None,
    direction: str = "boost",
    said: str | None = None,
    **changed: Any,
) -> Attempt:
    """Return an attempt at naming band and direction; ``said_hz`` None is giving up."""
    true = {"band": band_hz, "direction": direction}
    given: Mapping[str, Any] = {} if said_hz is None else {"band": said_hz, "direction": said or direction}
    right = given == true
    whole = {
        "bands": {band_hz: 1.0},
        "right_answer": true,
        "given_answer": given,
        "marks": {key: float(given.get(key) == value) for key, value in true.items()},
        "right": right,
        "score": float(right),
    }
    return attempt(number, **(whole | changed))


def rng(seed: int) -> np.random.Generator:
    return np.random.default_rng(seed)
