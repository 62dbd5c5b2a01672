"""Somebody's octave bands in short: what is believed of the ear, T75 band by band, and what that rests on."""

from dataclasses import dataclass
from datetime import date

from trainer.progress.figures.smallest_changes import SmallestChange, smallest_changes
from trainer.progress.replay import ear_of
from trainer.progress.store import Store
from trainer.progress.thresholds.belief import Belief
from trainer.progress.thresholds.ear import Starts


@dataclass(frozen=True, slots=True, eq=False)
class Bands:
    """A learner's belief, the smallest changes they name, how much they answered, and when last."""

    belief: Belief
    changes: tuple[SmallestChange, ...]
    answers: int
    last_day: date | None


def bands_of(store: Store, learner: str, *, starts: Starts, today: date) -> Bands:
    """Return a learner's octave bands as they are today."""
    answers: dict[float, float] = {}
    tallies = store.tallies(learner=learner)
    for tally in tallies:
        answers[tally.band_hz] = answers.get(tally.band_hz, 0.0) + tally.asked
    belief = ear_of(store, learner, starts=starts, today=today).belief
    last_day = max((tally.day for tally in tallies), default=None)
    return Bands(belief, smallest_changes(belief, answers), round(sum(answers.values())), last_day)
