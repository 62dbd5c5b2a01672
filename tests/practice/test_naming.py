"""Naming: an answer is named when its subject is, whatever else was said of it."""

from dataclasses import replace

import pytest

from trainer.practice.band_scale import THIRD_SCALE
from trainer.practice.catalogue import load
from trainer.practice.evidence import Evidence, Told
from trainer.practice.exercise import THERE_OR_NOT, AnswerGiven, Grade, Ladder, Question, product_of_marks
from trainer.practice.fields import AmountField, BandField, DirectionField, WhichField
from trainer.practice.naming import named_by
from trainer.practice.values import Answer

STEMS = WhichField(("marimba", "vibraphone", "tubas"), title="stem")
MOVED = Question(
    "Which stem?", (STEMS, DirectionField(("up", "down")), AmountField((3.0, 6.0))),
    target="", size=5.0, scope="stem",
)  # fmt: skip
RIGHT: Answer = {"which": "tubas", "direction": "down", "amount": 6.0}
BANDS = {125.0: 0.75, 63.0: 0.25}
said_by = named_by("which", "direction")


def given(
    answer: Answer | None, question: Question = MOVED, right: Answer = RIGHT, unit: str = "dB"
) -> AnswerGiven:
    marks = product_of_marks(answer, right, question) if answer else Grade({}, 0.0, right=False)
    ladder = Ladder("level change", unit, easiest=12.0, hardest=3.0, step=0.5, start=6.0)
    return AnswerGiven("level/stem", ladder, question, right, answer, marks, BANDS)


def of(answer: Answer | None) -> Evidence:
    (found,) = said_by(given(answer))
    return found


def test_it_says_kind_size_unit_bands_and_what_there_was_to_guess_among() -> None:
    found = of(RIGHT)
    assert (found.kind, found.size, found.unit, found.bands) == ("level/stem", 5.0, "dB", BANDS)
    assert (found.among, found.direction, found.named) == ((3.0, 2.0), -1, True)
    assert found.told == {"direction": Told("down", "down")}


def test_a_wrong_amount_alone_still_names_it() -> None:
    assert of({**RIGHT, "amount": 3.0}).named


@pytest.mark.parametrize("wrong", [{"which": "marimba"}, {"direction": "up"}])
def test_a_subject_partly_wrong_is_not_named(wrong: Answer) -> None:
    assert not of({**RIGHT, **wrong}).named


def test_giving_up_names_nothing_and_tells_what_was_true() -> None:
    found = of(None)
    assert not found.named
    assert found.told == {"direction": Told("down", None)}


def test_the_way_is_that_of_the_truth_and_not_of_what_was_said() -> None:
    assert of({**RIGHT, "direction": "up"}).direction == -1
    (up,) = said_by(given(RIGHT, right={**RIGHT, "direction": "up"}))
    assert up.direction == 1
    no_way = replace(MOVED, fields=(STEMS,))
    (found,) = named_by("which")(given({"which": "tubas"}, no_way, {"which": "tubas"}))
    assert (found.direction, found.told) == (0, {})


def test_the_smallest_change_says_something() -> None:
    (found,) = said_by(given(RIGHT, replace(MOVED, size=0.1)))
    assert found.size == 0.1


def test_a_direction_that_goes_no_way_is_none() -> None:
    sideways = replace(MOVED, fields=(STEMS, DirectionField(("left", "right"))))
    left: Answer = {"which": "tubas", "direction": "left"}
    (found,) = said_by(given(left, sideways, left))
    assert found.direction == 0


def test_a_rep_without_a_change_says_nothing() -> None:
    assert said_by(given(RIGHT, replace(MOVED, size=0.0))) == ()


def test_a_size_in_another_unit_belongs_to_no_band() -> None:
    (found,) = said_by(given(RIGHT, unit="ms"))
    assert (found.unit, found.bands, found.is_of_lanes) == ("ms", {}, False)


def test_what_was_on_offer_is_told_where_it_was_not_all_there_is() -> None:
    lanes = BandField((63.0, 500.0, 1000.0))
    question = Question("?", (lanes, DirectionField()), target="brass", size=6.0, scope="section")
    (found,) = named_by("band", "direction")(
        given({"band": 63.0, "direction": "cut"}, question, {"band": 500.0, "direction": "cut"})
    )
    assert found.told["band"] == Told(500.0, 63.0, (63.0, 500.0, 1000.0))
    assert found.told["direction"] == Told("cut", "cut")


def test_thirds_tell_of_the_octaves_they_lie_in_and_are_named_as_thirds() -> None:
    """IEC 61260-1: 400, 500 and 630 Hz make up the 500 Hz octave; 800 Hz lies in that of 1 kHz."""
    thirds = BandField((400.0, 500.0, 630.0, 800.0), "third", "third-octave band", THIRD_SCALE)
    question = Question("?", (thirds,), target="mix", size=6.0, scope="mix")
    (found,) = named_by("third")(given({"third": 400.0}, question, {"third": 630.0}))
    assert found.told == {"band": Told(500.0, 500.0, (500.0, 1000.0))}
    assert not found.named
    assert found.among == (4.0,)


def test_a_kind_is_the_exercise_what_it_is_asked_on_and_a_family_where_there_is_one() -> None:
    level = load()["level"]
    assert level.kind("stem") == "level/stem"
    assert replace(level, family="swing").kind("mix") == "level/mix/swing"


def test_a_fault_that_is_there_or_not_has_no_size_and_belongs_to_no_band() -> None:
    (found,) = said_by(replace(given(RIGHT), ladder=THERE_OR_NOT))
    assert (found.size, found.unit, found.bands, found.start) == (None, "", {}, None)
    assert found.named


def test_where_its_ladder_starts_is_said() -> None:
    assert of(RIGHT).start == 6.0


def test_a_band_that_holds_no_option_is_a_value_error() -> None:
    question = Question("?", (BandField(),), target="mix", size=6.0, scope="mix")
    answer = given({"band": 500.0}, question, {"band": 500.0})
    with pytest.raises(ValueError, match="not one of its options"):
        named_by("band")(replace(answer, right={"band": ({"band": 500.0},)}))
