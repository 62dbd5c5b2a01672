"""Grading: the score is the product of the fields' marks, right only when all are."""

import pytest

from trainer.practice.exercise import Question, guess_rate
from trainer.practice.fields import AmountField, BandField, DirectionField, WhichField
from trainer.practice.grading import grade

TONE = Question("which band?", (BandField(), DirectionField()), target="mix", size=6.0, scope="mix")
LEVEL = Question(
    "which?",
    (WhichField(("marimba", "vibraphone", "tubas")), DirectionField(("up", "down")), AmountField((3.0, 6.0))),
    target="",
    size=6.0,
    scope="stem",
)


def test_a_right_answer_scores_one() -> None:
    grade_ = grade({"band": 500.0, "direction": "cut"}, {"band": 500.0, "direction": "cut"}, TONE)
    assert (grade_.score, grade_.right, dict(grade_.marks)) == (1.0, True, {"band": 1.0, "direction": 1.0})


def test_regression_partial_credit_multiplies() -> None:
    right = {"band": 500.0, "direction": "cut"}
    assert grade({"band": 1000.0, "direction": "cut"}, right, TONE).score == pytest.approx(0.5)
    assert grade({"band": 500.0, "direction": "boost"}, right, TONE).score == pytest.approx(0.4)
    assert grade({"band": 1000.0, "direction": "boost"}, right, TONE).score == pytest.approx(0.2)
    assert grade({"band": 8000.0, "direction": "cut"}, right, TONE).score == 0.0
    level = grade(
        {"which": "marimba", "direction": "down", "amount": 3.0},
        {"which": "marimba", "direction": "up", "amount": 6.0},
        LEVEL,
    )
    assert level.score == pytest.approx(0.4 * 0.7)
    assert not level.right


def test_giving_up_scores_nothing() -> None:
    grade_ = grade(None, {"band": 500.0, "direction": "cut"}, TONE)
    assert (grade_.score, grade_.right, dict(grade_.marks)) == (0.0, False, {"band": 0.0, "direction": 0.0})


@pytest.mark.parametrize("given", [{}, {"band": 500.0}, {"band": 440.0, "direction": "cut"}])
def test_an_answer_that_was_not_on_offer_is_no_answer(given: dict[str, float]) -> None:
    with pytest.raises(ValueError, match="on offer are"):
        grade(given, {"band": 500.0, "direction": "cut"}, TONE)


def test_the_guess_rate_follows_the_options_on_offer() -> None:
    assert guess_rate(TONE) == pytest.approx(1 / 20)
    assert guess_rate(LEVEL) == pytest.approx(1 / 12)
