"""Forms of lists and controls: rows added, changed, removed; a control moved; laws over any sequence of keys."""

from collections.abc import Callable, Mapping
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.practice.band_scale import THIRD_SCALE
from trainer.practice.control_field import ControlField
from trainer.practice.exercise import Question
from trainer.practice.fields import AmountField, BandField, DirectionField, Field, OptionField
from trainer.practice.grading import checked
from trainer.practice.list_field import ListField
from trainer.practice.values import Value
from trainer.window.form import DEEDS, Form
from trainer.window.groups import Kind, groups_of, kind_of

THIRDS = BandField((25.0, 200.0, 315.0, 10_000.0, 16_000.0), scale=THIRD_SCALE)
LISTED = ListField((BandField(), DirectionField()), 3)
LONG_ROWS = ListField((THIRDS, DirectionField(), AmountField((3.0, 6.0))), 2, "faults", "faults")
DELAY = ControlField("delay", "delay", "ms", 0.0, 40.0, 0.5, 1.0)
TILT = ControlField("tilt", "tilt", "dB", -6.0, 6.0, 0.5, 0.5)
TRIM = ControlField("trim", "trim", "dB", 2.0, 10.0, 1.0, 0.5)
FORMS: dict[str, tuple[Field, ...]] = {
    "list": (LISTED,),
    "lists": (LISTED, LONG_ROWS, TILT),
    "control": (DELAY,),
    "control and list": (TRIM, DirectionField(), LONG_ROWS),
    "third octaves": (THIRDS, DirectionField(), TILT),
}
BOOST_500, CUT_2K = {"band": 500.0, "direction": "boost"}, {"band": 2000.0, "direction": "cut"}


def written(*rows: Mapping[str, Value]) -> Form:
    """Return a form of one list with some rows written."""
    form = Form((LISTED,))
    form.pick({"changes": tuple(rows)})  # type: ignore[dict-item]
    return form


def rows_of(form: Form) -> Any:
    """Return the rows that are written, None while one is not whole."""
    return form.sheets["changes"].value


# Lists.


def test_a_row_is_written_with_the_keys_of_its_own_fields() -> None:
    form = Form((LISTED,))
    assert form.answer == {"changes": ()}, "nothing heard is an answer"
    form.digit(5)
    assert form.answer is None
    form.next_row()
    assert len(form.sheets["changes"].rows) == 1, "a row that is not whole is to be finished first"
    form.arrow(0, -1)
    form.next_row()
    form.digit(7)
    form.arrow(0, 1)
    assert form.answer == {"changes": (BOOST_500, CUT_2K)}


def test_there_are_no_more_rows_than_fit_and_only_one_is_blank() -> None:
    form = Form((LISTED,))
    for _ in range(3):
        form.step_row(1)
    assert len(form.sheets["changes"].rows) == 1
    for number in range(6):
        form.digit(number + 1)
        form.arrow(0, 1)
        form.next_row()
    sheet = form.sheets["changes"]
    assert (len(sheet.rows), sheet.has_room, len(rows_of(form))) == (3, False, 3)


def test_rows_are_opened_changed_and_removed() -> None:
    form = written(BOOST_500, CUT_2K)
    form.open_row("changes", 0)
    form.arrow(0, 1)
    form.arrow(1, 0)
    assert rows_of(form) == ({"band": 1000.0, "direction": "cut"}, CUT_2K)
    form.remove_row()
    assert rows_of(form) == (CUT_2K,)
    form.open_row("changes", 1)
    form.digit(1)
    form.remove_row("changes", 0)
    assert (rows_of(form), form.sheets["changes"].row.picks) == (None, {"band": 31.5})
    form.remove_row()
    form.remove_row()
    assert (rows_of(form), len(form.sheets["changes"].rows)) == ((), 1)


def test_enter_goes_to_a_row_that_was_left_unfinished_before_a_new_one() -> None:
    form = written(BOOST_500, CUT_2K)
    form.open_row("changes", 0)
    form.sheets["changes"].row.picks.pop("direction")
    form.open_row("changes", 1)
    form.next_row()
    assert (form.sheets["changes"].at, len(form.sheets["changes"].rows)) == (0, 2)


def test_an_unfinished_row_is_gone_to_when_the_answer_is_wanted() -> None:
    form = Form((LONG_ROWS, TILT))
    form.digit(4)
    form.digit(1)
    form.active = 1
    form.go_to_missing()
    assert (form.group.key, form.innermost.group.key) == ("faults", "band")
    form.arrow(0, 1)
    form.go_to_missing()
    assert form.innermost.group.stop == "faults.amount"


def test_presses_pick_in_the_open_row_by_the_name_of_the_list() -> None:
    form = Form((LISTED, TILT))
    form.active = 1
    form.pick({"changes.band": 500.0, "changes.direction": "boost"})
    assert (form.active, rows_of(form)) == (0, (BOOST_500,))
    assert form.stops == ("changes.band", "tilt")
    form.go_to("tilt")
    assert form.group.key == "tilt"


def test_what_is_no_list_of_rows_is_not_written() -> None:
    form = written(BOOST_500)
    for value in (({"band": 500.0},), ({"band": 440.0, "direction": "cut"},), (BOOST_500,) * 4):
        form.pick({"changes": value})  # type: ignore[dict-item]
    assert rows_of(form) == (BOOST_500,)


# Controls.


@pytest.mark.parametrize(
    ("one", "start"), [(DELAY, 0.0), (TILT, 0.0), (TRIM, 6.0)], ids=["from 0", "around 0", "away from 0"]
)
def test_a_control_moves_from_where_it_stands_by_steps_and_larger_ones(
    one: ControlField, start: float
) -> None:
    form = Form((one,))
    assert form.answer is None, "a control that was not moved is not set"
    form.arrow(1, 0)
    assert form.picks == {one.key: start + one.step}
    form.arrow(0, -1)
    form.arrow(-1, 0, is_large=True)
    assert form.picks == {one.key: max(one.low, start - 3 * one.step)}
    for _ in range(200):
        form.arrow(1, 0)
    assert form.picks == {one.key: one.high}
    form.digit(5)
    assert form.picks == {one.key: one.high}
    form.digit(0)
    assert form.picks == {one.key: start}


# Kinds.


class Strange:
    """A field that the window knows nothing of."""

    key = title = "strange"


def test_a_field_of_an_unknown_kind_is_answered_elsewhere_and_one_with_options_in_a_row() -> None:
    class Tempo(OptionField):
        __slots__ = ()

    assert kind_of(Strange()) is Kind.ELSEWHERE  # type: ignore[arg-type]
    assert kind_of(Tempo((1.0, 2.0), "tempo", "tempo")) is Kind.ROW
    form = Form((Strange(), DirectionField()))  # type: ignore[arg-type]
    for number in range(10):
        form.digit(number)
        form.arrow(1, 0)
    assert form.picks == {}
    form.go_to("direction")
    form.digit(1)
    assert form.answer is None


@pytest.mark.parametrize("fields", FORMS.values(), ids=FORMS)
def test_every_group_has_a_name_of_its_own(fields: tuple[Field, ...]) -> None:
    form = Form(fields)
    assert len(set(form.stops)) == len(form.stops) >= len(groups_of(fields))
    for stop in form.stops:
        form.go_to(stop)
        assert form.innermost.group.stop == stop


# Laws.

KEYS: dict[str, Callable[[Form, int], None]] = {
    "digit": lambda form, number: form.digit(number),
    "arrow": lambda form, number: form.arrow(*((1, 0), (-1, 0), (0, 1), (0, -1))[number % 4]),
    "far": lambda form, number: form.arrow(*((1, 0), (-1, 0))[number % 2], is_large=True),
    "go to": lambda form, number: form.go_to(form.stops[number % len(form.stops)]),
    "missing": lambda form, _: form.go_to_missing(),
    "next row": lambda form, _: form.next_row(),
    "step row": lambda form, number: form.step_row(number % 5 - 2),
    "remove row": lambda form, _: form.remove_row(),
    "close lane": lambda form, _: form.close_lane(),
    "open lane": lambda form, number: _open_lane(form, number),
}
pressed = st.lists(st.tuples(st.sampled_from(sorted(KEYS)), st.integers(0, 9)), max_size=60)


def _open_lane(form: Form, number: int) -> None:
    if form.innermost.group.kind is Kind.FAN:
        form.open_lane(form.innermost.group.stop, number)


def test_every_deed_of_a_form_is_among_the_keys_of_the_laws() -> None:
    assert set(DEEDS) - {"open row"} <= set(KEYS)


@given(st.sampled_from(sorted(FORMS)), pressed)
def test_whatever_is_pressed_the_form_is_whole(name: str, keys: list[tuple[str, int]]) -> None:
    """What is picked can be picked, no sheet is too long or without a row, the open lane holds what is picked."""
    form = Form(FORMS[name])
    for key, number in keys:
        KEYS[key](form, number)
        for one in form.fields:
            if one.key in form.picks:
                assert one.checked(form.picks[one.key]) == form.picks[one.key]
        for sheet in form.sheets.values():
            assert 1 <= len(sheet.rows) <= sheet.listed.most
            assert 0 <= sheet.at < len(sheet.rows)
            assert sheet.value is None or len(sheet.value) == sum(bool(row.picks) for row in sheet.rows)
        inner = form.innermost
        lane = (
            inner.group.columns[inner.opened]
            if inner.group.kind is Kind.FAN and inner.opened is not None
            else None
        )
        if lane is not None and "band" in inner.picks:
            assert inner.picks["band"] in lane
    if form.answer is not None:
        question = Question("?", form.fields, "mix", 6.0, "mix")
        assert checked(form.answer, question) == form.answer


@given(st.sampled_from(sorted(FORMS)), pressed)
def test_from_anywhere_the_form_can_be_filled_by_keys_alone(name: str, keys: list[tuple[str, int]]) -> None:
    form = Form(FORMS[name])
    for key, number in keys:
        KEYS[key](form, number)
    for _ in range(40):
        if form.answer is not None:
            break
        form.go_to_missing()
        form.arrow(1, 0)
        form.arrow(0, 1)
    assert form.answer is not None
    assert form.missing is None
