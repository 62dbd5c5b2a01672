"""Answers that come back, in the file that a sealed pack's page or drill wrote; and what is remembered of them."""

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from uuid import NAMESPACE_OID, uuid5

from trainer import __version__
from trainer.practice.attempt import Attempt
from trainer.practice.evidence import in_quiz
from trainer.practice.exercise import Exercise, Question
from trainer.practice.grading import checked, evidence_of, grade
from trainer.practice.question_text import asked_text
from trainer.practice.values import Answer, plain_answer
from trainer.progress.files import replacing
from trainer.progress.names import learner_name
from trainer.refusal import Refused
from trainer.season.quiz import Quiz, QuizItem
from trainer.season.text_files import text_of

ANSWERS_KIND = "yardline-answers"
HEX = frozenset("0123456789abcdef")


@dataclass(frozen=True, slots=True)
class Returned:
    """What one learner answered: item number to answer; an item that is missing was not answered.

    ``sitting`` is the uid the answers are kept under, or empty where only staff can say (paper).
    """

    learner: str
    at: datetime
    sitting: str
    answers: Mapping[int, Answer] = field(hash=False)


def attempts_of(quiz: Quiz, returned: Returned, exercises: Mapping[str, Exercise]) -> list[Attempt]:
    """Return what is remembered of returned answers: an attempt an item; the same answers give the same.

    Parameters
    ----------
    exercises
        Those that are installed, by key: each marks its items, and says what an answer says about an ear.

    Raises
    ------
    Refused
        If the exercise of an item is not among them.
    """
    if missing := sorted({item.exercise for item in quiz.items}.difference(exercises)):
        raise Refused(
            f"{quiz.title!r} asks {missing[0]!r}, an exercise that is not installed here: install what brings it, "
            "then mark again"
        )
    return [_attempt(quiz, item, returned, exercises[item.exercise]) for item in quiz.items]


def sitting_of(quiz: Quiz, learner: str, number: int) -> str:
    """Return the uid of somebody's so-and-so-many-eth sitting on paper: the same on every laptop."""
    return uuid5(NAMESPACE_OID, f"{quiz.uid}:{learner}:{number}").hex


def _attempt(quiz: Quiz, item: QuizItem, returned: Returned, exercise: Exercise) -> Attempt:
    given = returned.answers.get(item.number) or None
    marked = grade(given, item.answer, item.question, exercise)
    evidence = evidence_of(
        exercise, given, item.answer, item.question, bands=item.bands, grade=marked, kind=item.kind
    )
    return Attempt(
        uid=uuid5(NAMESPACE_OID, f"{returned.sitting}:{item.number}").hex,
        at=returned.at,
        learner=returned.learner,
        block=returned.sitting,
        exercise=item.exercise,
        rep_code=item.code,
        show=item.show,
        seed=item.seed,
        size=item.question.size,
        unit=item.unit,
        target=item.question.target,
        right_answer=item.answer,
        given_answer=given or {},
        asked=asked_text(item.question),
        marks=marked.marks,
        score=marked.score,
        right=marked.right,
        evidence=in_quiz(evidence),
        response_s=0.0,
        flips=0,
        setup="",
        quiz_item=quiz.key_of(item),
        version=__version__,
    )


def read_answers(quiz: Quiz, path: Path) -> Returned:
    """Return the answers in a file that a sealed pack gave back.

    Raises
    ------
    Refused
        If it is no such file, or belongs to another quiz.
    """
    return _returned(quiz.uid, quiz.title, {item.number: item.question for item in quiz.items}, path)


def begun_answers(uid: str, title: str, questions: Mapping[int, Question], path: Path) -> Returned | None:
    """Return the answers to a sealed pack that a file holds so far; None where there is no file."""
    return _returned(uid, title, questions, path) if path.exists() else None


def _returned(uid: str, title: str, questions: Mapping[int, Question], path: Path) -> Returned:
    try:
        content = json.loads(text_of(path))
        is_ours = content["kind"] == ANSWERS_KIND
        answered, sitting = str(content["quiz"]), str(content["sitting"])
        at = datetime.fromisoformat(content["begun_at"])
        given = {int(number): answer for number, answer in content["answers"].items()}
        name = learner_name(str(content["learner"]))
    except (ValueError, KeyError, TypeError, AttributeError) as why:
        raise Refused(f"{path.name} is no file of answers to a quiz") from why
    if not is_ours or len(sitting) != 32 or not set(sitting) <= HEX or at.tzinfo is None:
        raise Refused(f"{path.name} is no file of answers to a quiz")
    if answered != uid:
        raise Refused(f"{path.name} answers another quiz ({answered[:6]}), not {title!r} ({uid[:6]})")
    if strange := sorted(set(given) - set(questions)):
        raise Refused(f"{path.name} answers an item {strange[0]}; this quiz has items 1 to {len(questions)}")
    answers = {
        number: _whole(questions[number], answer, f"{path.name}, item {number}")
        for number, answer in given.items()
    }
    return Returned(name, at.astimezone(UTC), sitting, answers)


def _whole(question: Question, given: object, where: str) -> Answer:
    """Return an answer; where a field is not filled in, an empty one: what is not finished is not given."""
    if not isinstance(given, dict):
        raise Refused(f"{where}: {given!r} is no answer")
    if any(one.key not in given for one in question.fields):
        return {}
    try:
        return checked(given, question)
    except Refused as why:
        raise Refused(f"{where}: {why}") from why


def write_answers(
    path: Path, *, quiz: str, sitting: str, learner: str, begun_at: datetime, answers: Mapping[int, Answer]
) -> None:
    """Write answers as the page of a sealed pack does."""
    content = {
        "kind": ANSWERS_KIND,
        "quiz": quiz,
        "sitting": sitting,
        "learner": learner,
        "begun_at": begun_at.isoformat(),
        "answers": {str(number): plain_answer(answer) for number, answer in answers.items()},
    }
    with replacing(path) as beside:
        beside.write_text(json.dumps(content, ensure_ascii=False, indent=1) + "\n", encoding="utf-8")
