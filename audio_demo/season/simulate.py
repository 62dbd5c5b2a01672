"""The season itself: who answers what on which day, as attempts; the same for the same seed and time."""

import math
import uuid
import zlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from numpy.random import Generator, SeedSequence, default_rng

from audio_demo.season.answers import answer
from audio_demo.season.learners import Ear, Traits
from audio_demo.season.questions import EXERCISES, Asked, asked
from trainer import __version__
from trainer.practice.attempt import Attempt
from trainer.practice.exercise import Exercise
from trainer.practice.grading import evidence_of, grade
from trainer.practice.question_text import asked_text
from trainer.practice.rep_code import MOST_SEED, RepSpec, encode

SHOW = "tide-tables"
SETUP = "headphones"
DAYS_A_WEEK = 5
REPS_A_DAY = 25
REPS_SPREAD = 5
EVENING = timedelta(hours=17)
"""When the day's sitting may begin, UTC; within the two hours after."""


@dataclass(frozen=True, slots=True)
class Season:
    """A season of ``weeks`` whole weeks that ends on the Sunday before ``now``."""

    exercises: Mapping[str, Exercise]
    now: datetime
    weeks: int
    seed: int

    @property
    def start(self) -> datetime:
        """The Monday it begins on, at midnight UTC."""
        today = self.now.astimezone(UTC).replace(hour=0, minute=0, second=0, microsecond=0)
        return today - timedelta(days=today.weekday(), weeks=self.weeks)

    def attempts(self, traits: Traits) -> Iterator[list[Attempt]]:
        """Yield one learner's attempts, a week at a time."""
        rng = default_rng(SeedSequence([self.seed, zlib.crc32(traits.name.encode())]))
        ear = Ear.of(traits, rng)
        for week in range(self.weeks):
            days = range(7 * week, 7 * week + DAYS_A_WEEK)
            yield [attempt for day in days for attempt in self._sitting(ear, day, rng)]

    def _sitting(self, ear: Ear, day: int, rng: Generator) -> Iterator[Attempt]:
        """Yield the attempts of one evening: the exercises one after the other, a block each."""
        at = self.start + timedelta(days=day) + EVENING + timedelta(seconds=float(rng.uniform(0.0, 7200.0)))
        count = REPS_A_DAY + int(rng.integers(-REPS_SPREAD, REPS_SPREAD + 1))
        block, before = "", -1
        for place in range(count):
            kind = place * len(EXERCISES) // count
            if kind != before:
                block, before = _uid(rng), kind
            attempt = self._attempt(ear, EXERCISES[kind], day=day, at=at, block=block, rng=rng)
            at = attempt.at + timedelta(seconds=float(rng.uniform(4.0, 15.0)))
            yield attempt

    def _attempt(self, ear: Ear, key: str, *, day: int, at: datetime, block: str, rng: Generator) -> Attempt:
        exercise = self.exercises[key]
        rep = asked(exercise, rng)
        spec = RepSpec(key, SHOW, int(rng.integers(MOST_SEED)), rep.focus)
        given = answer(
            rep.question,
            rep.answer,
            threshold=threshold(ear, exercise, rep, day=day),
            says_up=ear.traits.says_up,
            rng=rng,
        )
        grades = grade(given, rep.answer, rep.question, exercise)
        evidence = evidence_of(exercise, given, rep.answer, rep.question, bands=rep.bands, grade=grades)
        response_s = float(5.0 + rng.lognormal(math.log(6.0), 0.5))
        return Attempt(
            uid=_uid(rng),
            at=at + timedelta(seconds=response_s),
            learner=ear.traits.name,
            block=block,
            exercise=key,
            rep_code=encode(spec),
            show=SHOW,
            seed=spec.seed,
            size=rep.question.size,
            unit=exercise.ladder.unit,
            target=rep.question.target,
            right_answer=rep.answer,
            given_answer=given,
            asked=asked_text(rep.question),
            marks=grades.marks,
            score=grades.score,
            right=grades.right,
            evidence=evidence,
            response_s=response_s,
            flips=2 + int(rng.poisson(3.0)),
            setup=SETUP,
            quiz_item="",
            version=__version__,
        )


def threshold(ear: Ear, exercise: Exercise, rep: Asked, *, day: float) -> float:
    """Return a learner's threshold for a question, in the exercise's unit.

    Notes
    -----
    The mean over the question's bands of ln T75; another exercise than octave tone is as hard at its
    ladder's start as octave tone is at 9 dB.
    """
    mean = sum(share * math.log(ear.t75_db(hz, day=day)) for hz, share in rep.bands.items())
    return math.exp(mean) * exercise.ladder.start / 9.0


def _uid(rng: Generator) -> str:
    return uuid.UUID(bytes=rng.bytes(16), version=4).hex
