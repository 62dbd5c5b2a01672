"""The fields of an answer form: reading what is typed, and the marks of near misses."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.dsp.octave_bands import NOMINAL_HZ
from trainer.practice.band_scale import band_label
from trainer.practice.fields import (
    AmountField,
    BandField,
    ChoiceField,
    DirectionField,
    Field,
    WhichField,
)
from trainer.refusal import Refused

BAND = BandField()
AMOUNT = AmountField((1.5, 3.0, 6.0, 12.0))
STEMS = WhichField(("marimba", "vibraphone", "snare-line", "bass-drum-line", "concert-bass-drum"))
SPEED = ChoiceField.of("speed", "speed", {"fast": "fast (1 ms)", "slow": "slow (30 ms)"})
FIELDS: tuple[Field, ...] = (BAND, DirectionField(), AMOUNT, STEMS, SPEED)


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
def test_every_label_is_read_back(field: Field, place: int) -> None:
    option = field.options[place % len(field.options)]
    assert field.read(field.label(option)) == option


@given(st.sampled_from(FIELDS), st.integers(0, 9), st.integers(0, 9))
def test_only_the_right_answer_earns_the_full_mark(field: Field, given_place: int, right_place: int) -> None:
    answer = field.options[given_place % len(field.options)]
    right = field.options[right_place % len(field.options)]
    mark = field.mark(answer, right)
    assert (mark == 1.0) == (answer == right)
    assert 0.0 <= mark <= 1.0


def test_regression_a_band_further_off_earns_less() -> None:
    marks = [BAND.mark(band_hz, 31.5) for band_hz in NOMINAL_HZ]
    assert marks[:4] == [1.0, 0.5, 0.2, 0.0]
    assert not any(marks[3:])


def test_a_stem_of_the_right_section_is_half_right() -> None:
    assert STEMS.mark("vibraphone", "marimba") == 0.5
    assert STEMS.mark("snare-line", "marimba") == 0.0
    assert WhichField(("battery", "brass")).mark("battery", "brass") == 0.0


def test_an_amount_stands_for_the_sizes_nearest_to_it_by_ratio() -> None:
    assert [AMOUNT.nearest(size) for size in (1.5, 2.0, 2.5, 4.0, 4.5, 8.0, 9.0, 12.0)] == [
        1.5, 1.5, 3.0, 3.0, 6.0, 6.0, 12.0, 12.0,
    ]  # fmt: skip
    assert AMOUNT.size_meant(6.0, 5.0) == 5.0
    assert AMOUNT.size_meant(12.0, 5.0) == 12.0


def test_a_narrowed_field_offers_what_it_was_given_and_keeps_its_words() -> None:
    named = AmountField((3.0, 6.0, 12.0), words=("light", "firm", "hard")).offering((6.0, 12.0))
    assert [named.label(option) for option in named.options] == ["firm, about 6 dB", "hard, about 12 dB"]
    assert BAND.offering((63.0, 125.0)).options == (63.0, 125.0)
    assert SPEED.offering(("slow",)).options == ("slow",)


def test_bands_are_written_as_the_trade_writes_them() -> None:
    assert [band_label(hz) for hz in (31.5, 500.0, 1000.0, 16000.0)] == [
        "31.5 Hz",
        "500 Hz",
        "1 kHz",
        "16 kHz",
    ]
