"""Answers on paper, typed by staff: a table with a line a learner, or item by item."""

import csv
import io
from collections.abc import Mapping
from datetime import datetime
from pathlib import Path

from trainer.practice.exercise import Question
from trainer.practice.fields import Field, OptionField
from trainer.practice.typed import read_whole
from trainer.practice.values import Answer
from trainer.progress.names import learner_name
from trainer.refusal import Refused
from trainer.season.answer_files import Returned
from trainer.season.pages import SHEET_NUMBER
from trainer.season.quiz import Quiz, QuizItem
from trainer.season.sheet import SheetNumbers, answer_sheet, sheet_numbers
from trainer.season.text_files import text_of

HOW_TO_TYPE = (
    "Type an answer as you would say it: 500 boost. Several changes: 500 boost; 2k cut (nothing: there is none). "
    "A list and something else: 500 boost; 2k cut | -3.5. A number of the sheet: #14."
)


def numbers_of_sheet(quiz: Quiz) -> SheetNumbers:
    """Return what the numbers on the printed sheet of a quiz mean."""
    return sheet_numbers(answer_sheet(quiz).items)


def read_typed(question: Question, typed: str, numbers: SheetNumbers) -> Answer:
    """Return an answer typed in one line, as it is said (``500 boost``) or with numbers of the sheet (``#14 up``).

    Raises
    ------
    Refused
        If it is no answer to the question; the message says what would be.
    """
    parts = typed.split("," if "," in typed else None)
    if SHEET_NUMBER in typed and len(parts) == len(question.fields):
        pairs = zip(question.fields, parts, strict=True)
        typed = ",".join(_said(one, part.strip(), numbers) for one, part in pairs)
    return read_whole(question.fields, typed)


def _said(one: Field, part: str, numbers: SheetNumbers) -> str:
    """Return what a number of the sheet stands for, by its key; anything else as it is."""
    if not part.startswith(SHEET_NUMBER) or not isinstance(one, OptionField):
        return part
    meant = {f"{SHEET_NUMBER}{number}": words for words, number in numbers.get(one.title, {}).items()}
    option = next((key for key in one.options if one.short(key) == meant.get(part)), None)
    if option is None:
        raise Refused(f"{part} stands for no {one.title} of this item on the answer sheet")
    return str(option)


def read_table(quiz: Quiz, path: Path, *, at: datetime) -> list[Returned]:
    """Return the answers in a CSV file: a line a learner, ``name`` first, then a column an item.

    Raises
    ------
    Refused
        If it cannot be read, or a cell is no answer; the message names the line and the item.
    """
    text = text_of(path)
    separator = ";" if text.partition("\n")[0].count(";") > text.partition("\n")[0].count(",") else ","
    header, *lines = list(csv.reader(io.StringIO(text, newline=""), delimiter=separator)) or [[]]
    columns = _columns(quiz, [cell.strip() for cell in header], path)
    numbers = numbers_of_sheet(quiz)
    filled = [(number, line) for number, line in enumerate(lines, 2) if any(cell.strip() for cell in line)]
    found = [
        _line(line, columns, numbers, width=len(header), at=at, where=f"{path.name}, line {n}")
        for n, line in filled
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
    line: list[str],
    columns: Mapping[int, QuizItem],
    numbers: SheetNumbers,
    *,
    width: int,
    at: datetime,
    where: str,
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
            answers[item.number] = read_typed(item.question, cell, numbers)
        except Refused as why:
            raise Refused(f"{where}, item {item.number}: {why}") from why
    try:
        name = learner_name(line[0])
    except Refused as why:
        raise Refused(f"{where}: {why}") from why
    return Returned(name, at, "", answers)
