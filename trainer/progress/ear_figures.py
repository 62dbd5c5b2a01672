"""The figures of one learner's ear, read from the store in one go: T75 by band, now, in week 1, week by week."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby

import numpy as np

from trainer.practice.attempt import Attempt
from trainer.practice.band_scale import OCTAVE_SCALE
from trainer.progress.figures.holes import Hole, holes_of
from trainer.progress.figures.improvement import Improvement, TooEarly, improvement_of
from trainer.progress.figures.own_figures import OwnFigure, own_figures
from trainer.progress.figures.smallest_changes import SmallestChange, smallest_changes
from trainer.progress.replay import Heard, Replayed, every_day, replayed
from trainer.progress.store import Store
from trainer.progress.tallies import Tally, tallies_of
from trainer.progress.thresholds.belief import BANDS
from trainer.progress.thresholds.ear import (
    LAST_DAY_OF_WEEK_1,
    Ear,
    day_of_attempt,
    new_ear,
    on_day,
)
from trainer.progress.thresholds.findings import findings_in
from trainer.progress.thresholds.smoothing import smoothed_means
from trainer.progress.thresholds.together import Together

WEEK_DAYS = 7


@dataclass(frozen=True, slots=True)
class WeekTrend:
    """T75 of the ten bands in dB in the middle of a week (its fourth day, or today), as it looks now."""

    week: int
    t75_db: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class EarFigures:
    """What is known of a learner's ear.

    Attributes
    ----------
    bands
        The smallest change they name, octave band by octave band.
    trend
        The same week by week, revised by all answers since; empty before there are two weeks.
    improvement
        What changed since week 1, or what is missing before that can be told.
    holes
        Bands in which much larger changes are needed than in the others.
    own
        The kinds of question with a figure of their own: in another unit, or without sizes.
    """

    bands: tuple[SmallestChange, ...]
    trend: tuple[WeekTrend, ...]
    improvement: Improvement | TooEarly
    holes: tuple[Hole, ...] = ()
    own: tuple[OwnFigure, ...] = ()


def ear_figures_of(
    store: Store,
    learner: str,
    *,
    today: date,
    tallies: Sequence[Tally],
    heard: Heard = lambda _: None,
) -> EarFigures:
    """Return the figures of a learner's ear as it is today.

    Parameters
    ----------
    tallies
        The learner's, of all days.
    heard
        Told now and then how many attempts were replayed, where they have to be.
    """
    return figures_of(replayed(store, learner, today=today, heard=heard), tallies)


def ear_figures_of_attempts(attempts: Iterable[Attempt], *, today: date) -> EarFigures:
    """Return the figures that some attempts of one learner give by themselves, in their order in time."""
    together, days, chosen = Together([new_ear()]), [], list(attempts)
    for day, of_day in groupby(chosen, key=day_of_attempt):
        together.hear(day, {0: list(map(findings_in, of_day))})
        if day < today:
            days.append(together.ear(0))
    return figures_of(Replayed(on_day(together.ear(0), today), tuple(days)), tallies_of(chosen))


def figures_of(replay: Replayed, tallies: Sequence[Tally]) -> EarFigures:
    """Return the figures of a replayed log."""
    ear, answers = replay.now, _by_band(tallies)
    return EarFigures(
        bands=smallest_changes(ear.belief, answers, has_week_1=ear.has_week_1),
        trend=_trend(replay),
        improvement=_improvement(ear, tallies),
        holes=holes_of(ear.belief, answers),
        own=own_figures(ear.own),
    )


def _improvement(ear: Ear, tallies: Sequence[Tally]) -> Improvement | TooEarly:
    first = ear.first_day or date.min
    in_week_1 = [tally for tally in tallies if tally.day <= first + LAST_DAY_OF_WEEK_1]
    since = _by_band([tally for tally in tallies if tally.day > first + LAST_DAY_OF_WEEK_1])
    return improvement_of(
        ear.belief,
        days=(ear.day - first).days if ear.day else 0,
        in_week_1=math.fsum(tally.asked for tally in in_week_1),
        since=[since.get(band_hz, 0.0) for band_hz in OCTAVE_SCALE.names_hz],
    )


def _by_band(tallies: Iterable[Tally]) -> dict[float, float]:
    """Return how many answers there were in each band."""
    answers: dict[float, float] = {}
    for tally in tallies:
        answers[tally.band_hz] = answers.get(tally.band_hz, 0.0) + tally.asked
    return answers


def _trend(replay: Replayed) -> tuple[WeekTrend, ...]:
    days = every_day(replay)
    if len(days) <= WEEK_DAYS:
        return ()
    middles = range(WEEK_DAYS // 2, len(days), WEEK_DAYS)
    t75_db = np.exp(smoothed_means([ear.belief for ear in days])[middles, BANDS]).tolist()
    return tuple(WeekTrend(week, tuple(of_week)) for week, of_week in enumerate(t75_db, 1))
