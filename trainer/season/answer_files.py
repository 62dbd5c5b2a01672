"""Answers that come back: typed into a table by staff, or in the file that a sealed pack's page or drill wrote."""

import csv
import io
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
from trainer.practice.typed import read_whole
from trainer.practice.values import Answer, plain_answer
from trainer.progress.files import replacing
from trainer.progress.names import learner_name
from trainer.refusal import Refused
from trainer.season.quiz import Quiz, QuizItem

ANSWERS_KIND = "yardline-answers"
HEX = frozenset("0123456789abcdef")
HOW_TO_TYPE = (
    "Type an answer as you would say it: 500 boost. Several changes: 500 boost; 2k cut (nothing: there is none). "
    "A list and something else: 500 boost; 2k cut | -3.5."
)


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
    evidence = evidence_of(exercise, given, item.answer, item.question, bands=item.bands, grade=marked)
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


def read_table(quiz: Quiz, path: Path, *, at: datetime) -> list[Returned]:
    """Return the answers in a CSV file: a line a learner, ``name`` first, then a column an item.

    Raises
    ------
    Refused
        If it cannot be read, or a cell is no answer; the message names the line and the item.
    """
    text = _text_of(path)
    separator = ";" if text.partition("\n")[0].count(";") > text.partition("\n")[0].count(",") else ","
    header, *lines = list(csv.reader(io.StringIO(text, newline=""), delimiter=separator)) or [[]]
    columns = _columns(quiz, [cell.strip() for cell in header], path)
    filled = [(number, line) for number, line in enumerate(lines, 2) if any(cell.strip() for cell in line)]
    found = [
        _line(line, columns, width=len(header), at=at, where=f"{path.name}, line {n}") for n, line in filled
    ]
    names = [one.learner.casefold() for one in found]
    if twice := next((one.learner for one in found if names.count(one.learner.casefold()) > 1), None):
        raise Refused(f"{path.name} holds {twice!r} in two lines: keep one of them")
    if not found:
        raise Refused(f"{path.name} holds no answers: type a line a learner under its first line")
    return found


def _columns(quiz: Quiz, header: list[str], path: Path) -> dict[int, QuizItem]:
    """Return which item stands in which column."""
    items = {str(item.number): item for item in quiz.items}
    if not header or header[0].casefold() not in ("name", "learner"):
        raise Refused(f"{path.name} begins with a line that names its columns: name, 1, 2, … {len(items)}")
    for title in header[1:]:
        if title and title not in items:
            raise Refused(f"{path.name} has a column {title!r}; this quiz has items 1 to {len(items)}")
    return {place: items[title] for place, title in enumerate(header) if title in items}


def _line(
    line: list[str], columns: Mapping[int, QuizItem], *, width: int, at: datetime, where: str
) -> Returned:
    answers: dict[int, Answer] = {}
    if len(line) > width and any(cell.strip() for cell in line[width:]):
        raise Refused(
            f"{where}: there are {len(line)} cells under {width} columns; an answer that holds a comma or a semicolon "
            'stands in quotation marks, as in "500 boost; 2k cut"'
        )
    for place, item in columns.items():
        cell = line[place].strip() if place < len(line) else ""
        if not cell:
            continue
        try:
            answers[item.number] = read_whole(item.question.fields, cell)
        except Refused as why:
            raise Refused(f"{where}, item {item.number}: {why}") from why
    try:
        name = learner_name(line[0])
    except Refused as why:
        raise Refused(f"{where}: {why}") from why
    return Returned(name, at, "", answers)


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
        content = json.loads(_text_of(path))
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


def _text_of(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8-sig")
    except OSError as error:
        raise Refused(f"{path} cannot be read: {error.strerror or error}") from error
    except UnicodeDecodeError as error:
        raise Refused(f"{path} is not UTF-8 text: save it as CSV UTF-8 (or as JSON) again") from error
