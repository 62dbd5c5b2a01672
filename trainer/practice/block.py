"""The block: the reps of one sitting, whatever shell they are answered in.

A shell shows ``rep``, tells the block when it is first heard and when it is flipped, and hands in an answer;
the block grades it, has it remembered before anything is revealed, and goes on to the next.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Protocol

from trainer import __version__
from trainer.practice.attempt import Attempt
from trainer.practice.deal import Rep
from trainer.practice.evidence import Evidence, bands_of, in_quiz
from trainer.practice.exercise import Grade
from trainer.practice.grading import evidence_of, grade
from trainer.practice.question_text import asked_text
from trainer.practice.sitting import Sitting
from trainer.practice.values import Answer


@dataclass(frozen=True, slots=True, eq=False)
class Outcome:
    """What came of one rep, to be revealed: ``given`` is None where the learner gave up."""

    rep: Rep
    given: Answer | None
    grade: Grade


@dataclass(frozen=True, slots=True)
class Mark:
    """What a block keeps of a rep that was answered: none of its sound."""

    exercise: str
    bands: Mapping[float, float]
    grade: Grade


def mark_of(attempt: Attempt) -> Mark:
    """Return the mark that an attempt left behind."""
    grade = Grade(attempt.marks, attempt.score, attempt.right)
    return Mark(attempt.exercise, bands_of(attempt.evidence), grade)


def listen_for(marks: Iterable[Mark]) -> float | None:
    """Return the octave band (nominal hertz) that was missed most, or None where nothing was."""
    missed: dict[float, float] = {}
    for mark in marks:
        for band_hz, share in mark.bands.items():
            if not mark.grade.right:
                missed[band_hz] = missed.get(band_hz, 0.0) + share
    return max(missed, key=lambda band_hz: missed[band_hz], default=None)


class Reps(Protocol):
    """Where a block's reps come from, one after the other."""

    @property
    def is_ready(self) -> bool:
        """Whether the next one can be taken without waiting."""

    def __next__(self) -> Rep:
        """Return the next one, made or waited for; after an error it may be asked again."""


class Block:
    """The reps of one sitting.

    Parameters
    ----------
    sitting
        Who answers, and how many reps there are.
    reps
        Where they come from, from the first that is not answered yet.
    remember
        Keeps an attempt for good before it returns.
    now, new_uid
        The clock (UTC) and the source of UUIDs.
    marks
        The marks of what was answered before, where the block is gone on with.
    setup
        The key of what the learner listens on.
    quiz_items
        The keys of the quiz items its reps are, in their order; none for a drill.
    """

    def __init__(
        self,
        sitting: Sitting,
        *,
        reps: Reps,
        remember: Callable[[Attempt], object],
        now: Callable[[], datetime],
        new_uid: Callable[[], str],
        marks: Iterable[Mark] = (),
        setup: str = "",
        quiz_items: Sequence[str] = (),
    ) -> None:
        self.sitting = sitting
        self.marks: list[Mark] = list(marks)
        self._reps = reps
        self._remember = remember
        self._now = now
        self._new_uid = new_uid
        self._setup = setup
        self._quiz_items = quiz_items
        self._rep: Rep | None = None
        self._heard_at: datetime | None = None
        self._flips = 0

    @property
    def learner(self) -> str:
        """Who answers."""
        return self.sitting.learner

    @property
    def count(self) -> int:
        """How many reps there are."""
        return self.sitting.count

    @property
    def is_quiz(self) -> bool:
        """Whether nothing is revealed before the end."""
        return bool(self._quiz_items)

    @property
    def number(self) -> int:
        """The number of the present rep, from 1."""
        return len(self.marks) + 1

    @property
    def finished(self) -> bool:
        """Whether every rep was answered."""
        return len(self.marks) >= self.count

    @property
    def is_ready(self) -> bool:
        """Whether `rep` would return (or say why it cannot) without waiting."""
        return self._rep is not None or (not self.finished and self._reps.is_ready)

    @property
    def rep(self) -> Rep:
        """The present rep, made or waited for when it is first asked for.

        Where it cannot be made its error is raised; asked again, another is tried under the same number.
        """
        if self.finished:
            raise ValueError(f"all {self.count} reps of the block are answered: there is no further one")
        if self._rep is None:
            self._rep = next(self._reps)
            self._heard_at = None
            self._flips = 0
        return self._rep

    def heard(self) -> None:
        """Note that the present rep sounds for the first time: its response time counts from here."""
        self._heard_at = self._heard_at or self._now()

    def flipped(self) -> None:
        """Note that plain and changed were exchanged."""
        self._flips += 1

    def answer(self, given: Answer | None) -> Outcome:
        """Grade and remember an answer (None: gave up) and go on; the outcome may then be revealed.

        Raises
        ------
        Refused
            If the answer does not fit the fields.
        Exception
            Whatever ``remember`` raises. In both cases nothing is counted, and the rep can be answered again.
        """
        rep = self.rep
        outcome = Outcome(rep, given, grade(given, rep.answer, rep.question, rep.exercise))
        attempt = self._attempt(outcome)
        self._remember(attempt)
        self.marks.append(mark_of(attempt))
        self._rep = None
        return outcome

    def _attempt(self, outcome: Outcome) -> Attempt:
        rep, now = outcome.rep, self._now()
        return Attempt(
            uid=self._new_uid(),
            at=now,
            learner=self.learner,
            block=self.sitting.uid,
            exercise=rep.exercise.key,
            rep_code=rep.code,
            show=rep.spec.show,
            seed=rep.spec.seed,
            size=rep.question.size,
            unit=rep.exercise.ladder.unit,
            target=rep.question.target,
            right_answer=rep.answer,
            given_answer=outcome.given or {},
            asked=asked_text(rep.question),
            marks=outcome.grade.marks,
            score=outcome.grade.score,
            right=outcome.grade.right,
            evidence=self._evidence(outcome),
            response_s=(now - (self._heard_at or now)).total_seconds(),
            flips=self._flips,
            setup=self._setup,
            quiz_item=self._quiz_items[self.number - 1] if self._quiz_items else "",
            version=__version__,
        )

    def _evidence(self, outcome: Outcome) -> tuple[Evidence, ...]:
        """Return what an answer says about the ear; a quiz's is kept apart."""
        rep = outcome.rep
        evidence = evidence_of(
            rep.exercise, outcome.given, rep.answer, rep.question, bands=rep.bands, grade=outcome.grade
        )
        return in_quiz(evidence) if self.is_quiz else evidence
