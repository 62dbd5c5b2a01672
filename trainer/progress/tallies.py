"""Tallies: how much was asked and named, by day, exercise and octave band; what accuracy needs to know."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date

from trainer.practice.attempt import Attempt


@dataclass(frozen=True, slots=True)
class Tally:
    """The weights in one octave band of what a learner's attempts say, in one exercise, on one day (UTC).

    ``right`` is the weight of what was named: by how much something was changed is left out.
    """

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
        for evidence in attempt.evidence:
            for band_hz, weight in evidence.bands.items():
                asked_right = sums.setdefault((day, attempt.exercise, band_hz), [0.0, 0.0])
                asked_right[0] += weight
                asked_right[1] += weight if evidence.named else 0.0
    return tuple(Tally(*key, *sums[key]) for key in sorted(sums))
