"""Where a learner stands: the figures the pages show, read from the store in one go."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from trainer.practice.fields import band_label
from trainer.progress.figures import (
    BandFigure,
    Confusions,
    Tally,
    TooFew,
    WeekFigures,
    accuracy_by_week_of,
    band_confusions,
    band_figures_of,
    response_times,
)
from trainer.progress.remarks import remarks_on
from trainer.progress.store import Store

LOOKED_BACK = timedelta(days=60)
"""How far back the answers go that confusions, remarks and times are read from."""
BESIDE_ANSWERING_S = 14.0
"""What a rep takes beside answering it: its reveal, and a moment (common practice, no source)."""
ANSWERING_S = 20.0
"""What answering takes as long as too few answers say otherwise."""


@dataclass(frozen=True, slots=True)
class Standing:
    """A learner's figures.

    Attributes
    ----------
    bands, weeks
        By octave band: over all weeks, and week by week since ``first_day``.
    days
        The days with answers (UTC).
    answers
        How many answers there are, and how many of them in the last two weeks.
    confusions, remarks
        Of the last sixty days: what was said for which band, and what stands out, in words.
    rep_s
        How long a rep takes this learner, all in all.
    """

    bands: tuple[BandFigure, ...]
    weeks: tuple[WeekFigures, ...]
    first_day: date | None
    days: frozenset[date]
    answers: float
    recent_answers: float
    confusions: Confusions
    remarks: tuple[str, ...]
    rep_s: float

    def band(self, band_hz: float) -> BandFigure:
        """Return the figure of an octave band."""
        return next(figure for figure in self.bands if figure.band_hz == band_hz)


def standing_of(store: Store, learner: str, *, now: datetime) -> Standing:
    """Return where a learner stands now."""
    tallies = store.tallies(learner=learner)
    attempts = list(store.attempts(learner=learner, since=now - LOOKED_BACK))
    first_day = min((tally.day for tally in tallies), default=None)
    times = response_times(attempts)
    answering_s = ANSWERING_S if isinstance(times, TooFew) else times.median_s
    two_weeks_ago = now.date() - timedelta(days=13)
    return Standing(
        bands=band_figures_of(tallies),
        weeks=accuracy_by_week_of(tallies, start=first_day) if first_day else (),
        first_day=first_day,
        days=frozenset(tally.day for tally in tallies),
        answers=_asked(tallies),
        recent_answers=_asked([tally for tally in tallies if tally.day >= two_weeks_ago]),
        confusions=band_confusions(attempts),
        remarks=tuple(remarks_on(attempts)),
        rep_s=answering_s + BESIDE_ANSWERING_S,
    )


def figure_words(figure: BandFigure) -> tuple[str, str]:
    """Return a band's figure in words: the share named right, and what it rests on."""
    basis = f"{figure.right:.0f} of {figure.asked:.0f} answers"
    if figure.accuracy is None or figure.interval is None:
        return f"too few answers at {band_label(figure.band_hz)} to tell", f"{figure.missing} more to go"
    low, high = figure.interval.low, figure.interval.high
    return f"named right: {percent(figure.accuracy)} (about {100 * low:.0f} to {percent(high)})", basis


def percent(share: float) -> str:
    """Return a share in per cent."""
    return f"{100 * share:.0f} %"


def _asked(tallies: Sequence[Tally]) -> float:
    return sum(tally.asked for tally in tallies)
