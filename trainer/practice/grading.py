"""Grading: one mark for each field, and one score, the same for every exercise."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from trainer.practice.exercise import Answer, Question


@dataclass(frozen=True, slots=True)
class Grade:
    """What an answer was worth: ``marks`` field by field, ``score`` their product, ``right`` if all are 1."""

    marks: Mapping[str, float]
    score: float
    right: bool


def grade(given: Answer | None, right: Answer, question: Question) -> Grade:
    """Return the grade of an answer; of none (the learner gave up), zero in every field.

    Raises
    ------
    ValueError
        If a field is missing from the answer, or holds something that was not on offer.
    """
    if given is None:
        return Grade({field.key: 0.0 for field in question.fields}, 0.0, right=False)
    for field in question.fields:
        if given.get(field.key) not in field.options:
            came = repr(given[field.key]) if field.key in given else "nothing"
            offered = ", ".join(field.label(option) for option in field.options)
            raise ValueError(f"the {field.title} was answered with {came}; on offer are {offered}")
    marks = {field.key: field.mark(given[field.key], right[field.key]) for field in question.fields}
    return Grade(marks, math.prod(marks.values()), right=all(mark == 1.0 for mark in marks.values()))
