"""Somebody's octave bands in short: what is believed of the ear, T75 band by band, and what that rests on."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from trainer.progress.figures.smallest_changes import SmallestChange, smallest_changes
from trainer.progress.replay import replay
from trainer.progress.roster_replay import replayed_all
from trainer.progress.store import Store
from trainer.progress.tallies import Tally, tallies_of
from trainer.progress.thresholds.belief import Belief
from trainer.progress.thresholds.ear import on_day
from trainer.season.untold import told_attempts, untold_blocks


@dataclass(frozen=True, slots=True, eq=False)
class Bands:
    """A learner's belief, the smallest changes they name, how much they answered, and when last."""

    belief: Belief
    changes: tuple[SmallestChange, ...]
    answers: int
    last_day: date | None


def bands_of_all(store: Store, learners: Iterable[str], *, today: date) -> dict[str, Bands]:
    """Return learners' octave bands as they are today, but for quizzes that were left in the middle."""
    untold = {learner: untold_blocks(store, learner) for learner in learners}
    whole = [learner for learner, blocks in untold.items() if not blocks]
    ears = {learner: found.now for learner, found in replayed_all(store, whole, today=today).items()}
    bands = {}
    for learner, blocks in untold.items():
        tallies = told = store.sums.tallies(learner=learner)
        if blocks:
            attempts = told_attempts(store, learner, blocks)
            told, ears[learner] = tallies_of(attempts), on_day(replay(attempts), today)
        bands[learner] = _bands(ears[learner].belief, told, tallies)
    return bands


def bands_of(store: Store, learner: str, *, today: date) -> Bands:
    """Return one learner's octave bands."""
    return bands_of_all(store, [learner], today=today)[learner]


def _bands(belief: Belief, told: Sequence[Tally], tallies: Sequence[Tally]) -> Bands:
    answers: dict[float, float] = {}
    for tally in told:
        answers[tally.band_hz] = answers.get(tally.band_hz, 0.0) + tally.asked
    return Bands(
        belief=belief,
        changes=smallest_changes(belief, answers),
        answers=round(math.fsum(tally.asked for tally in tallies)),
        last_day=max((tally.day for tally in tallies), default=None),
    )
