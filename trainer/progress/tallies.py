"""Tallies: how much was asked and right, by day, exercise and octave band; what accuracy needs to know."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date

from trainer.practice.attempt import Attempt


@dataclass(frozen=True, slots=True)
class Tally:
    """The weights of a learner's attempts in one octave band, in one exercise, on one day (UTC)."""

    day: date
    exercise: str
    band_hz: float
    asked: float
    right: float


def tallies_of(attempts: Iterable[Attempt]) -> tuple[Tally, ...]:
    """Return the tallies of one learner's attempts, by day, exercise and band."""
    sums: dict[tuple[date, str, float], list[float]] = {}
    for attempt in attempts:
        day = attempt.at.astimezone(UTC).date()
        for band_hz, weight in attempt.bands.items():
            asked_right = sums.setdefault((day, attempt.exercise, band_hz), [0.0, 0.0])
            asked_right[0] += weight
            asked_right[1] += weight if attempt.right else 0.0
    return tuple(Tally(*key, *sums[key]) for key in sorted(sums))
