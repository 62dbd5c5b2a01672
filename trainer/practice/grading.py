"""Grading: an answer is checked against what was on offer, then worth what its exercise says."""

from collections.abc import Mapping

from trainer.practice.evidence import Evidence
from trainer.practice.exercise import AnswerGiven, Exercise, Grade, Question
from trainer.practice.values import Answer, Value
from trainer.refusal import Refused


def checked(given: Answer, question: Question) -> dict[str, Value]:
    """Return an answer as its fields hold it.

    Raises
    ------
    Refused
        If a field is missing from the answer, or holds something that was not on offer.
    """
    for one in question.fields:
        if one.key not in given:
            raise Refused(f"the {one.title} was left out; on offer are {one.hint}")
    return {one.key: one.checked(given[one.key]) for one in question.fields}


def grade(given: Answer | None, right: Answer, question: Question, exercise: Exercise) -> Grade:
    """Return the grade of an answer; of none (the learner gave up), zero in every field.

    Raises
    ------
    Refused
        If a field is missing from the answer, or holds something that was not on offer.
    """
    if given is None:
        return Grade({one.key: 0.0 for one in question.fields}, 0.0, right=False)
    return exercise.grade(checked(given, question), right, question)


def evidence_of(
    exercise: Exercise,
    given: Answer | None,
    right: Answer,
    question: Question,
    *,
    bands: Mapping[float, float],
    grade: Grade,
    kind: str = "",
) -> tuple[Evidence, ...]:
    """Return what a graded answer says about an ear; ``kind`` is that of a question asked by an earlier version."""
    return exercise.evidence(
        AnswerGiven(
            kind or exercise.kind(question.scope), exercise.ladder, question, right, given, grade, bands
        )
    )
