"""Marking a quiz: from attempts to sheets and scores, guessing taken away; by field and by octave band.

An item is worth what its exercise says, most often the product of its fields' marks: for octave tone that is 1, .5,
.2 or 0 for a band 0, 1, 2 or more octaves off, times 1 for the right way and .4 for the wrong one. An item that was
not answered is worth nothing. A shown score is 0 for what guessing gives on average and 1 for everything right.
"""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from trainer.practice.attempt import Attempt
from trainer.practice.evidence import is_named
from trainer.practice.exercise import Exercise
from trainer.progress.store import Store
from trainer.refusal import Refused
from trainer.season.answer_files import Returned, attempts_of, sitting_of
from trainer.season.quiz import Quiz, QuizItem, number_of
from trainer.season.quiz_sittings import allowed_sittings, sittings_taken


@dataclass(frozen=True, slots=True)
class Sheet:
    """What one learner answered in one sitting, by item number."""

    learner: str
    block: str
    attempts: Mapping[int, Attempt] = field(hash=False)

    @property
    def answered(self) -> int:
        """How many items were answered (giving one up is no answer)."""
        return sum(bool(attempt.given_answer) for attempt in self.attempts.values())

    def credit(self, item: QuizItem) -> float:
        """Return what an item was worth; nothing if it was not answered."""
        attempt = self.attempts.get(item.number)
        return 0.0 if attempt is None else attempt.score

    def is_right(self, item: QuizItem) -> bool:
        """Return whether all of an item was right."""
        attempt = self.attempts.get(item.number)
        return attempt is not None and attempt.right

    def is_named(self, item: QuizItem) -> bool:
        """Return whether what an item is about was named (by how much is left out)."""
        attempt = self.attempts.get(item.number)
        if attempt is None:
            return False
        return is_named(attempt.evidence) if attempt.evidence else attempt.right


def sheets_of(attempts: Iterable[Attempt]) -> list[Sheet]:
    """Return one sheet a learner: of several sittings the first whole one, or else the fullest; by name."""
    by_sitting: dict[tuple[str, str], dict[int, Attempt]] = {}
    for attempt in attempts:
        by_sitting.setdefault((attempt.learner, attempt.block), {}).setdefault(number_of(attempt), attempt)
    chosen: dict[str, Sheet] = {}
    for (learner, block), answers in by_sitting.items():
        there = chosen.get(learner)
        if there is None or len(there.attempts) < len(answers):
            chosen[learner] = Sheet(learner, block, answers)
    return [chosen[learner] for learner in sorted(chosen)]


def guessed(item: QuizItem) -> float:
    """Return what an item is worth on average to somebody who guesses evenly."""
    return math.prod(one.guessed(item.answer[one.key]) for one in item.question.fields)


def beyond_guessing(reached: Sequence[float], by_guessing: Sequence[float]) -> float:
    """Return a mean of credits as it is shown: 0 for guessing (or worse), 1 for everything right.

    Where there was but one thing to answer it is shown as it is: no guessing can be taken away.
    """
    mean, chance = float(np.mean(reached)), float(np.mean(by_guessing))
    return max(0.0, (mean - chance) / (1.0 - chance)) if chance < 1.0 else mean


def score_of(quiz: Quiz, sheet: Sheet) -> float:
    """Return the shown score of a sheet."""
    return beyond_guessing(
        [sheet.credit(item) for item in quiz.items], [guessed(item) for item in quiz.items]
    )


def scores_by_field(quiz: Quiz, sheet: Sheet) -> dict[str, float]:
    """Return the shown score of each field by its title, over the items that have it."""
    found: dict[str, tuple[list[float], list[float]]] = {}
    for item in quiz.items:
        attempt = sheet.attempts.get(item.number)
        for one in item.question.fields:
            reached, chances = found.setdefault(one.title, ([], []))
            reached.append(0.0 if attempt is None else attempt.marks.get(one.key, 0.0))
            chances.append(one.guessed(item.answer[one.key]))
    return {title: beyond_guessing(reached, chances) for title, (reached, chances) in found.items()}


def scores_by_band(quiz: Quiz, sheet: Sheet) -> dict[float, float]:
    """Return the shown score of each octave band that items count for most, low to high."""
    found: dict[float, list[QuizItem]] = {}
    for item in quiz.items:
        if item.bands:
            found.setdefault(max(item.bands, key=lambda band_hz: item.bands[band_hz]), []).append(item)
    return {
        band_hz: beyond_guessing([sheet.credit(item) for item in items], [guessed(item) for item in items])
        for band_hz, items in sorted(found.items())
    }


def mark(
    store: Store, quiz: Quiz, returned: Sequence[Returned], exercises: Mapping[str, Exercise]
) -> tuple[list[Sheet], int]:
    """Mark what was returned and remember it, all or nothing; return the sheets, and how many were new.

    Raises
    ------
    Refused
        If somebody has had all the sittings they are allowed, with other answers than these, or an exercise of the
        quiz is not installed.
    """
    there = {one.learner: sheets_by_block(store, quiz, one.learner) for one in returned}
    fresh = [
        one for one in returned if not any(_is_of(sheet, quiz, one) for sheet in there[one.learner].values())
    ]
    placed = [_placed(store, quiz, one, there[one.learner]) for one in fresh]
    store.log.add_all(attempt for one in placed for attempt in attempts_of(quiz, one, exercises))
    names = {one.learner for one in returned}
    return [sheet for sheet in sheets_of(store.log.attempts(quiz=quiz.uid)) if sheet.learner in names], len(
        fresh
    )


def _is_of(sheet: Sheet, quiz: Quiz, returned: Returned) -> bool:
    """Return whether a sitting holds just these answers."""
    given = {number: dict(one.given_answer) for number, one in sheet.attempts.items() if one.given_answer}
    said = {number: dict(answer) for number, answer in returned.answers.items() if answer}
    return len(sheet.attempts) == len(quiz.items) and given == said


def _placed(store: Store, quiz: Quiz, returned: Returned, there: Mapping[str, Sheet]) -> Returned:
    """Return answers with the uid of the sitting they are kept under."""
    if returned.sitting in there or len(there) >= allowed_sittings(store, quiz, returned.learner):
        begun = sittings_taken(store, quiz, returned.learner)[-1].begun_at
        raise Refused(
            f"{returned.learner} has taken {quiz.title!r} already, on {begun:%Y-%m-%d}, with other answers: take "
            f"them out, or run `yardline quiz allow {quiz.code} NAME` first; nothing was marked"
        )
    return replace(returned, sitting=returned.sitting or sitting_of(quiz, returned.learner, len(there) + 1))


def sheets_by_block(store: Store, quiz: Quiz, learner: str) -> dict[str, Sheet]:
    """Return every sitting of a learner's, by its uid."""
    found: dict[str, dict[int, Attempt]] = {}
    for attempt in store.log.attempts(quiz=quiz.uid, learner=learner):
        found.setdefault(attempt.block, {})[number_of(attempt)] = attempt
    return {block: Sheet(learner, block, attempts) for block, attempts in found.items()}
