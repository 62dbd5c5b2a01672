"""An ear: what is believed of one learner so far, moved on by days and by the attempts in the log.

The same attempts in the same order give the same ear to the last bit.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, date, timedelta

from trainer.dsp.octave_bands import NOMINAL_HZ
from trainer.ensemble.parts import SECTIONS
from trainer.practice.attempt import Attempt
from trainer.practice.exercise import Scope
from trainer.progress.thresholds.belief import (
    KINDS,
    Belief,
    Floats,
    first_belief,
    next_day,
    question_on,
    taken,
    with_kind,
    with_other_equipment,
    with_week_1,
)
from trainer.progress.thresholds.hearing import REFERENCE

REFERENCE_KIND = "octave-tone/mix"
"""The kind that T75 is told in."""
REFERENCE_START = 9.0
"""The size its ladder starts at: a kind whose ladder starts elsewhere is expected to be as hard there."""
LAST_DAY_OF_WEEK_1 = timedelta(days=6)
BAND_FIELD = "band"
WAYS = {"boost": 1, "up": 1, "cut": -1, "down": -1}

_SECTION_KEYS = frozenset(section.key for section in SECTIONS)

Starts = Mapping[str, float]
"""The size each exercise's ladder starts at."""


LONGEST_INTERVAL_DAYS = 7
NEW_UNTIL_ANSWERS = 40
"""An exercise is drilled every day until so many answers."""


@dataclass(frozen=True, slots=True)
class Practised:
    """How an exercise went on its last day, and after how many days it comes again.

    Attributes
    ----------
    day
        The last day with answers.
    answers
        How many there ever were.
    interval_before
        After how many days it would have come again, before that day.
    named, predicted, variance
        On that day: how many changes were named, how many were expected to be, and the variance of that.
    """

    day: date
    answers: int = 0
    interval_before: int = 1
    named: int = 0
    predicted: float = 0.0
    variance: float = 0.0

    @property
    def interval_days(self) -> int:
        """After how many days it comes again: twice as many as before if it went as well as expected, else one."""
        is_well = self.named >= self.predicted - math.sqrt(self.variance)
        if self.answers < NEW_UNTIL_ANSWERS or not is_well:
            return 1
        return min(LONGEST_INTERVAL_DAYS, 2 * self.interval_before)

    def after(self, day: date, *, named: bool, chance: float) -> "Practised":
        """Return the record after one more answer."""
        return self.after_all(day, [(named, chance)])

    def after_all(self, day: date, answers: Sequence[tuple[bool, float]]) -> "Practised":
        """Return the record after some answers of a day: whether each was named, and the chance it had."""
        here = self
        if day != self.day:
            here = Practised(day, self.answers, interval_before=self.interval_days)
        predicted, variance = here.predicted, here.variance
        for _, chance in answers:
            predicted += chance
            variance += chance * (1.0 - chance)
        return replace(
            here,
            answers=here.answers + len(answers),
            named=here.named + sum(named for named, _ in answers),
            predicted=predicted,
            variance=variance,
        )


@dataclass(frozen=True, slots=True, eq=False)
class Ear:
    """One learner's ear at the end of a day, or in the middle of one.

    Attributes
    ----------
    belief
        What is believed of the thresholds.
    kinds
        The kinds of question met, beside the reference; their offsets stand in this order in the state.
    first_day, day
        The day (UTC) of the first attempt, and the day the belief is of; None before the first attempt.
    last_day
        The day of the last attempt.
    setup
        What was listened on last, where it was named.
    seen, answers
        How many attempts there were, and how many of them told something.
    practised
        How each exercise went last, by its key.
    """

    belief: Belief
    kinds: tuple[str, ...] = ()
    first_day: date | None = None
    day: date | None = None
    last_day: date | None = None
    setup: str = ""
    seen: int = 0
    answers: int = 0
    practised: Mapping[str, Practised] = field(default_factory=dict)

    @property
    def has_week_1(self) -> bool:
        """Whether week 1 is over, so that there is something to compare with."""
        return (
            self.first_day is not None
            and self.day is not None
            and (self.day > self.first_day + LAST_DAY_OF_WEEK_1)
        )


def new_ear() -> Ear:
    """Return the ear of somebody who never answered."""
    return Ear(first_belief())


def on_day(ear: Ear, day: date) -> Ear:
    """Return the ear moved on to a day; the bands are kept as week 1 at the end of its seventh day.

    An earlier day changes nothing: a clock that was put back does not make an ear younger.
    """
    if ear.day is None or ear.first_day is None or day <= ear.day:
        return ear
    belief, today = ear.belief, ear.day
    while today < day:
        if today == ear.first_day + LAST_DAY_OF_WEEK_1:
            belief = with_week_1(belief)
        belief = next_day(belief)
        today += timedelta(days=1)
    return replace(ear, belief=belief, day=today)


def knowing(ear: Ear, kind: str, starts: Starts) -> Ear:
    """Return the ear with a kind in its state, if it is not there yet."""
    if kind == REFERENCE_KIND or kind in ear.kinds:
        return ear
    belief = with_kind(ear.belief, expected=expected_of(kind, starts))
    return replace(ear, belief=belief, kinds=(*ear.kinds, kind))


def expected_of(kind: str, starts: Starts) -> float:
    """Return how much harder a kind is expected to be than the reference (a logarithm)."""
    start = starts.get(kind.split("/", maxsplit=1)[0], REFERENCE_START)
    return math.log(start / REFERENCE_START)


def question_of(ear: Ear, kind: str, shares: Mapping[float, float], *, direction: int) -> Floats:
    """Return what the T75 of a question is made of, for an ear that knows its kind.

    Parameters
    ----------
    shares
        The octave bands it counts for, nominal hertz to weight; bands that are none of the ten are left out.
    direction
        +1, -1, or 0 where there is none.
    """
    known = [shares.get(band_hz, 0.0) for band_hz in NOMINAL_HZ]
    whole = math.fsum(known)
    number = None if kind == REFERENCE_KIND else ear.kinds.index(kind)
    size = KINDS + len(ear.kinds)
    return question_on([share / whole for share in known], direction=direction, kind=number, size=size)


def after(ear: Ear, attempt: Attempt, starts: Starts) -> Ear:
    """Return the ear after an attempt; one about nothing (size 0, no band) only counts as seen.

    Parameters
    ----------
    starts
        The size each exercise's ladder starts at: how hard a new kind is expected to be.
    """
    today = day_of_attempt(attempt)
    if ear.day is None:
        ear = replace(ear, first_day=today, day=today)
    ear = _on_setup(on_day(ear, today), attempt.setup)
    if attempt.size <= 0.0 or not any(attempt.bands.get(band_hz) for band_hz in NOMINAL_HZ):
        return replace(ear, seen=ear.seen + 1, last_day=today)
    kind = kind_of(attempt)
    ear = knowing(ear, kind, starts)
    direction = WAYS.get(str(attempt.right_answer.get("direction")), 0)
    question = question_of(ear, kind, attempt.bands, direction=direction)
    named = is_named(attempt)
    belief, chance = taken(
        ear.belief,
        question=question,
        log_size=math.log(attempt.size),
        right=named,
        options=options_of(attempt),
    )
    record = ear.practised.get(attempt.exercise, Practised(today))
    record = record.after(today, named=named, chance=float(chance))
    return replace(
        ear,
        belief=belief,
        last_day=today,
        seen=ear.seen + 1,
        answers=ear.answers + 1,
        practised={**ear.practised, attempt.exercise: record},
    )


def day_of_attempt(attempt: Attempt) -> date:
    """Return the day of an attempt (UTC)."""
    return attempt.at.astimezone(UTC).date()


def _on_setup(ear: Ear, setup: str) -> Ear:
    if not setup or setup == ear.setup:
        return ear
    belief = with_other_equipment(ear.belief) if ear.setup else ear.belief
    return replace(ear, belief=belief, setup=setup)


def kind_name(exercise: str, scope: Scope, *, in_quiz: bool = False) -> str:
    """Return the name of a kind of question: the exercise, what it was asked on, and whether in a quiz."""
    return f"{exercise}/{scope}/quiz" if in_quiz else f"{exercise}/{scope}"


def kind_of(attempt: Attempt) -> str:
    """Return the kind of an attempt's question."""
    named = attempt.target or str(next(iter(attempt.options.get("which", ())), ""))
    scope: Scope = "mix" if named == "mix" else "section" if named in _SECTION_KEYS else "stem"
    return kind_name(attempt.exercise, scope, in_quiz=bool(attempt.quiz_item))


def _named_fields(attempt: Attempt) -> list[str]:
    """Return the fields that say what was changed, and how; not by how much.

    An amount is picked from a few steps: a near miss there says little of whether the change was heard.
    """
    named = [
        key
        for key, offered in attempt.options.items()
        if key == BAND_FIELD or not all(isinstance(option, float | int) for option in offered)
    ]
    return named or list(attempt.options)


def is_named(attempt: Attempt) -> bool:
    """Return whether the change was named: every field right but for amounts."""
    return all(attempt.marks.get(key) == 1.0 for key in _named_fields(attempt))


def options_of(attempt: Attempt) -> tuple[int, ...]:
    """Return how many answers were on offer in the fields that name the change; the widest field first."""
    counts = sorted((len(attempt.options[key]) for key in _named_fields(attempt)), reverse=True)
    return tuple(max(1, count) for count in counts) or REFERENCE
