"""Where a learner stands: the figures the pages show, read from the store in one go."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from trainer.progress.due import rep_s_of
from trainer.progress.ear_figures import EarFigures, ear_figures_of, ear_figures_of_attempts
from trainer.progress.ear_words import named_words
from trainer.progress.figures import (
    BandFigure,
    Confusions,
    Tally,
    band_confusions,
    band_figures_of,
)
from trainer.progress.figures.smallest_changes import SmallestChange
from trainer.progress.recent import recent_of
from trainer.progress.remarks import remarks_on
from trainer.progress.store import Store
from trainer.progress.tallies import tallies_of
from trainer.season.untold import told_attempts, untold_blocks


@dataclass(frozen=True, slots=True)
class Standing:
    """A learner's figures.

    Attributes
    ----------
    ear
        The smallest change they name, by octave band: now, in week 1, week by week.
    counts
        By octave band: how much was answered, and how much of it right; what the ear's figures rest on.
    days
        The days with answers (UTC).
    answers
        How many answers there are, and how many of them in the last two weeks.
    confusions, remarks
        Of recent answers (`trainer.progress.recent`): what was said for which band, and what stands out, in words.
    rep_s
        How long a rep takes this learner, all in all.
    """

    ear: EarFigures
    counts: tuple[BandFigure, ...]
    first_day: date | None
    days: frozenset[date]
    answers: float
    recent_answers: float
    confusions: Confusions
    remarks: tuple[str, ...]
    rep_s: float

    def band(self, band_hz: float) -> tuple[SmallestChange, BandFigure]:
        """Return an octave band's figure, and what it rests on."""
        both = zip(self.ear.bands, self.counts, strict=True)
        return next((change, count) for change, count in both if change.band_hz == band_hz)


def standing_of(store: Store, learner: str, *, now: datetime) -> Standing:
    """Return where a learner stands now; ``starts`` says where each exercise's ladder starts.

    Answers of a quiz that was left in the middle count as answers, and tell nothing else before its end.
    """
    tallies = store.sums.tallies(learner=learner)
    attempts = recent_of(store, learner, now=now)
    first_day = min((tally.day for tally in tallies), default=None)
    two_weeks_ago = now.date() - timedelta(days=13)
    untold = untold_blocks(store, learner)
    told = [attempt for attempt in attempts if attempt.block not in untold]
    if untold:
        everything = told_attempts(store, learner, untold)
        ear = ear_figures_of_attempts(everything, today=now.date())
        counts = band_figures_of(tallies_of(everything))
    else:
        ear = ear_figures_of(store, learner, today=now.date(), tallies=tallies)
        counts = band_figures_of(tallies)
    return Standing(
        ear=ear,
        counts=counts,
        first_day=first_day,
        days=frozenset(tally.day for tally in tallies),
        answers=_asked(tallies),
        recent_answers=_asked([tally for tally in tallies if tally.day >= two_weeks_ago]),
        confusions=band_confusions(told),
        remarks=tuple(remarks_on(told, ear.holes, ear.own)),
        rep_s=rep_s_of(attempts),
    )


def figure_words(change: SmallestChange, count: BandFigure) -> tuple[str, str]:
    """Return a band's figure in words: what is named there, and what that rests on."""
    return named_words(change), f"from {count.asked:.0f} answers, {count.right:.0f} of them right"


def _asked(tallies: Sequence[Tally]) -> float:
    return sum(tally.asked for tally in tallies)
