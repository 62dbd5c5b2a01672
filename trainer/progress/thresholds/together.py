"""The ears of many learners moved on together, a day at a time: each the same to the last bit as alone.

States are padded to the longest; a kind that a learner has not met yet holds zeros there, which add nothing.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from trainer.progress.thresholds.belief import (
    APART,
    BANDS,
    CUT,
    EQUIPMENT_SD,
    KIND_SD,
    KINDS,
    Belief,
    Floats,
    next_day,
    taken,
    with_week_1,
)
from trainer.progress.thresholds.ear import (
    LAST_DAY_OF_WEEK_1,
    REFERENCE_KIND,
    Ear,
    Practised,
    expected_of,
    own_after,
)
from trainer.progress.thresholds.findings import AttemptFindings, Finding
from trainer.progress.thresholds.own import NO_OWN, OwnFigures, figures_on_day, on_other_equipment

Places = NDArray[np.intp]


@dataclass(slots=True)
class _Telling:
    """What a learner's answers of a day say, and what happens before some of it.

    Attributes
    ----------
    day
        The day.
    findings
        What they say of octave bands, in its order.
    widened
        Before which of it they changed what they listen on.
    met
        Before which of it which kinds were met: their places in the state, and where their ladders start.
    record
        All they say, in its order: the exercise, whether it was named, and the chance there was; None for that of
        octave bands, which is known when it is taken in.
    """

    day: date
    setup: str = ""
    kinds: tuple[str, ...] = ()
    own: OwnFigures = NO_OWN
    findings: list[Finding] = field(default_factory=list)
    widened: list[int] = field(default_factory=list)
    met: list[tuple[int, int, float | None]] = field(default_factory=list)
    record: list[tuple[str, bool, float | None]] = field(default_factory=list)

    def hear(self, heard: AttemptFindings) -> None:
        """Take in one more answer of the day."""
        if heard.setup and heard.setup != self.setup:
            if self.setup:
                self.widened.append(len(self.findings))
                self.own = on_other_equipment(self.own)
            self.setup = heard.setup
        for finding in heard.findings:
            self.record.append((heard.exercise, finding.named, self._hear(finding)))

    def _hear(self, finding: Finding) -> float | None:
        """Take in one thing that is said; return the chance there was, where it is known already."""
        if not finding.shares or finding.log_size is None:
            self.own, chance = own_after(self.own, finding, self.day)
            return chance
        if finding.kind != REFERENCE_KIND and finding.kind not in self.kinds:
            self.met.append((len(self.findings), KINDS + len(self.kinds), finding.start))
            self.kinds = (*self.kinds, finding.kind)
        self.findings.append(finding)
        return None


class Together:
    """The ears of some learners, by their places in the list they came in."""

    def __init__(self, ears: Sequence[Ear]) -> None:
        self._ears = list(ears)
        size = max((len(ear.belief.mean) for ear in ears), default=KINDS)
        self._mean = np.zeros((len(ears), size))
        self._covariance = np.zeros((len(ears), size, size))
        for place, ear in enumerate(ears):
            own = len(ear.belief.mean)
            self._mean[place, :own] = ear.belief.mean
            self._covariance[place, :own, :own] = ear.belief.covariance

    def ear(self, place: int) -> Ear:
        """Return a learner's ear as it is now."""
        ear = self._ears[place]
        size = KINDS + len(ear.kinds)
        belief = Belief(self._mean[place, :size].copy(), self._covariance[place, :size, :size].copy())
        return replace(ear, belief=belief)

    def hear(self, day: date, answers: Mapping[int, Sequence[AttemptFindings]]) -> None:
        """Move learners on to a day and take in their answers of it, all of them, in their order in time."""
        self._move_on(list(answers), day)
        told: dict[int, _Telling] = {}
        for place, all_of_day in answers.items():
            ear = self._ears[place]
            told[place] = _Telling(day, ear.setup, ear.kinds, ear.own)
            for heard in all_of_day:
                told[place].hear(heard)
        self._lengthen(KINDS + max((len(one.kinds) for one in told.values()), default=0))
        order = sorted(told, key=lambda place: -len(told[place].findings))
        chances = self._take(np.array(order, dtype=np.intp), [told[place] for place in order])
        for row, place in enumerate(order):
            one = told[place]
            self._ears[place] = _after_day(
                self._ears[place], one, len(answers[place]), chances[: len(one.findings), row].tolist()
            )

    def _move_on(self, places: Sequence[int], day: date) -> None:
        for place in places:
            ear = self._ears[place]
            if ear.day is None:
                self._ears[place] = replace(ear, first_day=day, day=day)
        while behind := [place for place in places if (self._ears[place].day or day) < day]:
            ears = [self._ears[place] for place in behind]
            ends_week_1 = [
                place
                for place, ear in zip(behind, ears, strict=True)
                if ear.day and ear.first_day and ear.day == ear.first_day + LAST_DAY_OF_WEEK_1
            ]
            if ends_week_1:
                self._put(ends_week_1, with_week_1(self._of(ends_week_1)))
            self._put(behind, next_day(self._of(behind)))
            for place, ear in zip(behind, ears, strict=True):
                next_one = (ear.day or day) + timedelta(days=1)
                self._ears[place] = replace(ear, day=next_one, own=figures_on_day(ear.own, next_one))

    def _of(self, places: Sequence[int]) -> Belief:
        return Belief(self._mean[places], self._covariance[places])

    def _put(self, places: Sequence[int], belief: Belief) -> None:
        self._mean[places], self._covariance[places] = belief.mean, belief.covariance

    def _lengthen(self, size: int) -> None:
        more = size - self._mean.shape[-1]
        if more > 0:
            self._mean = np.pad(self._mean, ((0, 0), (0, more)))
            self._covariance = np.pad(self._covariance, ((0, 0), (0, more), (0, more)))

    def _take(self, places: Places, told: Sequence[_Telling]) -> Floats:
        """Take in answer after answer of each learner; return the chance each had, ``(answers, learners)``."""
        mean, covariance = self._mean[places], self._covariance[places]
        day = _Day(told, self._mean.shape[-1])
        chances = np.zeros(day.rights.shape)
        for step in range(len(chances) + 1):
            for row in day.widened.get(step, ()):
                covariance[row, BANDS, BANDS] += EQUIPMENT_SD**2
            for row, place, start in day.met.get(step, ()):
                mean[row, place] = expected_of(start)
                covariance[row, place, place] = KIND_SD**2
            if step == len(chances):
                break
            here = slice(0, day.active[step])
            found, chances[step, here] = taken(
                Belief(mean[here], covariance[here]),
                question=day.questions[step, here],
                log_size=day.log_sizes[step, here],
                right=day.rights[step, here],
                options=tuple(day.options[step, here].T),
            )
            mean[here], covariance[here] = found.mean, found.covariance
        self._mean[places], self._covariance[places] = mean, covariance
        return chances


class _Day:
    """The answers of a day lined up, ``(answers, learners)``; the learners with most of them first.

    Attributes
    ----------
    active
        How many learners have an answer at each place.
    """

    def __init__(self, told: Sequence[_Telling], size: int) -> None:
        counts = [len(one.findings) for one in told]
        shape = (max(counts, default=0), len(told))
        self.active = [sum(count > step for count in counts) for step in range(shape[0])]
        answers = [finding for one in told for finding in one.findings]
        rows = np.repeat(np.arange(len(told)), counts)
        steps = np.concatenate([np.arange(0), *map(np.arange, counts)])
        self.log_sizes, self.rights = np.zeros(shape), np.zeros(shape, dtype=np.bool_)
        self.log_sizes[steps, rows] = [answer.log_size for answer in answers]
        self.rights[steps, rows] = [answer.named for answer in answers]
        fields = max((len(answer.among) for answer in answers), default=1)
        self.options = np.ones((*shape, fields))
        self.options[steps, rows] = [_padded(answer.among, fields) for answer in answers] or 1
        self.questions = np.zeros((*shape, size))
        self.questions[steps, rows, BANDS] = [answer.shares for answer in answers] or 0
        self.questions[steps, rows, CUT] = [-0.5 * answer.direction for answer in answers]
        self._ask_kinds(told)
        self.widened: dict[int, list[int]] = {}
        self.met: dict[int, list[tuple[int, int, float | None]]] = {}
        for row, one in enumerate(told):
            for step in one.widened:
                self.widened.setdefault(step, []).append(row)
            for step, place, start in one.met:
                self.met.setdefault(step, []).append((row, place, start))

    def _ask_kinds(self, told: Sequence[_Telling]) -> None:
        for row, one in enumerate(told):
            place_of = {kind: KINDS + number for number, kind in enumerate(one.kinds)}
            places = [place_of.get(finding.kind, 0) for finding in one.findings]
            steps = [step for step, place in enumerate(places) if place]
            self.questions[steps, row, APART] = 1.0
            self.questions[steps, row, [places[step] for step in steps]] = 1.0


def _padded(among: tuple[float, ...], parts: int) -> tuple[float, ...]:
    """Return answers to guess among, with parts more of one answer: those change no chance, not in the last bit."""
    return (*among, *(1.0,) * (parts - len(among)))


def _after_day(ear: Ear, told: _Telling, seen: int, chances: Sequence[float]) -> Ear:
    practised, taken_in = dict(ear.practised), iter(chances)
    by_exercise: dict[str, list[tuple[bool, float]]] = {}
    for exercise, named, chance in told.record:
        by_exercise.setdefault(exercise, []).append((named, next(taken_in) if chance is None else chance))
    for key, answers in by_exercise.items():
        practised[key] = practised.get(key, Practised(told.day)).after_all(told.day, answers)
    return replace(
        ear,
        kinds=told.kinds,
        setup=told.setup,
        last_day=told.day,
        seen=ear.seen + seen,
        answers=ear.answers + len(told.record),
        practised=practised,
        own=told.own,
    )
