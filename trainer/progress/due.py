"""What is due today: which exercises, how many reps in how many minutes, and why.

Exercises are drilled in runs of eight or so, one judgement at a time; one that went as well as expected comes
again after twice as many days, a week at most, one that did not, or is still new, the next day. What tells of all
ten octave bands, on the mix, comes every day. The rule is a simple one: spacing helps memory for words and facts
(N. J. Cepeda et al., Psychological Bulletin 132, 2006); how far that holds for listening is not known.
"""

from collections.abc import Container, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from trainer.practice.attempt import Attempt
from trainer.practice.exercise import Exercise
from trainer.progress.figures.intervals import TooFew
from trainer.progress.figures.response_times import response_times
from trainer.progress.thresholds.ear import REFERENCE_KIND, Ear

RUN_REPS = 8
"""How many reps of an exercise make a run worth its while."""
MOST_EXERCISES = 3
FEWEST_REPS = 4
BESIDE_ANSWERING_S = 14.0
"""What a rep takes beside answering it: its reveal, and a moment (common practice, no source)."""
ANSWERING_S = 20.0
"""What answering takes as long as too few answers say otherwise."""
REP_S = ANSWERING_S + BESIDE_ANSWERING_S
FIRST_REPS = 10
"""How many reps somebody's first block has: a few of everything there is."""


@dataclass(frozen=True, slots=True)
class Due:
    """How it stands with one exercise: ``days_since`` its last answer (None: never), and when it comes again."""

    exercise: str
    days_since: int | None
    interval_days: int

    @property
    def is_due(self) -> bool:
        """Whether it is to be drilled today."""
        return self.days_since is None or self.days_since >= self.interval_days

    @property
    def overdue(self) -> float:
        """How many of its intervals have passed."""
        return float("inf") if self.days_since is None else self.days_since / self.interval_days


@dataclass(frozen=True, slots=True)
class Plan:
    """A block to drill today: its exercises, the most overdue first, and how many reps it has."""

    due: tuple[Due, ...]
    count: int

    @property
    def exercises(self) -> tuple[str, ...]:
        """The keys of the exercises."""
        return tuple(due.exercise for due in self.due)

    @property
    def is_anything_due(self) -> bool:
        """Whether any of it had to be today."""
        return any(due.is_due for due in self.due)


def due_of(ear: Ear, exercises: Sequence[str], today: date, *, daily: Container[str] = ()) -> tuple[Due, ...]:
    """Return how it stands with each exercise, the most overdue first; ties in the exercises' order.

    Those that are ``daily`` come again the next day, however well they went.
    """
    found = [_due(ear, exercise, today, is_daily=exercise in daily) for exercise in exercises]
    return tuple(sorted(found, key=lambda due: -due.overdue))


def _due(ear: Ear, exercise: str, today: date, *, is_daily: bool) -> Due:
    record = ear.practised.get(exercise)
    if record is None:
        return Due(exercise, None, 1)
    return Due(exercise, max(0, (today - record.day).days), 1 if is_daily else record.interval_days)


def plan_of(
    ear: Ear,
    exercises: Sequence[str],
    *,
    today: date,
    minutes: float,
    rep_s: float,
    daily: Container[str] = (),
) -> Plan:
    """Return the block for today.

    Parameters
    ----------
    exercises
        The keys there are to choose from; at least one.
    minutes
        How long it is to take.
    rep_s
        How long a rep takes this learner.
    daily
        Those that come every day.

    Notes
    -----
    A first block has a few reps of everything. Where nothing is due it is the exercise that comes next: another
    block does no harm.
    """
    count = max(FEWEST_REPS, round(60.0 * minutes / rep_s))
    room = min(MOST_EXERCISES, max(1, round(count / RUN_REPS)))
    standing = due_of(ear, exercises, today, daily=daily)
    if not ear.answers:
        return Plan(standing[:MOST_EXERCISES], min(count, FIRST_REPS))
    wanted = sorted((due for due in standing if due.is_due), key=lambda due: due.exercise not in daily)
    chosen = wanted[:room]
    return Plan(tuple(chosen) or standing[:1], count)


def plan_among(
    ear: Ear, exercises: Mapping[str, Exercise], *, today: date, minutes: float, rep_s: float
) -> Plan:
    """Return the block for today: what T75 is told in comes first and every day, the rest when its time has come."""
    reference = [key for key, exercise in exercises.items() if exercise.kind("mix") == REFERENCE_KIND]
    others = [
        key
        for key, exercise in exercises.items()
        if key not in reference and ear.answers >= exercise.from_answers
    ]
    keys = (*reference, *others) or tuple(exercises)
    return plan_of(ear, keys, today=today, minutes=minutes, rep_s=rep_s, daily=reference)


def rep_s_of(recent: Sequence[Attempt]) -> float:
    """Return how long a rep takes a learner, all in all, by their recent answers."""
    times = response_times(recent)
    return REP_S if isinstance(times, TooFew) else times.median_s + BESIDE_ANSWERING_S
