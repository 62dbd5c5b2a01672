"""The answer form: every exercise's fields find a place, and the keys reach every option."""

import itertools
from collections.abc import Sequence

import pytest

from trainer.dsp.octave_bands import NOMINAL_HZ
from trainer.ensemble.parts import PARTS, SECTIONS
from trainer.practice.fields import AmountField, BandField, ChoiceField, DirectionField, Field, WhichField
from trainer.window.form import Form, Kind, groups_of

PACE = ChoiceField("speed", "speed", {"fast": "fast", "slow": "slow"})
AMOUNT = AmountField((1.5, 3.0, 6.0, 12.0))
STEMS = WhichField(tuple(part.key for part in PARTS))
FORMS: dict[str, tuple[Field, ...]] = {
    "octave tone": (BandField(), DirectionField()),
    "few lanes": (BandField((125.0, 1000.0, 4000.0)), DirectionField()),
    "band alone": (BandField(),),
    "level of sections": (
        WhichField(tuple(section.key for section in SECTIONS)),
        DirectionField(("up", "down")),
        AMOUNT,
    ),
    "level of stems": (STEMS, DirectionField(("up", "down")), AMOUNT),
    "compression": (STEMS, AmountField((3.0, 6.0, 12.0), key="hardness"), PACE),
    "choices": (PACE, AMOUNT),
}


@pytest.mark.parametrize("fields", FORMS.values(), ids=FORMS)
def test_every_field_is_in_one_group(fields: Sequence[Field]) -> None:
    grouped = [field.key for group in groups_of(fields) for field in group.fields]
    assert sorted(grouped) == sorted(field.key for field in fields)


@pytest.mark.parametrize("fields", FORMS.values(), ids=FORMS)
def test_every_option_of_every_field_is_in_a_column(fields: Sequence[Field]) -> None:
    for group in groups_of(fields):
        shown = list(itertools.chain.from_iterable(group.columns))
        assert sorted(map(str, shown)) == sorted(map(str, group.fields[0].options))


@pytest.mark.parametrize("fields", FORMS.values(), ids=FORMS)
def test_arrows_reach_every_option(fields: tuple[Field, ...]) -> None:
    form = Form(fields)
    reached: set[tuple[str, object]] = set()
    for place in range(len(form.groups)):
        form.active = place
        for right, down in [(1, 0)] * 25 + [(-1, 0), (0, 1)] * 200 + [(0, -1), (1, 0)] * 200:
            form.arrow(right, down)
            reached |= set(form.picks.items())
        for _ in range(25):
            form.arrow(-1, 0)
            for down in [-1] * 10 + [1] * 10:
                form.arrow(0, down)
                reached |= set(form.picks.items())
    assert reached == {(field.key, option) for field in fields for option in field.options}


@pytest.mark.parametrize("fields", FORMS.values(), ids=FORMS)
def test_digits_reach_every_option_of_what_they_pick(fields: tuple[Field, ...]) -> None:
    form = Form(fields)
    for place, group in enumerate(form.groups):
        reached = set()
        for number, column in enumerate(group.columns, start=1):
            for _ in column:
                form.active = place
                form.digit(number)
                reached.add(form.picks[group.key])
        assert reached == set(group.fields[0].options)


def test_a_digit_picks_the_lane_it_stands_under_and_never_one_that_is_not_on_offer() -> None:
    form = Form(FORMS["few lanes"])
    form.digit(1)
    assert "band" not in form.picks
    form.digit(3)
    assert form.picks == {"band": 125.0}
    form.digit(0)
    assert form.picks == {"band": 125.0}
    assert NOMINAL_HZ[2] == 125.0


def test_a_lane_and_an_arrow_are_an_answer() -> None:
    form = Form(FORMS["octave tone"])
    form.digit(0)
    assert form.answer is None
    form.arrow(0, 1)
    assert form.answer == {"band": 16_000.0, "direction": "cut"}
    form.arrow(0, -1)
    form.arrow(-1, 0)
    assert form.answer == {"band": 8_000.0, "direction": "boost"}


def test_the_same_digit_again_takes_the_next_stem_of_the_section() -> None:
    form = Form(FORMS["level of stems"])
    taken = []
    for _ in range(9):
        form.digit(1)
        taken.append(form.picks["which"])
    front = [part.key for part in PARTS if part.section == "front-ensemble"]
    assert taken == [*front, front[0]]


def test_a_choice_by_digit_goes_on_to_what_is_missing() -> None:
    form = Form(FORMS["compression"])
    form.digit(2)
    assert form.group.kind is Kind.COLUMNS
    form.go_to_missing()
    form.digit(3)
    assert form.group.key == "speed"
    form.digit(2)
    assert form.missing is None
    assert form.answer == {"which": form.picks["which"], "hardness": 12.0, "speed": "slow"}


def test_what_is_not_on_offer_cannot_be_picked() -> None:
    form = Form(FORMS["few lanes"])
    form.pick({"band": 63.0, "direction": "boost"})
    assert form.picks == {"direction": "boost"}
