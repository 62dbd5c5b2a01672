"""Figures of kinds on their own: the smallest size named in its own unit, or how often a fault was named."""

from dataclasses import dataclass

from trainer.practice.evidence import IN_QUIZ
from trainer.progress.figures.intervals import Estimate, Interval
from trainer.progress.thresholds.own import OwnFigures

FEWEST_ANSWERS = 10
"""Below so many answers a figure of its own says more of people in general than of the learner."""


@dataclass(frozen=True, slots=True)
class OwnFigure:
    """What is known of one kind of question with a figure of its own.

    Attributes
    ----------
    kind
        The exercise, what it was asked on, a family where it has some; quizzes apart.
    answers, missing
        How many there were, and how many are still to come before it is told.
    unit
        Of the sizes; empty where there are none.
    t75, interval
        The size that is named three times in four, and its interval, in the unit; None where there are no sizes.
    rate
        How often a fault without a size was named; None where there are sizes.
    """

    kind: str
    answers: int
    missing: int
    unit: str
    t75: float | None
    interval: Interval | None
    rate: Estimate | None


def own_figures(own: OwnFigures) -> tuple[OwnFigure, ...]:
    """Return the figures of all kinds on their own, by kind."""
    found = []
    for kind, threshold in own.thresholds.items():
        t75, interval = threshold.interval()
        missing = max(0, FEWEST_ANSWERS - threshold.answers)
        found.append(OwnFigure(kind, threshold.answers, missing, threshold.unit, t75, interval, None))
    for kind, rate in own.rates.items():
        missing = max(0, FEWEST_ANSWERS - rate.asked)
        found.append(OwnFigure(kind, rate.asked, missing, "", None, None, rate.estimate))
    return tuple(sorted(found, key=lambda figure: figure.kind))


def kind_words(kind: str) -> str:
    """Return a kind of question in words: ``Delay on a section``, ``Polarity on a stem, in quizzes``."""
    exercise, scope, *_ = kind.removesuffix(IN_QUIZ).split("/")
    where = "the mix" if scope == "mix" else f"a {scope}"
    words = f"{exercise.replace('-', ' ').capitalize()} on {where}"
    return f"{words}, in quizzes" if kind.endswith(IN_QUIZ) else words
