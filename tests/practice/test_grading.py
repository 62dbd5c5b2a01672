"""Grading: an answer is checked against what was on offer, and is then worth what its exercise says."""

from dataclasses import replace

import pytest

from exercises import level, octave_tone
from trainer.practice.exercise import Grade, Question, described, guess_rate
from trainer.practice.fields import AmountField, BandField, ChoiceField, DirectionField, WhichField
from trainer.practice.grading import checked, evidence_of, grade
from trainer.practice.values import Answer
from trainer.refusal import Refused

TONE = Question("which band?", (BandField(), DirectionField()), target="mix", size=6.0, scope="mix")
LEVEL = Question(
    "which?",
    (WhichField(("marimba", "vibraphone", "tubas")), DirectionField(("up", "down")), AmountField((3.0, 6.0))),
    target="",
    size=6.0,
    scope="stem",
)
CUT = {"band": 500.0, "direction": "cut"}


def toned(given: Answer | None) -> Grade:
    return grade(given, CUT, TONE, octave_tone.EXERCISE)


def test_a_right_answer_scores_one() -> None:
    found = toned(CUT)
    assert (found.score, found.right, dict(found.marks)) == (1.0, True, {"band": 1.0, "direction": 1.0})


def test_regression_partial_credit_multiplies() -> None:
    assert toned({"band": 1000.0, "direction": "cut"}).score == pytest.approx(0.5)
    assert toned({"band": 500.0, "direction": "boost"}).score == pytest.approx(0.4)
    assert toned({"band": 1000.0, "direction": "boost"}).score == pytest.approx(0.2)
    assert toned({"band": 8000.0, "direction": "cut"}).score == 0.0
    moved = grade(
        {"which": "marimba", "direction": "down", "amount": 3.0},
        {"which": "marimba", "direction": "up", "amount": 6.0},
        LEVEL,
        level.EXERCISE,
    )
    assert moved.score == pytest.approx(0.4 * 0.7)
    assert not moved.right


@pytest.mark.parametrize("wrong", [{"band": 1000.0}, {"direction": "boost"}])
def test_an_answer_with_one_field_wrong_is_not_right(wrong: dict[str, float | str]) -> None:
    assert not toned({**CUT, **wrong}).right


def test_giving_up_scores_nothing() -> None:
    found = toned(None)
    assert (found.score, found.right, dict(found.marks)) == (0.0, False, {"band": 0.0, "direction": 0.0})


@pytest.mark.parametrize("given", [{}, {"band": 500.0}, {"band": 440.0, "direction": "cut"}])
def test_an_answer_that_was_not_on_offer_is_no_answer(given: Answer) -> None:
    with pytest.raises(Refused, match="on offer are"):
        toned(given)


def test_a_field_left_out_is_not_taken_for_an_option_of_that_name() -> None:
    field = ChoiceField.of("fault", "fault", {"nothing": "nothing", "hum": "hum"})
    question = Question("what?", (field,), target="mix", size=6.0, scope="mix")
    assert checked({"fault": "nothing"}, question) == {"fault": "nothing"}
    with pytest.raises(Refused, match="the fault was left out; on offer are 1: nothing"):
        checked({}, question)


def test_an_answer_is_held_as_its_fields_hold_it_and_nothing_more() -> None:
    found = checked({"band": 500, "direction": "cut", "mood": "good"}, TONE)
    assert found == CUT
    assert isinstance(found["band"], float)


def test_an_exercise_may_mark_an_answer_its_own_way() -> None:
    """What it is given is the answer as the fields hold it; an answer that was given up it is not asked about."""
    seen: list[Answer] = []

    def lenient(given: Answer, right: Answer, question: Question) -> Grade:
        assert (right, question) == (CUT, TONE)
        seen.append(given)
        return Grade({"band": 0.9, "direction": 0.9}, 0.9, right=True)

    exercise = replace(octave_tone.EXERCISE, grade=lenient)
    assert grade({"band": 500, "direction": "boost"}, CUT, TONE, exercise).score == 0.9
    assert seen == [{"band": 500.0, "direction": "boost"}]
    assert grade(None, CUT, TONE, exercise).score == 0.0
    with pytest.raises(Refused):
        grade({"band": 440.0, "direction": "cut"}, CUT, TONE, exercise)


def test_what_an_answer_says_of_an_ear_is_what_its_exercise_says() -> None:
    bands = {500.0: 1.0}
    (named,) = evidence_of(octave_tone.EXERCISE, CUT, CUT, TONE, bands=bands, grade=toned(CUT))
    assert (named.kind, named.size, named.unit, named.bands) == ("octave-tone/mix", 6.0, "dB", bands)
    assert named.named
    (missed,) = evidence_of(octave_tone.EXERCISE, None, CUT, TONE, bands=bands, grade=toned(None))
    assert not missed.named


def test_the_guess_rate_follows_the_options_on_offer() -> None:
    assert guess_rate(TONE) == pytest.approx(1 / 20)
    assert guess_rate(LEVEL) == pytest.approx(1 / 12)


def test_an_answer_is_told_field_by_field() -> None:
    assert described(CUT, TONE) == "500 Hz, cut"
