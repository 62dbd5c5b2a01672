"""A quiz: the same items for everyone, each with what is asked and what is true; kept as a record."""

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from trainer.practice import catalogue
from trainer.practice.attempt import Attempt
from trainer.practice.deal import Rep
from trainer.practice.exercise import Question
from trainer.practice.question_text import plain_question, question_from
from trainer.practice.values import Answer, answer_from, plain_answer
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
    kind
        The kind of question it was made as: an exercise that comes to mean another thing by its sizes has another.
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
    kind: str


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


@dataclass(frozen=True, slots=True)
class UnreadableQuiz:
    """A quiz that asks with fields that no exercise installed here brings; ``reason`` says so in one sentence."""

    uid: str
    title: str
    reason: str


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
        kind=rep.exercise.kind(rep.question.scope),
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
            "answer": plain_answer(item.answer),
            "bands": [[band_hz, weight] for band_hz, weight in item.bands.items()],
            "kind": item.kind,
        }
        for item in quiz.items
    ]
    return record_of(QUIZ_KIND, quiz.uid, {"title": quiz.title, "items": items}, at=quiz.made_at)


def quizzes_of(store: Store) -> tuple[Quiz, ...]:
    """Return the quizzes that are kept and can be read here, the newest first; `unreadable_quizzes` are the rest."""
    quizzes = [quiz for quiz in _read(store) if isinstance(quiz, Quiz)]
    return tuple(sorted(quizzes, key=lambda quiz: (quiz.made_at, quiz.uid), reverse=True))


def unreadable_quizzes(store: Store) -> tuple[UnreadableQuiz, ...]:
    """Return the quizzes that are kept and cannot be read here."""
    return tuple(quiz for quiz in _read(store) if isinstance(quiz, UnreadableQuiz))


def quiz_lengths(store: Store) -> dict[str, int]:
    """Return how many items each quiz has, by its uid, those that cannot be read here included."""
    records = store.records.of_kind(QUIZ_KIND)
    return {record.key: len(json.loads(record.body)["items"]) for record in records}


def quiz_with_uid(store: Store, uid: str) -> Quiz:
    """Return the quiz of a uid that is kept."""
    return next(quiz for quiz in quizzes_of(store) if quiz.uid == uid)


def quiz_named(quizzes: Iterable[Quiz], typed: str, *, unreadable: Iterable[UnreadableQuiz] = ()) -> Quiz:
    """Return the quiz whose title, or the beginning of whose uid, was typed; the newest where nothing was.

    Raises
    ------
    Refused
        If there is none, there are several, or it cannot be read here.
    """
    there = tuple(quizzes)
    said = typed.strip().casefold()
    for quiz in unreadable:
        if said and (said == quiz.title.casefold() or quiz.uid.startswith(said)):
            raise Refused(f"{quiz.title!r} cannot be read: {quiz.reason}")
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


def _read(store: Store) -> list[Quiz | UnreadableQuiz]:
    """Return every quiz, read as far as it can be; kinds of fields are known once all exercises are loaded."""
    records = list(store.records.of_kind(QUIZ_KIND))
    found = list(map(_quiz_or_reason, records))
    if any(isinstance(quiz, UnreadableQuiz) for quiz in found):
        catalogue.load()
        found = list(map(_quiz_or_reason, records))
    return found


def _quiz_or_reason(record: Record) -> Quiz | UnreadableQuiz:
    try:
        return _quiz_from(record)
    except Refused as why:
        return UnreadableQuiz(record.key, str(json.loads(record.body)["title"]), str(why))


def _quiz_from(record: Record) -> Quiz:
    content = json.loads(record.body)
    items = tuple(_item_from(number, plain) for number, plain in enumerate(content["items"], 1))
    return Quiz(record.key, str(content["title"]), record.at, items)


def _item_from(number: int, plain: Mapping[str, Any]) -> QuizItem:
    question = question_from(plain["question"])
    return QuizItem(
        number=number,
        exercise=plain["exercise"],
        title=plain["title"],
        code=plain["code"],
        show=plain["show"],
        seed=int(plain["seed"]),
        unit=plain["unit"],
        question=question,
        answer=answer_from(plain["answer"]),
        bands={float(band_hz): float(weight) for band_hz, weight in plain["bands"]},
        kind=plain.get("kind", f"{plain['exercise']}/{question.scope}"),
    )
