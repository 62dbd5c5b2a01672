"""A quiz: the same items for everyone, each with what is asked and what is true; kept as a record."""

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from trainer.practice.attempt import Attempt
from trainer.practice.deal import Rep
from trainer.practice.exercise import Question
from trainer.practice.question_text import plain_question, question_from
from trainer.practice.values import Answer, Value
from trainer.progress.records import Record, record_of
from trainer.progress.store import Store
from trainer.refusal import Refused

QUIZ_KIND = "quiz"
SHOWN_LETTERS = 6
"""So much of a quiz's uid tells it from others where people type it."""


@dataclass(frozen=True, slots=True)
class QuizItem:
    """One item.

    Attributes
    ----------
    number
        From 1.
    exercise, title
        The exercise's key, and its title.
    code
        The rep code: it holds the answer.
    show, seed, unit
        As an attempt keeps them.
    question, answer
        What is asked, and what is true.
    bands
        The octave bands it counts for, nominal hertz to weight.
    """

    number: int
    exercise: str
    title: str
    code: str
    show: str
    seed: int
    unit: str
    question: Question
    answer: Answer = field(hash=False)
    bands: Mapping[float, float] = field(hash=False)


@dataclass(frozen=True, slots=True)
class Quiz:
    """A quiz: its items in their order, and when it was made (UTC)."""

    uid: str
    title: str
    made_at: datetime
    items: tuple[QuizItem, ...]

    @property
    def code(self) -> str:
        """What people call it by: the beginning of its uid."""
        return self.uid[:SHOWN_LETTERS]

    def key_of(self, item: QuizItem) -> str:
        """Return what an attempt names an item by."""
        return f"{self.uid}:{item.number:03d}"


def item_of(rep: Rep, number: int) -> QuizItem:
    """Return a rep as an item; none of its sound is kept."""
    return QuizItem(
        number=number,
        exercise=rep.exercise.key,
        title=rep.exercise.title,
        code=rep.code,
        show=rep.spec.show,
        seed=rep.spec.seed,
        unit=rep.exercise.ladder.unit,
        question=rep.question,
        answer=dict(rep.answer),
        bands=dict(rep.bands),
    )


def number_of(attempt: Attempt) -> int:
    """Return the number of the item that an attempt answered."""
    return int(attempt.quiz_item.rpartition(":")[2])


def keep_quiz(store: Store, quiz: Quiz) -> None:
    """Keep a quiz."""
    store.records.put([quiz_record(quiz)])


def quiz_record(quiz: Quiz) -> Record:
    """Return the record that keeps a quiz."""
    items = [
        {
            "exercise": item.exercise,
            "title": item.title,
            "code": item.code,
            "show": item.show,
            "seed": item.seed,
            "unit": item.unit,
            "question": plain_question(item.question),
            "answer": dict(item.answer),
            "bands": [[band_hz, weight] for band_hz, weight in item.bands.items()],
        }
        for item in quiz.items
    ]
    return record_of(QUIZ_KIND, quiz.uid, {"title": quiz.title, "items": items}, at=quiz.made_at)


def quizzes_of(store: Store) -> tuple[Quiz, ...]:
    """Return the quizzes that are kept, the newest first."""
    quizzes = map(_quiz_from, store.records.of_kind(QUIZ_KIND))
    return tuple(sorted(quizzes, key=lambda quiz: (quiz.made_at, quiz.uid), reverse=True))


def quiz_with_uid(store: Store, uid: str) -> Quiz:
    """Return the quiz of a uid that is kept."""
    return next(quiz for quiz in quizzes_of(store) if quiz.uid == uid)


def quiz_named(quizzes: Iterable[Quiz], typed: str) -> Quiz:
    """Return the quiz whose title, or the beginning of whose uid, was typed; the newest where nothing was.

    Raises
    ------
    Refused
        If there is none, or there are several.
    """
    there = tuple(quizzes)
    said = typed.strip().casefold()
    if not there:
        raise Refused("there is no quiz yet: `yardline quiz new` makes one")
    found = [quiz for quiz in there if said in (quiz.uid, quiz.title.casefold())] or [
        quiz for quiz in there if quiz.uid.startswith(said)
    ]
    if not said or len(found) == 1:
        return there[0] if not said else found[0]
    names = ", ".join(f"{quiz.code} ({quiz.title})" for quiz in found or there)
    raise Refused(
        f"{typed!r} names more than one quiz: {names}"
        if found
        else f"there is no quiz {typed!r}; there are {names}"
    )


def _quiz_from(record: Record) -> Quiz:
    content = json.loads(record.body)
    items = tuple(_item_from(number, plain) for number, plain in enumerate(content["items"], 1))
    return Quiz(record.key, str(content["title"]), record.at, items)


def _item_from(number: int, plain: Mapping[str, Any]) -> QuizItem:
    answer: dict[str, Value] = dict(plain["answer"])
    return QuizItem(
        number=number,
        exercise=plain["exercise"],
        title=plain["title"],
        code=plain["code"],
        show=plain["show"],
        seed=int(plain["seed"]),
        unit=plain["unit"],
        question=question_from(plain["question"]),
        answer=answer,
        bands={float(band_hz): float(weight) for band_hz, weight in plain["bands"]},
    )
