"""Somebody's octave bands in short: what is believed of the ear, T75 band by band, and what that rests on."""

import math
from dataclasses import dataclass
from datetime import date

from trainer.progress.figures.smallest_changes import SmallestChange, smallest_changes
from trainer.progress.replay import ear_of, replay
from trainer.progress.store import Store
from trainer.progress.tallies import tallies_of
from trainer.progress.thresholds.belief import Belief
from trainer.progress.thresholds.ear import Starts, on_day
from trainer.window.told import told_attempts, untold_blocks


@dataclass(frozen=True, slots=True, eq=False)
class Bands:
    """A learner's belief, the smallest changes they name, how much they answered, and when last."""

    belief: Belief
    changes: tuple[SmallestChange, ...]
    answers: int
    last_day: date | None


def bands_of(store: Store, learner: str, *, starts: Starts, today: date) -> Bands:
    """Return a learner's octave bands as they are today, but for quizzes that were left in the middle."""
    tallies = told = store.tallies(learner=learner)
    untold = untold_blocks(store, learner)
    if untold:
        attempts = told_attempts(store, learner, untold)
        told, ear = tallies_of(attempts), on_day(replay(attempts, starts), today)
    else:
        ear = ear_of(store, learner, starts=starts, today=today)
    answers: dict[float, float] = {}
    for tally in told:
        answers[tally.band_hz] = answers.get(tally.band_hz, 0.0) + tally.asked
    return Bands(
        belief=ear.belief,
        changes=smallest_changes(ear.belief, answers),
        answers=round(math.fsum(tally.asked for tally in tallies)),
        last_day=max((tally.day for tally in tallies), default=None),
    )
