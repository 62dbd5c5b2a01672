"""Values: what JSON keeps of an answer is the answer, and what is no value is refused at the door."""

import json
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.practice.values import (
    Answer,
    answer_from,
    is_simple,
    number_in,
    plain_answer,
    rows_in,
    text_in,
    value_from,
)

SIMPLE = st.one_of(st.text(max_size=8), st.floats(allow_nan=False, allow_infinity=False))
ROWS = st.lists(st.dictionaries(st.text(max_size=4), SIMPLE, max_size=3), max_size=4).map(tuple)
ANSWERS = st.dictionaries(st.text(max_size=6), st.one_of(SIMPLE, ROWS), max_size=4)


@given(ANSWERS)
def test_an_answer_comes_back_from_json_as_it_was(answer: Answer) -> None:
    assert answer_from(json.loads(json.dumps(plain_answer(answer)))) == answer


@pytest.mark.parametrize(
    ("value", "is_one"),
    [("boost", True), (500.0, True), (4, True), (True, False), (None, False), (math.nan, False),
     (math.inf, False), (("boost",), False), ({}, False)],
)  # fmt: skip
def test_words_and_finite_numbers_are_simple(value: object, is_one: bool) -> None:
    assert is_simple(value) is is_one


def test_each_kind_of_value_is_had_as_what_it_is() -> None:
    answer: Answer = {"band": 500, "way": "boost", "changes": ({"band": 500.0},)}
    assert number_in(answer, "band") == 500.0
    assert isinstance(number_in(answer, "band"), float)
    assert text_in(answer, "way") == "boost"
    assert rows_in(answer, "changes") == ({"band": 500.0},)


@pytest.mark.parametrize("key", ["way", "changes", "not there"])
def test_what_is_no_number_is_a_value_error(key: str) -> None:
    with pytest.raises(ValueError, match=f"'{key}' holds a number"):
        number_in({"way": "boost", "changes": ()}, key)


def test_what_is_no_word_or_no_rows_is_a_value_error() -> None:
    with pytest.raises(ValueError, match="'band' holds a word, not 500"):
        text_in({"band": 500.0}, "band")
    with pytest.raises(ValueError, match="'band' holds a list of rows, not 500"):
        rows_in({"band": 500.0}, "band")


@pytest.mark.parametrize("plain", [None, True, math.nan, math.inf, {"a": 1.0}, object()])
def test_what_is_no_value_is_a_value_error(plain: object) -> None:
    with pytest.raises(ValueError, match="a word, a number or a list of rows"):
        value_from(plain)


@pytest.mark.parametrize("plain", [["boost"], [500.0], [[{"a": 1.0}]], [{"a": None}], [{"a": [1.0]}]])
def test_what_is_no_row_is_a_value_error(plain: object) -> None:
    with pytest.raises(ValueError, match="a row is a table"):
        value_from(plain)


@pytest.mark.parametrize("plain", [None, "boost", 3.0, [{"band": 500.0}]])
def test_what_is_no_table_of_fields_is_a_value_error(plain: object) -> None:
    with pytest.raises(ValueError, match="an answer is a table of fields"):
        answer_from(plain)
