"""Evidence: what one answer says about an ear, as the exercise sees it; all that figures of a learner are made from.

A size in decibels that belongs to octave bands moves their lanes' thresholds. A size in another unit (ms, %), or of
no band, has a threshold of its own kind. A fault that is there or not has no size: its figure is a rate.
"""

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from itertools import zip_longest
from types import MappingProxyType
from typing import Any

from trainer.practice.band_scale import OCTAVE_SCALE
from trainer.practice.values import Simple

LANE_UNIT = "dB"
"""The unit of what octave bands have thresholds in."""
BAND, DIRECTION = "band", "direction"
"""What an answer may tell of: an octave band (nominal hertz), and which way (``boost``, ``cut``, ``up``, ``down``)."""
WAYS: Mapping[Simple, int] = MappingProxyType({"boost": 1, "up": 1, "cut": -1, "down": -1})
IN_QUIZ = "/quiz"
"""What the kinds of a quiz end in: they are kept apart from those of drills."""


@dataclass(frozen=True, slots=True)
class Told:
    """What was true of something, and what was said; ``said`` is None where nothing was.

    ``offered`` is what could be said; empty where it was all there is.
    """

    true: Simple
    said: Simple | None
    offered: tuple[Simple, ...] = ()


@dataclass(frozen=True, slots=True)
class Evidence:
    """What an answer says about an ear.

    Attributes
    ----------
    kind
        The exercise, what it was asked on, and a family where it has some, as ``level/stem``.
    size, unit
        How big the change was, above 0; None where it is there or not.
    bands
        Octave band (nominal hertz) to weight, summing to 1; only of sizes in dB. Empty: it belongs to none.
    named
        Whether the exercise's subject was named (by how much is left out).
    among
        How many answers there were to guess among, part by part, the hardest to hear first.
    direction
        +1 for more of something, -1 for less, 0 where there is no way to go.
    told
        What was said for what: of the octave band, of the direction.
    start
        The size its ladder started at, where everybody is expected to be as good at it; None: as at the reference.

    Raises
    ------
    ValueError
        If it cannot be: a size of 0 or below, bands of a size that is none in dB, weights that do not sum to 1.
    """

    kind: str
    size: float | None
    unit: str
    bands: Mapping[float, float] = field(hash=False)
    named: bool
    among: tuple[float, ...]
    direction: int = 0
    told: Mapping[str, Told] = field(default_factory=dict, hash=False)
    start: float | None = None

    def __post_init__(self) -> None:
        for is_well, needed in (
            (bool(self.kind.strip("/")), "a kind"),
            (self.size is None or (math.isfinite(self.size) and self.size > 0.0), "a size above 0, or none"),
            (not self.bands or self.is_of_lanes, f"a size in {LANE_UNIT} where it belongs to octave bands"),
            (all(hz in OCTAVE_SCALE for hz in self.bands), "bands that are octave bands"),
            (
                not self.bands or _is_shared(self.bands.values()),
                "weights of bands that sum to 1, none below 0",
            ),
            (bool(self.among) and min(self.among) >= 1.0, "at least one answer to guess among in each part"),
            (self.direction in (-1, 0, 1), "a direction of +1, -1 or 0"),
            (self.start is None or self.start > 0.0, "a start above 0, or none"),
        ):
            if not is_well:
                raise ValueError(f"evidence needs {needed}: {self}")

    @property
    def is_of_lanes(self) -> bool:
        """Whether it moves the thresholds of octave bands."""
        return bool(self.bands) and self.size is not None and self.unit == LANE_UNIT

    @property
    def chance(self) -> float:
        """The chance to name it by guessing among what was on offer."""
        return 1.0 / math.prod(self.among)


def _is_shared(weights: Iterable[float]) -> bool:
    """Return whether weights sum to 1, none of them below 0."""
    there = tuple(weights)
    return min(there) >= 0.0 and math.isclose(sum(there), 1.0, abs_tol=1e-6)


def in_quiz(evidence: Iterable[Evidence]) -> tuple[Evidence, ...]:
    """Return evidence as that of a quiz: its kinds are kept apart."""
    return tuple(replace(one, kind=one.kind + IN_QUIZ) for one in evidence)


def bands_of(evidence: Iterable[Evidence]) -> dict[float, float]:
    """Return the octave bands (nominal hertz) that evidence belongs to, the strongest first; weights sum to 1."""
    sums: dict[float, float] = {}
    for one in evidence:
        for band_hz, weight in one.bands.items():
            sums[band_hz] = sums.get(band_hz, 0.0) + weight
    whole = sum(sums.values())
    return {band_hz: sums[band_hz] / whole for band_hz in sorted(sums, key=lambda hz: -sums[hz])}


def is_named(evidence: Iterable[Evidence]) -> bool:
    """Return whether everything that evidence is about was named; not where there is none."""
    there = tuple(evidence)
    return bool(there) and all(one.named for one in there)


def plain_evidence(evidence: Iterable[Evidence]) -> list[dict[str, Any]]:
    """Return evidence as JSON holds it, but for what was said for what: see `plain_told`."""
    return [
        {
            "kind": one.kind,
            "size": one.size,
            "unit": one.unit,
            "bands": [[band_hz, weight] for band_hz, weight in one.bands.items()],
            "named": one.named,
            "among": list(one.among),
            "direction": one.direction,
            "start": one.start,
        }
        for one in evidence
    ]


def plain_told(evidence: Iterable[Evidence]) -> list[dict[str, list[Any]]]:
    """Return what was said for what as JSON holds it, a table for each piece of evidence."""
    return [
        {key: [told.true, told.said, list(told.offered)] for key, told in one.told.items()}
        for one in evidence
    ]


def told_from(plain: Iterable[Mapping[str, Any]]) -> list[dict[str, Told]]:
    """Return what `plain_told` made the tables of; `ValueError` if they are those of nothing."""
    try:
        return [
            {str(key): Told(true, said, tuple(offered)) for key, (true, said, offered) in one.items()}
            for one in plain
        ]
    except (TypeError, AttributeError) as why:
        raise ValueError(f"{plain!r} is nothing that was told: {why!r}") from why


def evidence_from(
    plain: Iterable[Mapping[str, Any]], told: Iterable[Mapping[str, Any]] = ()
) -> tuple[Evidence, ...]:
    """Return the evidence that `plain_evidence` and `plain_told` made.

    Raises
    ------
    ValueError
        If it is the plain form of none.
    """
    try:
        both: Iterator[tuple[Mapping[str, Any], Mapping[str, Told]]]
        both = zip_longest(plain, told_from(told), fillvalue={})
        return tuple(_one_from(one, of_it) for one, of_it in both)
    except (KeyError, TypeError, AttributeError) as why:
        raise ValueError(f"{plain!r} is no evidence: {why!r}") from why


def _one_from(plain: Mapping[str, Any], told: Mapping[str, Told]) -> Evidence:
    size = plain["size"]
    return Evidence(
        kind=str(plain["kind"]),
        size=None if size is None else float(size),
        unit=str(plain["unit"]),
        bands={float(band_hz): float(weight) for band_hz, weight in plain["bands"]},
        named=bool(plain["named"]),
        among=tuple(map(float, plain["among"])),
        direction=int(plain["direction"]),
        start=None if plain["start"] is None else float(plain["start"]),
        told=told,
    )
