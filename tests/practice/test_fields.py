"""The fields of an answer form: reading what is typed, and the marks of near misses."""

import json
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.practice.band_scale import OCTAVE_SCALE, THIRD_SCALE
from trainer.practice.fields import (
    AmountField,
    BandField,
    ChoiceField,
    DirectionField,
    Field,
    OptionField,
    WhichField,
    field_from,
)
from trainer.practice.list_field import ListField
from trainer.practice.typed import numbered_options, read_whole
from trainer.refusal import Refused

BAND = BandField()
AMOUNT = AmountField((1.5, 3.0, 6.0, 12.0))
STEMS = WhichField(("marimba", "vibraphone", "snare-line", "bass-drum-line", "concert-bass-drum"))
SPEED = ChoiceField.of("speed", "speed", {"fast": "fast (1 ms)", "slow": "slow (30 ms)"})
FIELDS: tuple[OptionField, ...] = (BAND, DirectionField(), AMOUNT, STEMS, SPEED)


@pytest.mark.parametrize(
    ("typed", "meant"),
    [("500", 500.0), ("500 Hz", 500.0), ("1k", 1000.0), ("1 kHz", 1000.0), ("31.5", 31.5), ("16000", 16000.0),
     ("5", 500.0), ("10", 16000.0), (" 63hz ", 63.0)],
)  # fmt: skip
def test_a_band_is_read_as_frequency_or_as_place(typed: str, meant: float) -> None:
    assert BAND.read(typed) == meant


@pytest.mark.parametrize(
    ("field", "typed", "meant"),
    [(DirectionField(), "b", "boost"), (DirectionField(("up", "down")), "DOWN", "down"), (AMOUNT, "6", 6.0),
     (AMOUNT, "1.5 dB", 1.5), (STEMS, "snare", "snare-line"), (STEMS, "bass drum line", "bass-drum-line"),
     (STEMS, "2", "vibraphone"), (SPEED, "f", "fast")],
)  # fmt: skip
def test_an_option_is_read_by_its_beginning_its_words_or_its_place(
    field: Field, typed: str, meant: str
) -> None:
    assert field.read(typed) == meant


@pytest.mark.parametrize(
    ("field", "typed"), [(BAND, "440"), (BAND, "1x"), (BAND, ""), (STEMS, "tuba"), (AMOUNT, "9")]
)
def test_what_fits_no_option_is_refused_with_what_would(field: Field, typed: str) -> None:
    with pytest.raises(Refused, match="is none of: .*" + field.label(field.options[0]).split()[0]):
        field.read(typed)


def test_what_fits_several_options_is_refused() -> None:
    with pytest.raises(Refused, match="fits more than one of"):
        WhichField(("tubas", "tenor-line", "timpani")).read("t")


@given(st.sampled_from(FIELDS), st.integers(0, 9))
def test_every_label_is_read_back(field: OptionField, place: int) -> None:
    option = field.options[place % len(field.options)]
    assert field.read(field.label(option)) == option


@given(st.sampled_from(FIELDS), st.integers(0, 9), st.integers(0, 9))
def test_only_the_right_answer_earns_the_full_mark(
    field: OptionField, given_place: int, right_place: int
) -> None:
    answer = field.options[given_place % len(field.options)]
    right = field.options[right_place % len(field.options)]
    mark = field.mark(answer, right)
    assert (mark == 1.0) == (answer == right)
    assert 0.0 <= mark <= 1.0


def test_regression_a_band_further_off_earns_less() -> None:
    marks = [BAND.mark(band_hz, 31.5) for band_hz in OCTAVE_SCALE.names_hz]
    assert marks[:4] == [1.0, 0.5, 0.2, 0.0]
    assert not any(marks[3:])


def test_a_stem_of_the_right_section_is_half_right() -> None:
    assert STEMS.mark("vibraphone", "marimba") == 0.5
    assert STEMS.mark("snare-line", "marimba") == 0.0
    assert WhichField(("battery", "brass")).mark("battery", "brass") == 0.0


def test_an_amount_stands_for_the_sizes_nearest_to_it_in_db_or_by_ratio() -> None:
    """Worked by hand: 8.5 dB is nearer to 6 in dB, to 12 by ratio (6 √2 = 8.49); of two as near, the smaller."""
    sizes = (1.5, 2.0, 2.25, 2.5, 4.0, 4.5, 8.5, 9.0, 12.0, 40.0)
    assert [AMOUNT.nearest(size) for size in sizes] == [1.5, 1.5, 1.5, 3.0, 3.0, 3.0, 6.0, 6.0, 12.0, 12.0]
    by_ratio = replace(AMOUNT, by_ratio=True)
    assert [by_ratio.nearest(size) for size in sizes] == [
        1.5,
        1.5,
        3.0,
        3.0,
        3.0,
        6.0,
        12.0,
        12.0,
        12.0,
        12.0,
    ]
    assert AMOUNT.nearest(0.0) == by_ratio.nearest(0.0) == 1.5
    assert AMOUNT.size_meant(6.0, 5.0) == 5.0
    assert AMOUNT.size_meant(12.0, 5.0) == 12.0


def test_a_narrowed_field_offers_what_it_was_given_and_keeps_its_words() -> None:
    named = AmountField((3.0, 6.0, 12.0), words=("light", "firm", "hard")).offering((6.0, 12.0))
    assert [named.label(option) for option in named.options] == ["firm, about 6 dB", "hard, about 12 dB"]
    assert BAND.offering((63.0, 125.0)).options == (63.0, 125.0)
    assert SPEED.offering(("slow",)).options == ("slow",)


def test_a_field_without_marks_of_its_own_is_right_or_wrong() -> None:
    plain = OptionField((1.0, 2.0), "x", "x")
    assert (plain.mark(1.0, 1.0), plain.mark(2.0, 1.0)) == (1.0, 0.0)
    assert plain.guessed(1.0) == 0.5


def test_regression_what_a_miss_in_each_field_leaves_of_an_answer() -> None:
    """A wrong direction leaves 0.4, a wrong choice 0.5, an amount 0.7 a step off and 0.4 further."""
    assert DirectionField().mark("boost", "cut") == DirectionField().mark("cut", "boost") == 0.4
    assert SPEED.mark("fast", "slow") == 0.5
    assert [AMOUNT.mark(step, 1.5) for step in (1.5, 3.0, 6.0, 12.0)] == [1.0, 0.7, 0.4, 0.4]
    assert [AMOUNT.mark(step, 12.0) for step in (1.5, 3.0, 6.0, 12.0)] == [0.4, 0.4, 0.7, 1.0]


def test_what_guessing_is_worth_is_the_mean_over_the_options_on_offer() -> None:
    """Worked by hand."""
    assert BAND.guessed(1000.0) == pytest.approx(0.24)
    assert BAND.guessed(31.5) == pytest.approx(0.17)
    assert DirectionField().guessed("cut") == pytest.approx(0.7)
    assert SPEED.guessed("slow") == pytest.approx(0.75)
    assert AMOUNT.guessed(3.0) == pytest.approx((0.7 + 1.0 + 0.7 + 0.4) / 4)
    assert STEMS.guessed("snare-line") == pytest.approx(1.5 / 5)
    assert STEMS.guessed("marimba") == pytest.approx(2.0 / 5)
    assert STEMS.chance == pytest.approx(1 / 5)


@given(st.sampled_from(FIELDS))
def test_a_field_comes_back_from_json_with_its_keys_sorted(field: OptionField) -> None:
    assert field_from(json.loads(json.dumps(field.plain(), sort_keys=True))) == field


def test_fields_kept_before_there_were_scales_and_words_are_read() -> None:
    """As version 0.1.0 kept them with a quiz."""
    bands = {"kind": "band", "options": [63.0, 125.0], "key": "band", "title": "octave band"}
    assert field_from(bands) == BandField((63.0, 125.0))
    choices = {"kind": "choice", "key": "speed", "title": "speed", "choices": [["slow", "S"], ["fast", "F"]]}
    assert field_from(choices) == ChoiceField.of("speed", "speed", {"slow": "S", "fast": "F"})
    amounts = {
        "kind": "amount",
        "options": [3.0, 6.0],
        "key": "amount",
        "title": "amount",
        "unit": "dB",
        "words": [],
    }
    assert field_from(amounts) == AmountField((3.0, 6.0), by_ratio=True)


@pytest.mark.parametrize("plain", [{"kind": "smell"}, {}, {"kind": None}])
def test_a_field_of_an_exercise_that_is_not_there_is_refused(plain: dict[str, object]) -> None:
    with pytest.raises(Refused, match="comes from an exercise that is not installed here"):
        field_from(plain)


@pytest.mark.parametrize(
    "plain", [{"kind": "band"}, {"kind": "which", "options": ["a"], "colour": 3},
              {"kind": "band", "options": [63.0], "key": "b", "title": "b", "scale": "half"},
              {"kind": "choice", "options": 3, "key": "a", "title": "a", "words": ["b"]}],
)  # fmt: skip
def test_what_is_no_field_is_a_value_error(plain: dict[str, object]) -> None:
    with pytest.raises(ValueError, match="is no field"):
        field_from(plain)


def test_thirds_are_fields_of_their_own_scale() -> None:
    thirds = BandField(THIRD_SCALE.names_hz, "third", "third-octave band", THIRD_SCALE)
    assert thirds.chance == pytest.approx(1 / 30)
    assert thirds.mark(1250.0, 1000.0) == 0.75
    assert (thirds.read("630"), thirds.read("1.25k"), thirds.read("12.5 kHz")) == (630.0, 1250.0, 12500.0)
    assert field_from(json.loads(json.dumps(thirds.plain()))) == thirds


@pytest.mark.parametrize("value", [True, None, "440", 440.0, ("500",)])
def test_what_was_not_on_offer_is_refused_with_what_was(value: object) -> None:
    with pytest.raises(Refused, match=r"octave band was answered with .* on offer are 31\.5 Hz, 63 Hz"):
        BAND.checked(value)


def test_an_option_is_held_as_the_field_offers_it() -> None:
    assert isinstance(BAND.checked(500), float)
    assert WhichField(("1.0", "1")).checked("1") == "1"
    with pytest.raises(Refused, match="answered with True"):
        AmountField((1.0, 2.0)).checked(True)


def test_short_words_are_for_paper() -> None:
    assert [BAND.short(hz) for hz in (31.5, 500.0, 1000.0, 16000.0)] == ["31.5", "500", "1k", "16k"]
    assert SPEED.short("fast") == SPEED.label("fast")


LINES = (
    ((BAND, DirectionField()), "500 boost", {"band": 500.0, "direction": "boost"}),
    ((BAND, DirectionField()), "2 kHz, cut", {"band": 2000.0, "direction": "cut"}),
    ((STEMS, AMOUNT, SPEED), "snare, 6, fast", {"which": "snare-line", "amount": 6.0, "speed": "fast"}),
    ((STEMS, SPEED), "marimba slow", {"which": "marimba", "speed": "slow"}),
    ((ListField((BAND, DirectionField()), most=2),), "500 boost; 2k cut",
     {"changes": ({"band": 500.0, "direction": "boost"}, {"band": 2000.0, "direction": "cut"})}),
    ((STEMS, ListField((BAND, DirectionField()), most=2)), "snare line | 500, boost",
     {"which": "snare-line", "changes": ({"band": 500.0, "direction": "boost"},)}),
)  # fmt: skip


@pytest.mark.parametrize(("fields", "typed", "meant"), LINES)
def test_a_whole_answer_is_read_from_one_line(
    fields: tuple[Field, ...], typed: str, meant: dict[str, object]
) -> None:
    assert read_whole(fields, typed) == meant


@pytest.mark.parametrize("typed", ["500", "500 boost cut", "500, boost, cut", ""])
def test_a_line_with_too_few_or_too_many_parts_is_refused(typed: str) -> None:
    with pytest.raises(Refused, match="an answer in one line is: octave band, direction"):
        read_whole((BAND, DirectionField()), typed)


def test_options_are_numbered_and_stand_closer_where_they_are_many() -> None:
    assert SPEED.hint == "1: fast (1 ms) · 2: slow (30 ms)"
    assert numbered_options(list("abcdef")).count(" · ") == 5
    assert numbered_options(list("abcdefg")) == "1: a, 2: b, 3: c, 4: d, 5: e, 6: f, 7: g"
