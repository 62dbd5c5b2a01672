"""The figures ``yardline progress`` shows: read from the store, of everything or of one listening setup."""

import math
from dataclasses import dataclass
from datetime import date

from trainer.assembly import Assembly
from trainer.command.told_bar import told_bar
from trainer.practice.attempt import Attempt
from trainer.progress.ear_figures import EarFigures, ear_figures_of, ear_figures_of_attempts
from trainer.progress.figures import Tally, tallies_of
from trainer.progress.recent import recent_among, recent_of
from trainer.progress.store import Store
from trainer.refusal import Refused
from trainer.season.roster import roster_of
from trainer.season.untold import told_attempts, untold_blocks


@dataclass(frozen=True, slots=True)
class Figures:
    """What is known of a learner: their ear, the tallies it rests on, and their recent attempts."""

    ear: EarFigures
    tallies: tuple[Tally, ...]
    recent: tuple[Attempt, ...]

    @property
    def answers(self) -> float:
        """How many answers there are."""
        return math.fsum(tally.asked for tally in self.tallies)

    @property
    def since(self) -> date | None:
        """The first day with answers."""
        return min((tally.day for tally in self.tallies), default=None)


def figures_read(assembly: Assembly, learner: str, *, setup: str = "") -> Figures:
    """Return a learner's figures, of all answers or of those given on one listening setup.

    Quizzes that were left in the middle are left out: nothing is told of them before their end.

    Raises
    ------
    Refused
        If there are none, while others have some; or if nothing was answered on that setup.
    """
    with assembly.open_store() as store:
        tallies = store.sums.tallies(learner=learner)
        known = store.log.learners()
        if not tallies and known:
            roster = roster_of(store)
            names = ", ".join(map(roster.shown, known))
            raise Refused(f"there are no answers by {roster.shown(learner)!r} yet; there are some by {names}")
        untold = untold_blocks(store, learner)
        if setup:
            return _of(_on_setup(store, learner, setup, untold), assembly)
        if untold:
            return _of(told_attempts(store, learner, untold), assembly)
        with told_bar("Replaying the answers", math.fsum(tally.asked for tally in tallies)) as heard:
            ear = ear_figures_of(
                store,
                learner,
                today=assembly.now().date(),
                tallies=tallies,
                heard=heard,
            )
        return Figures(ear, tallies, tuple(recent_of(store, learner, now=assembly.now())))


def _on_setup(store: Store, learner: str, setup: str, untold: frozenset[str]) -> list[Attempt]:
    """Return what was answered on a listening setup."""
    chosen = list(store.log.attempts(learner=learner, setup=setup))
    if not chosen:
        named = sorted({attempt.setup for attempt in store.log.attempts(learner=learner) if attempt.setup})
        there_are = f"there are some on {', '.join(named)}" if named else "no answer names one"
        raise Refused(f"there are no answers by {learner!r} on the setup {setup!r}; {there_are}")
    return [attempt for attempt in chosen if attempt.block not in untold]


def _of(chosen: list[Attempt], assembly: Assembly) -> Figures:
    """Return the figures that some attempts give by themselves."""
    now = assembly.now()
    ear = ear_figures_of_attempts(chosen, today=now.date())
    return Figures(ear, tallies_of(chosen), tuple(recent_among(chosen, now=now)))
