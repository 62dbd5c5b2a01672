"""The answer sheet and the key of a quiz, as values: what a class writes on, and what staff mark by."""

from trainer.practice.exercise import described
from trainer.practice.fields import BandField, Field
from trainer.season.pages import AnswerSheet, SheetItem
from trainer.season.quiz import Quiz, QuizItem


def answer_sheet(quiz: Quiz) -> AnswerSheet:
    """Return what is printed: the questions and what can be answered; nothing of the answers."""
    return AnswerSheet(quiz.title, quiz.code, tuple(map(_sheet_item, quiz.items)))


def _sheet_item(item: QuizItem) -> SheetItem:
    fields = tuple((field.title, _labels(field)) for field in item.question.fields)
    return SheetItem(item.number, item.question.text, fields)


def _labels(field: Field) -> tuple[str, ...]:
    """Return the options' words; of octave bands the short ones."""
    if isinstance(field, BandField):
        return tuple(_short(float(option)) for option in field.options)
    return tuple(field.label(option) for option in field.options)


def _short(band_hz: float) -> str:
    return f"{band_hz / 1000:g}k" if band_hz >= 1000 else f"{band_hz:g}"


def key_line(item: QuizItem) -> str:
    """Return what was true of an item, in words."""
    return f"{described(item.answer, item.question)} (size {item.question.size:g} {item.unit})"
