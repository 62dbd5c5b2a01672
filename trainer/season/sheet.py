"""The answer sheet and the key of a quiz, as values: what a class writes on, and what staff mark by."""

from collections.abc import Mapping, Sequence

from trainer.practice.control_field import ControlField
from trainer.practice.exercise import described
from trainer.practice.fields import Field, OptionField
from trainer.practice.list_field import NOTHING, ListField
from trainer.season.pages import AnswerSheet, SheetBlank, SheetChoice, SheetField, SheetItem, SheetRows
from trainer.season.quiz import Quiz, QuizItem


def answer_sheet(quiz: Quiz) -> AnswerSheet:
    """Return what is printed: the questions and what can be answered; nothing of the answers."""
    return AnswerSheet(quiz.title, quiz.code, tuple(map(_sheet_item, quiz.items)))


def _sheet_item(item: QuizItem) -> SheetItem:
    return SheetItem(item.number, item.question.text, tuple(map(_sheet_field, item.question.fields)))


def _sheet_field(field: Field) -> SheetField:
    if isinstance(field, OptionField):
        return _choice(field)
    if isinstance(field, ListField):
        return SheetRows(field.title, tuple(map(_choice, field.of)), field.most, NOTHING)
    if isinstance(field, ControlField):
        return SheetBlank(field.title, field.unit, f"{field.low:g} to {field.high:g}")
    raise TypeError(f"no sheet asks for a {type(field).__name__}")


def _choice(field: OptionField) -> SheetChoice:
    return SheetChoice(field.title, tuple(field.short(option) for option in field.options))


SheetNumbers = Mapping[str, Mapping[str, int]]
"""The title of a field to the words of its options to their numbers."""


def sheet_numbers(items: Sequence[SheetItem]) -> SheetNumbers:
    """Return a number for every option of every choice, over all items, in the order they come."""
    found: dict[str, dict[str, int]] = {}
    for item in items:
        for one in item.fields:
            if isinstance(one, SheetChoice):
                there = found.setdefault(one.title, {})
                for option in one.options:
                    there.setdefault(option, len(there) + 1)
    return found


def key_line(item: QuizItem) -> str:
    """Return what was true of an item, in words."""
    size = f" (size {item.question.size:g} {item.unit})" if item.unit else ""
    return f"{described(item.answer, item.question)}{size}"
