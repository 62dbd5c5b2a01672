"""What an attempt says of an ear, in the few numbers the thresholds take in; read from an attempt or from its row."""

import math
from collections.abc import Sequence
from functools import lru_cache
from typing import Any, NamedTuple

from trainer.practice.attempt import Attempt
from trainer.practice.band_scale import OCTAVE_SCALE
from trainer.practice.evidence import Evidence
from trainer.progress.rows import evidence_in

COLUMNS = ("learner", "at_us", "exercise", "setup", "evidence")
"""The columns of an attempt that an ear hangs on."""
KNOWN_TEXTS = 50_000


class Finding(NamedTuple):
    """One thing an answer says.

    Attributes
    ----------
    shares
        Of the ten octave bands; empty where it belongs to none.
    log_size
        The natural logarithm of the size; None where it has none.
    among
        How many answers there were to guess among, part by part.
    start
        The size its ladder starts at, where it says so.
    """

    kind: str
    unit: str
    direction: int
    among: tuple[float, ...]
    shares: tuple[float, ...]
    log_size: float | None
    start: float | None
    named: bool


class AttemptFindings(NamedTuple):
    """An attempt: its exercise, what it was heard on, and what it says of the ear (nothing, or one thing and more)."""

    exercise: str
    setup: str
    findings: tuple[Finding, ...]


def findings_in(attempt: Attempt) -> AttemptFindings:
    """Return what an attempt says."""
    return AttemptFindings(attempt.exercise, attempt.setup, tuple(map(_finding, attempt.evidence)))


def findings_in_row(row: Sequence[Any]) -> AttemptFindings:
    """Return what an attempt says, from its `COLUMNS`."""
    _, _, exercise, setup, evidence = row
    return AttemptFindings(exercise, setup, _findings_in(evidence))


@lru_cache(maxsize=KNOWN_TEXTS)
def _findings_in(evidence: str) -> tuple[Finding, ...]:
    return tuple(map(_finding, evidence_in(evidence)))


def _finding(one: Evidence) -> Finding:
    return Finding(
        kind=one.kind,
        unit=one.unit,
        direction=one.direction,
        among=one.among,
        shares=_shares_of(one) if one.is_of_lanes else (),
        log_size=None if one.size is None else math.log(one.size),
        start=one.start,
        named=one.named,
    )


def _shares_of(one: Evidence) -> tuple[float, ...]:
    weights = [one.bands.get(band_hz, 0.0) for band_hz in OCTAVE_SCALE.names_hz]
    whole = math.fsum(weights)
    return tuple(weight / whole for weight in weights)
