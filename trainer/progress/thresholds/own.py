"""Kinds of question with a figure of their own: sizes in another unit than decibels of a band, faults without a size.

A size in ms or % has a threshold of its own, in its own unit: a normal distribution over ln T75 that wanders by the day
and is narrowed by each answer, by the same quadrature as the octave bands'. A fault that is there or not has none: how
often it was named is counted.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from trainer.progress.figures.intervals import CONFIDENCE, Estimate, Interval, normal_deviate, wilson
from trainer.progress.thresholds.belief import (
    APART_SD,
    DAILY,
    EQUIPMENT_SD,
    FIRST,
    FIRST_T75_DB,
    KIND_SD,
    Belief,
    taken,
)
from trainer.progress.thresholds.hearing import Options

REFERENCE_START_DB = 9.0
"""Where the ladder of octave tone starts: another kind is expected to be as hard at its own ladder's start."""
FIRST_VARIANCE = float(FIRST[0, 0]) + APART_SD**2 + KIND_SD**2
DAILY_VARIANCE = float(DAILY[0, 0])
_QUESTION = np.ones(1)


@dataclass(frozen=True, slots=True)
class OwnThreshold:
    """What is believed of one kind's threshold on a day: ``mean`` and ``variance`` of ln T75 in its ``unit``."""

    unit: str
    day: date
    mean: float
    variance: float
    answers: int = 0

    @property
    def belief(self) -> Belief:
        """The same as a belief of one dimension."""
        return Belief(np.array([self.mean]), np.array([[self.variance]]))

    def interval(self, *, confidence: float = CONFIDENCE) -> tuple[float, Interval]:
        """Return the median of T75 and its interval, in the unit."""
        half = normal_deviate(confidence) * self.variance**0.5
        low, middle, high = (float(np.exp(self.mean + way * half)) for way in (-1.0, 0.0, 1.0))
        return middle, Interval(low, high)


@dataclass(frozen=True, slots=True)
class NamedRate:
    """How often a fault without a size was asked about, and named."""

    asked: int = 0
    named: int = 0

    @property
    def estimate(self) -> Estimate | None:
        """The share that was named, with Wilson's interval; None where it was never asked."""
        if not self.asked:
            return None
        return Estimate(self.named / self.asked, wilson(self.named, self.asked), self.asked)


@dataclass(frozen=True, slots=True)
class OwnFigures:
    """The kinds with a figure of their own, by kind: thresholds, and rates."""

    thresholds: Mapping[str, OwnThreshold]
    rates: Mapping[str, NamedRate]


NO_OWN = OwnFigures({}, {})


def first_threshold(unit: str, *, start: float, day: date) -> OwnThreshold:
    """Return what is believed of a kind that was never asked: as hard at its start as octave tone is at its own."""
    return OwnThreshold(unit, day, float(np.log(FIRST_T75_DB * start / REFERENCE_START_DB)), FIRST_VARIANCE)


def on_day(own: OwnThreshold, day: date) -> OwnThreshold:
    """Return a threshold moved on to a day; an earlier day changes nothing."""
    days = (day - own.day).days
    return own if days <= 0 else replace(own, day=day, variance=own.variance + days * DAILY_VARIANCE)


def figures_on_day(figures: OwnFigures, day: date) -> OwnFigures:
    """Return all figures moved on to a day."""
    if not figures.thresholds:
        return figures
    return replace(figures, thresholds={kind: on_day(own, day) for kind, own in figures.thresholds.items()})


def on_other_equipment(figures: OwnFigures) -> OwnFigures:
    """Return the figures after the learner changed what they listen on: every threshold may have moved."""
    wider = {
        kind: replace(own, variance=own.variance + EQUIPMENT_SD**2)
        for kind, own in figures.thresholds.items()
    }
    return replace(figures, thresholds=wider)


def with_answer(
    figures: OwnFigures, kind: str, first: OwnThreshold, *, log_size: float, named: bool, among: Options
) -> tuple[OwnFigures, float]:
    """Return the figures after an answer of a size on a day, and the chance there was to be right.

    Parameters
    ----------
    first
        What is believed of the kind on that day where it was never asked.
    log_size
        The natural logarithm of the size in the unit.
    """
    own = on_day(figures.thresholds.get(kind, first), first.day)
    found, chance = taken(own.belief, question=_QUESTION, log_size=log_size, right=named, options=among)
    after = replace(
        own,
        mean=float(found.mean[0]),
        variance=float(found.covariance[0, 0]),
        answers=own.answers + 1,
    )
    return replace(figures, thresholds={**figures.thresholds, kind: after}), float(chance)


def with_naming(figures: OwnFigures, kind: str, *, named: bool) -> OwnFigures:
    """Return the figures after an answer about a fault without a size."""
    rate = figures.rates.get(kind, NamedRate())
    counted = NamedRate(rate.asked + 1, rate.named + named)
    return replace(figures, rates={**figures.rates, kind: counted})
