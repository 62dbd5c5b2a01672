"""The ears of many learners moved on together, a day at a time: each the same to the last bit as alone.

States are padded to the longest; a kind that a learner has not met yet holds zeros there, which add nothing.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from trainer.progress.thresholds.asked import Answered
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
    Starts,
    expected_of,
)

Places = NDArray[np.intp]


@dataclass(slots=True)
class _Telling:
    """A learner's answers of a day that tell something, and what happens before one of them.

    Attributes
    ----------
    widened
        Before which answers they changed what they listen on.
    met
        Before which answers which kinds were met, by their places in the state.
    """

    answers: list[Answered] = field(default_factory=list)
    widened: list[int] = field(default_factory=list)
    met: list[tuple[int, int, str]] = field(default_factory=list)
    setup: str = ""
    kinds: tuple[str, ...] = ()

    def hear(self, answer: Answered) -> None:
        """Take in one more answer of the day."""
        if answer.setup and answer.setup != self.setup:
            if self.setup:
                self.widened.append(len(self.answers))
            self.setup = answer.setup
        if answer.log_size is None:
            return
        kind = answer.asked.kind
        if kind != REFERENCE_KIND and kind not in self.kinds:
            self.met.append((len(self.answers), KINDS + len(self.kinds), kind))
            self.kinds = (*self.kinds, kind)
        self.answers.append(answer)


class Together:
    """The ears of some learners, by their places in the list they came in."""

    def __init__(self, ears: Sequence[Ear], starts: Starts) -> None:
        self._starts = starts
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

    def hear(self, day: date, answers: Mapping[int, Sequence[Answered]]) -> None:
        """Move learners on to a day and take in their answers of it, all of them, in their order in time."""
        self._move_on(list(answers), day)
        told: dict[int, _Telling] = {}
        for place, all_of_day in answers.items():
            ear = self._ears[place]
            told[place] = _Telling(setup=ear.setup, kinds=ear.kinds)
            for answer in all_of_day:
                told[place].hear(answer)
        self._lengthen(KINDS + max((len(one.kinds) for one in told.values()), default=0))
        order = sorted(told, key=lambda place: -len(told[place].answers))
        chances = self._take(np.array(order, dtype=np.intp), [told[place] for place in order])
        for row, place in enumerate(order):
            one = told[place]
            self._ears[place] = _after_day(
                self._ears[place], day, one, len(answers[place]), chances[: len(one.answers), row].tolist()
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
                self._ears[place] = replace(ear, day=(ear.day or day) + timedelta(days=1))

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
            for row, place, kind in day.met.get(step, ()):
                mean[row, place] = expected_of(kind, self._starts)
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
        counts = [len(one.answers) for one in told]
        shape = (max(counts, default=0), len(told))
        self.active = [sum(count > step for count in counts) for step in range(shape[0])]
        answers = [answer for one in told for answer in one.answers]
        rows = np.repeat(np.arange(len(told)), counts)
        steps = np.concatenate([np.arange(0), *map(np.arange, counts)])
        self.log_sizes, self.rights = np.zeros(shape), np.zeros(shape, dtype=np.bool_)
        self.log_sizes[steps, rows] = [answer.log_size for answer in answers]
        self.rights[steps, rows] = [answer.named for answer in answers]
        fields = max((len(answer.asked.options) for answer in answers), default=1)
        self.options = np.ones((*shape, fields))
        self.options[steps, rows] = [_padded(answer.asked.options, fields) for answer in answers] or 1
        self.questions = np.zeros((*shape, size))
        self.questions[steps, rows, BANDS] = [answer.shares for answer in answers] or 0
        self.questions[steps, rows, CUT] = [-0.5 * answer.asked.direction for answer in answers]
        self._ask_kinds(told)
        self.widened: dict[int, list[int]] = {}
        self.met: dict[int, list[tuple[int, int, str]]] = {}
        for row, one in enumerate(told):
            for step in one.widened:
                self.widened.setdefault(step, []).append(row)
            for step, place, kind in one.met:
                self.met.setdefault(step, []).append((row, place, kind))

    def _ask_kinds(self, told: Sequence[_Telling]) -> None:
        for row, one in enumerate(told):
            place_of = {kind: KINDS + number for number, kind in enumerate(one.kinds)}
            places = [place_of.get(answer.asked.kind, 0) for answer in one.answers]
            steps = [step for step, place in enumerate(places) if place]
            self.questions[steps, row, APART] = 1.0
            self.questions[steps, row, [places[step] for step in steps]] = 1.0


def _padded(options: tuple[int, ...], fields: int) -> tuple[int, ...]:
    """Return the options with fields more that offer one answer: those change no chance, not in the last bit."""
    return (*options, *(1,) * (fields - len(options)))


def _after_day(ear: Ear, day: date, told: _Telling, seen: int, chances: Sequence[float]) -> Ear:
    practised = dict(ear.practised)
    by_exercise: dict[str, list[tuple[bool, float]]] = {}
    for answer, chance in zip(told.answers, chances, strict=True):
        by_exercise.setdefault(answer.asked.exercise, []).append((answer.named, chance))
    for key, answers in by_exercise.items():
        practised[key] = practised.get(key, Practised(day)).after_all(day, answers)
    return replace(
        ear,
        kinds=told.kinds,
        setup=told.setup,
        last_day=day,
        seen=ear.seen + seen,
        answers=ear.answers + len(told.answers),
        practised=practised,
    )
