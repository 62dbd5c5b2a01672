"""The list field: marked alike in any order, never above 1 or below 0, and a guesser gets about nothing."""

import json
from collections.abc import Sequence
from itertools import permutations
from math import prod

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.random import default_rng

from trainer.practice.control_field import ControlField
from trainer.practice.fields import AmountField, BandField, DirectionField, WhichField, field_from
from trainer.practice.list_field import ListField
from trainer.practice.values import Row
from trainer.refusal import Refused

TONES = ListField((BandField(), DirectionField()), most=4)
MOVES = ListField(
    (WhichField(("marimba", "vibraphone", "snare-line", "cymbals")), DirectionField(("up", "down")),
     AmountField((3.0, 6.0, 12.0))),
    most=3,
)  # fmt: skip
GUESSED_LISTS = 600
MOST_BY_GUESSING = 0.12


def tone(band_hz: float, direction: str) -> Row:
    return {"band": band_hz, "direction": direction}


def rows_of(field: ListField) -> st.SearchStrategy[tuple[Row, ...]]:
    row = st.fixed_dictionaries({one.key: st.sampled_from(one.options) for one in field.of})
    return st.lists(row, max_size=field.most).map(tuple)


def best_by_trying_all(field: ListField, said: Sequence[Row], true: Sequence[Row]) -> float:
    """Return the mean mark of the best of all ways to put rows beside the right ones, by trying each of them."""
    many, few = (said, true) if len(said) >= len(true) else (true, said)
    worth = [
        sum(
            prod(one.mark(row[one.key], other[one.key]) for one in field.of)
            for row, other in zip(order, few, strict=False)
        )
        for order in permutations(many)
    ]
    return max(worth) / len(many)


def test_one_row_by_hand() -> None:
    """Guessing 1 kHz boost: (1 + 2 × .5 + 2 × .2) / 10 × (1 + .4) / 2 = .168 on average; it is taken away."""
    by_guessing = 0.168
    for said, worth in (
        (tone(1000.0, "boost"), 1.0),
        (tone(500.0, "boost"), 0.5),
        (tone(1000.0, "cut"), 0.4),
    ):
        wanted = (worth - by_guessing) / (1.0 - by_guessing)
        assert TONES.mark((said,), (tone(1000.0, "boost"),)) == pytest.approx(wanted, abs=0.02)
    assert TONES.mark((tone(8000.0, "boost"),), (tone(1000.0, "boost"),)) == 0.0


def test_two_rows_by_hand() -> None:
    """Before guessing is taken away: (1 + .4) / 2, (.5 + .4) / 2, and a half for one of two or two of four."""
    true = (tone(500.0, "boost"), tone(1000.0, "cut"))
    assert TONES._assigned((tone(1000.0, "boost"), tone(500.0, "boost")), true) == pytest.approx(0.7)
    assert TONES._assigned((tone(1000.0, "boost"), tone(250.0, "boost")), true) == pytest.approx(0.45)
    assert TONES._assigned(true[:1], true) == pytest.approx(0.5)
    assert TONES._assigned((*true, tone(8000.0, "cut"), tone(63.0, "cut")), true) == pytest.approx(0.5)


def test_no_row_is_right_where_there_is_nothing_to_name_and_worth_nothing_elsewhere() -> None:
    one = (tone(500.0, "boost"),)
    assert TONES.mark((), ()) == 1.0
    assert TONES.mark(one, ()) == 0.0
    assert TONES.mark((), one) == 0.0
    assert TONES.guessed(()) == pytest.approx(1 / 5)


@given(st.sampled_from([TONES, MOVES]), st.data())
def test_a_mark_lies_between_0_and_1_and_no_order_changes_it(field: ListField, data: st.DataObject) -> None:
    said, true = data.draw(rows_of(field)), data.draw(rows_of(field))
    mark = field.mark(said, true)
    assert 0.0 <= mark <= 1.0
    mixed = tuple(data.draw(st.permutations(said))), tuple(data.draw(st.permutations(true)))
    assert field.mark(*mixed) == pytest.approx(mark, abs=1e-12)


@given(st.sampled_from([TONES, MOVES]), st.data())
def test_the_right_list_in_any_order_is_worth_1_and_nothing_else_is(
    field: ListField, data: st.DataObject
) -> None:
    true, said = data.draw(rows_of(field)), data.draw(rows_of(field))
    assert field.mark(tuple(data.draw(st.permutations(true))), true) == 1.0
    in_order = [sorted(map(repr, (sorted(row.items()) for row in rows))) for rows in (said, true)]
    assert (field.mark(said, true) == 1.0) == (in_order[0] == in_order[1])


@given(st.sampled_from([TONES, MOVES]), st.data())
def test_the_rows_are_put_beside_each_other_as_well_as_can_be(field: ListField, data: st.DataObject) -> None:
    """Against all permutations tried one by one."""
    said, true = data.draw(rows_of(field).filter(bool)), data.draw(rows_of(field).filter(bool))
    assert field._assigned(said, true) == pytest.approx(best_by_trying_all(field, said, true), abs=1e-12)


@pytest.mark.parametrize("right", [1, 2, 3, 4])
@pytest.mark.parametrize("said", [1, 2, 3, 4])
def test_guessing_is_worth_about_nothing_however_many_rows_are_guessed(said: int, right: int) -> None:
    rng = default_rng([said, right])
    true = TONES.any_rows(right, rng)
    marks = [TONES.mark(TONES.any_rows(said, rng), true) for _ in range(GUESSED_LISTS)]
    assert np.mean(marks) <= MOST_BY_GUESSING
    if said == right:
        assert TONES.guessed(true) == pytest.approx(
            np.mean(marks), abs=4.0 * np.std(marks) / GUESSED_LISTS**0.5
        )


def test_more_rows_than_are_right_are_worth_less() -> None:
    true = (tone(500.0, "boost"),)
    marks = [TONES.mark((*true, *(tone(8000.0, "cut"),) * more), true) for more in range(4)]
    assert marks == sorted(marks, reverse=True)
    assert len(set(marks)) == 4


def test_where_rows_can_be_but_one_thing_their_number_is_what_is_marked() -> None:
    field = ListField((WhichField(("brass",)),), most=3)
    row = {"which": "brass"}
    assert field.mark((row,), (row,)) == 1.0
    assert field.mark((row, row), (row,)) == 0.0


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("500 boost; 2k cut", (tone(500.0, "boost"), tone(2000.0, "cut"))),
        ("500, boost", (tone(500.0, "boost"),)),
        (" 500 b ; ", (tone(500.0, "boost"),)),
        ("500 | boost", (tone(500.0, "boost"),)),
        ("Nothing", ()),
    ],
)
def test_rows_are_typed_with_semicolons_between(typed: str, meant: tuple[Row, ...]) -> None:
    assert TONES.read(typed) == meant


@pytest.mark.parametrize(
    ("typed", "said"),
    [("", "holds no row"), (" ; ", "holds no row"), ("500", "is no answer"), ("440 boost", "is none of"),
     ("; ".join(["500 boost"] * 5), "hold 5 rows; there are 4 at most")],
)  # fmt: skip
def test_what_is_no_list_of_rows_is_refused(typed: str, said: str) -> None:
    with pytest.raises(Refused, match=said):
        TONES.read(typed)


@pytest.mark.parametrize(
    "value",
    ["nothing", 3.0, None, [3.0], [{"band": 500.0}], [tone(500.0, "up")], [{**tone(500.0, "cut"), "x": 1.0}],
     {"band": 500.0}, [tone(500.0, "cut")] * 5],
)  # fmt: skip
def test_what_holds_no_whole_rows_is_refused(value: object) -> None:
    with pytest.raises(Refused, match=r"list of rows|row of the changes|on offer are|at most"):
        TONES.checked(value)


def test_a_list_is_held_as_a_tuple_of_its_rows() -> None:
    rows = [{"direction": "cut", "band": 500}]
    assert TONES.checked(rows) == (tone(500.0, "cut"),)
    assert TONES.checked([]) == ()
    assert TONES.checked([tone(500.0, "cut")] * 4) == (tone(500.0, "cut"),) * 4


def test_a_list_is_told_row_by_row() -> None:
    assert TONES.label((tone(500.0, "boost"), tone(2000.0, "cut"))) == "500 Hz boost; 2 kHz cut"
    assert TONES.label(()) == "nothing"
    assert "up to 4 rows" in TONES.hint
    assert "direction (1: boost" in TONES.hint
    assert TONES.chance == pytest.approx(1 / 20)


@pytest.mark.parametrize("field", [TONES, MOVES])
def test_it_comes_back_from_json(field: ListField) -> None:
    assert field_from(json.loads(json.dumps(field.plain(), sort_keys=True))) == field


def test_a_row_holds_fields_with_options_only() -> None:
    plain = TONES.plain() | {"of": [ControlField("x", "x", "dB", 0.0, 1.0, 0.1, 0.1).plain()]}
    with pytest.raises(ValueError, match="fields with options"):
        field_from(plain)


def test_what_holds_no_rows_cannot_be_marked() -> None:
    with pytest.raises(ValueError, match="a list of rows is wanted"):
        TONES.mark(500.0, ())
