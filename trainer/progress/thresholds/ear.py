"""An ear: what is believed of one learner so far, moved on by days and by the attempts in the log.

The same attempts in the same order give the same ear to the last bit.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, date, timedelta

from trainer.practice.attempt import Attempt
from trainer.practice.band_scale import OCTAVE_SCALE
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
from trainer.progress.thresholds.findings import Finding, findings_in
from trainer.progress.thresholds.hearing import NAMED
from trainer.progress.thresholds.own import (
    NO_OWN,
    REFERENCE_START_DB,
    OwnFigures,
    OwnThreshold,
    figures_on_day,
    first_threshold,
    on_other_equipment,
    with_answer,
    with_naming,
)

REFERENCE_KIND = "octave-tone/mix"
"""The kind that T75 is told in."""
LAST_DAY_OF_WEEK_1 = timedelta(days=6)


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
    own
        The kinds with a figure of their own: of a size in another unit, or without a size.
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
    own: OwnFigures = NO_OWN

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
    return replace(ear, belief=belief, own=figures_on_day(ear.own, day), day=today)


def knowing(ear: Ear, kind: str, start: float | None) -> Ear:
    """Return the ear with a kind in its state, if it is not there yet; ``start`` is where its ladder starts."""
    if kind == REFERENCE_KIND or kind in ear.kinds:
        return ear
    belief = with_kind(ear.belief, expected=expected_of(start))
    return replace(ear, belief=belief, kinds=(*ear.kinds, kind))


def expected_of(start: float | None) -> float:
    """Return how much harder than the reference a kind is expected to be (a logarithm), by its ladder's start."""
    return 0.0 if start is None else math.log(start / REFERENCE_START_DB)


def question_of(ear: Ear, kind: str, shares: Mapping[float, float], *, direction: int) -> Floats:
    """Return what the T75 of a question is made of, for an ear that knows its kind.

    Parameters
    ----------
    shares
        The octave bands it counts for, nominal hertz to weight.
    direction
        +1, -1, or 0 where there is none.
    """
    known = [shares.get(band_hz, 0.0) for band_hz in OCTAVE_SCALE.names_hz]
    whole = math.fsum(known)
    return _question(ear, kind, [share / whole for share in known], direction=direction)


def _question(ear: Ear, kind: str, shares: Sequence[float], *, direction: int) -> Floats:
    number = None if kind == REFERENCE_KIND else ear.kinds.index(kind)
    return question_on(shares, direction=direction, kind=number, size=KINDS + len(ear.kinds))


def after(ear: Ear, attempt: Attempt) -> Ear:
    """Return the ear after an attempt; one that says nothing only counts as seen."""
    today, heard = day_of_attempt(attempt), findings_in(attempt)
    if ear.day is None:
        ear = replace(ear, first_day=today, day=today)
    ear = _on_setup(on_day(ear, today), heard.setup)
    answers: list[tuple[bool, float]] = []
    for finding in heard.findings:
        ear, chance = _hearing(ear, finding, today)
        answers.append((finding.named, chance))
    ear = replace(ear, last_day=today, seen=ear.seen + 1, answers=ear.answers + len(answers))
    if not answers:
        return ear
    record = ear.practised.get(heard.exercise, Practised(today)).after_all(today, answers)
    return replace(ear, practised={**ear.practised, heard.exercise: record})


def _hearing(ear: Ear, finding: Finding, today: date) -> tuple[Ear, float]:
    """Return the ear after one thing an answer says, and the chance there was that it be named."""
    if not finding.shares or finding.log_size is None:
        own, chance = own_after(ear.own, finding, today)
        return replace(ear, own=own), chance
    ear = knowing(ear, finding.kind, finding.start)
    belief, chance_there = taken(
        ear.belief,
        question=_question(ear, finding.kind, finding.shares, direction=finding.direction),
        log_size=finding.log_size,
        right=finding.named,
        options=finding.among,
    )
    return replace(ear, belief=belief), float(chance_there)


def own_after(own: OwnFigures, finding: Finding, today: date) -> tuple[OwnFigures, float]:
    """Return the figures of kinds on their own after something said about one of them, and the chance there was.

    Of a fault without a size the chance is as often as sizes aim at.
    """
    if finding.log_size is None:
        return with_naming(own, finding.kind, named=finding.named), NAMED
    first = own_threshold_at_first(finding.unit, finding.start, today)
    return with_answer(
        own, finding.kind, first, log_size=finding.log_size, named=finding.named, among=finding.among
    )


def own_threshold_at_first(unit: str, start: float | None, today: date) -> OwnThreshold:
    """Return what is believed of a kind on its own that was never asked; without a start, as at the reference."""
    return first_threshold(unit, start=REFERENCE_START_DB if start is None else start, day=today)


def day_of_attempt(attempt: Attempt) -> date:
    """Return the day of an attempt (UTC)."""
    return attempt.at.astimezone(UTC).date()


def _on_setup(ear: Ear, setup: str) -> Ear:
    if not setup or setup == ear.setup:
        return ear
    if not ear.setup:
        return replace(ear, setup=setup)
    return replace(ear, setup=setup, belief=with_other_equipment(ear.belief), own=on_other_equipment(ear.own))
