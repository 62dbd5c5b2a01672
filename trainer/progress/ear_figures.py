"""The figures of one learner's ear, read from the store in one go: T75 by band, now, in week 1, week by week."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from trainer.progress.figures.smallest_changes import SmallestChange, smallest_changes
from trainer.progress.replay import Heard, Replayed, every_day, replayed
from trainer.progress.store import Store
from trainer.progress.tallies import Tally
from trainer.progress.thresholds.belief import t75_of
from trainer.progress.thresholds.ear import Starts
from trainer.progress.thresholds.smoothing import smoothed

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
    """

    bands: tuple[SmallestChange, ...]
    trend: tuple[WeekTrend, ...]


def ear_figures_of(
    store: Store,
    learner: str,
    *,
    starts: Starts,
    today: date,
    tallies: Sequence[Tally],
    heard: Heard = lambda _: None,
) -> EarFigures:
    """Return the figures of a learner's ear as it is today.

    Parameters
    ----------
    starts
        The size each exercise's ladder starts at.
    tallies
        The learner's, of all days.
    heard
        Told now and then how many attempts were replayed, where they have to be.
    """
    return figures_of(replayed(store, learner, starts=starts, today=today, heard=heard), tallies)


def figures_of(replay: Replayed, tallies: Sequence[Tally]) -> EarFigures:
    """Return the figures of a replayed log."""
    answers: dict[float, float] = {}
    for tally in tallies:
        answers[tally.band_hz] = answers.get(tally.band_hz, 0.0) + tally.asked
    ear = replay.now
    return EarFigures(
        bands=smallest_changes(ear.belief, answers, has_week_1=ear.has_week_1),
        trend=_trend(replay),
    )


def _trend(replay: Replayed) -> tuple[WeekTrend, ...]:
    days = every_day(replay)
    if len(days) <= WEEK_DAYS:
        return ()
    beliefs = smoothed([ear.belief for ear in days])
    middles = range(WEEK_DAYS // 2, len(days), WEEK_DAYS)
    return tuple(
        WeekTrend(place // WEEK_DAYS + 1, tuple(map(float, t75_of(beliefs[place])[0]))) for place in middles
    )
