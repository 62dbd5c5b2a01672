"""Proposals: what one sitting asks next, from what is believed of the learner now; every answer moves it on."""

from collections.abc import Callable, Iterable
from datetime import date
from threading import Lock

from numpy.random import Generator

from trainer.practice.attempt import Attempt
from trainer.practice.evidence import is_named
from trainer.practice.exercise import Exercise, Focus
from trainer.practice.listening import STANDARD, Listening
from trainer.practice.sitting import Sitting
from trainer.progress.replay import ear_of
from trainer.progress.schedule import aims, next_focus
from trainer.progress.store import Store
from trainer.progress.thresholds.ear import Ear, after


class Proposals:
    """What the reps of a sitting are to be about; reps are dealt in another thread than they are answered in.

    Parameters
    ----------
    load
        Reads the learner's ear as it was before the sitting; done at the first proposal, by whoever asks for it.
    answered
        What was answered of the sitting before, where it is gone on with.
    today
        The day of the sitting (UTC).
    listening
        What the learner listens on.
    """

    def __init__(
        self,
        load: Callable[[], Ear],
        *,
        today: date,
        listening: Listening = STANDARD,
        answered: Iterable[Attempt] = (),
    ) -> None:
        self._load, self._today = load, today
        self._listening = listening
        self._lock = Lock()
        self._ear: Ear | None = None
        self._days_away = 0
        self._wrong_in_a_row = 0
        self._answered = list(answered)
        self._taken_in = 0

    def take(self, attempt: Attempt) -> None:
        """Take an answer of the sitting."""
        with self._lock:
            self._answered.append(attempt)

    def __call__(self, exercise: Exercise, place: int, rng: Generator) -> Focus:
        """Return what the rep of an exercise is to be about at a place of the sitting.

        A rep is made while the one before it is heard: the answers before that one count, whoever is quicker.
        """
        ear = self._ear_at(place)
        aim = aims(
            rng,
            place=place,
            wrong_in_a_row=self._wrong_in_a_row,
            answers=ear.answers,
            days_away=self._days_away,
        )
        return next_focus(ear, exercise, aim=float(aim), rng=rng, listening=self._listening)

    def _ear_at(self, place: int) -> Ear:
        if self._ear is None:
            self._ear = self._load()
            self._days_away = _days_away(self._ear, self._today)
        with self._lock:
            counting = self._answered[self._taken_in : max(0, place - 1)]
        for attempt in counting:
            self._ear = after(self._ear, attempt)
            self._wrong_in_a_row = 0 if is_named(attempt.evidence) else self._wrong_in_a_row + 1
        self._taken_in += len(counting)
        return self._ear


def proposals_of(
    store: Store,
    sitting: Sitting,
    answered: Iterable[Attempt],
    *,
    listening: Listening = STANDARD,
) -> Proposals:
    """Return what a sitting asks: it hangs on the log before it and its own answers, and on nothing else."""
    today = sitting.begun_at.date()

    def load() -> Ear:
        return ear_of(store, sitting.learner, today=today, before=sitting.begun_at)

    return Proposals(load, today=today, listening=listening, answered=answered)


def _days_away(ear: Ear, today: date) -> int:
    """Return how many days lie since the last answer; somebody new was not away."""
    return 0 if ear.last_day is None else (today - ear.last_day).days
