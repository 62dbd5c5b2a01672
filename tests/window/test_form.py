"""The answer form: every exercise's fields find a place, and the keys reach every option."""

import itertools
from collections.abc import Sequence

import pytest

from trainer.ensemble.parts import PARTS, SECTIONS
from trainer.practice.band_scale import OCTAVE_SCALE, THIRD_SCALE
from trainer.practice.fields import (
    AmountField,
    BandField,
    ChoiceField,
    DirectionField,
    OptionField,
    WhichField,
)
from trainer.window.form import Form
from trainer.window.groups import Kind, groups_of

PACE = ChoiceField.of("speed", "speed", {"fast": "fast", "slow": "slow"})
AMOUNT = AmountField((1.5, 3.0, 6.0, 12.0))
STEMS = WhichField(tuple(part.key for part in PARTS))
FORMS: dict[str, tuple[OptionField, ...]] = {
    "octave tone": (BandField(), DirectionField()),
    "few lanes": (BandField((125.0, 1000.0, 4000.0)), DirectionField()),
    "band alone": (BandField(),),
    "third octaves": (BandField(THIRD_SCALE.names_hz, scale=THIRD_SCALE), DirectionField()),
    "few thirds": (
        BandField((25.0, 200.0, 315.0, 10_000.0, 16_000.0), scale=THIRD_SCALE),
        DirectionField(),
        AMOUNT,
    ),
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
def test_every_field_is_in_one_group(fields: Sequence[OptionField]) -> None:
    grouped = [field.key for group in groups_of(fields) for field in group.fields]
    assert sorted(grouped) == sorted(field.key for field in fields)


@pytest.mark.parametrize("fields", FORMS.values(), ids=FORMS)
def test_every_option_of_every_field_is_in_a_column(fields: Sequence[OptionField]) -> None:
    for group in groups_of(fields):
        shown = list(itertools.chain.from_iterable(group.columns))
        one = group.fields[0]
        assert isinstance(one, OptionField)
        assert sorted(map(str, shown)) == sorted(map(str, one.options))


@pytest.mark.parametrize("fields", FORMS.values(), ids=FORMS)
def test_arrows_reach_every_option(fields: tuple[OptionField, ...]) -> None:
    form = Form(fields)
    reached: set[tuple[str, object]] = set()
    for place in range(len(form.groups)):
        form.active = place
        for right, down in [(1, 0)] * 30 + [(-1, 0), (0, 1)] * 200 + [(0, -1), (1, 0)] * 200:
            form.arrow(right, down)
            reached |= set(form.picks.items())
        for _ in range(30):
            form.arrow(-1, 0)
            for down in [-1] * 10 + [1] * 10:
                form.arrow(0, down)
                reached |= set(form.picks.items())
    assert reached == {(field.key, option) for field in fields for option in field.options}


@pytest.mark.parametrize("fields", FORMS.values(), ids=FORMS)
def test_digits_reach_every_option_of_what_they_pick(fields: tuple[OptionField, ...]) -> None:
    form = Form(fields)
    for place, group in enumerate(form.groups):
        reached = set()
        for number, column in enumerate(group.columns, start=1):
            for third in range(3 if group.kind is Kind.FAN else len(column)):
                form.active = place
                form.close_lane()
                form.digit(number)
                if group.kind is Kind.FAN:
                    form.digit(third + 1)
                reached |= {form.picks[group.key]} if group.key in form.picks else set()
        assert reached == set(fields[[one.key for one in fields].index(group.key)].options)


def test_a_digit_picks_the_lane_it_stands_under_and_never_one_that_is_not_on_offer() -> None:
    form = Form(FORMS["few lanes"])
    form.digit(1)
    assert "band" not in form.picks
    form.digit(3)
    assert form.picks == {"band": 125.0}
    form.digit(0)
    assert form.picks == {"band": 125.0}
    assert OCTAVE_SCALE.names_hz[2] == 125.0


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


@pytest.mark.parametrize("name", ["octave tone", "third octaves", "level of sections", "few thirds"])
@pytest.mark.parametrize(("down", "place"), [(-1, 0), (1, -1)])
def test_the_first_arrow_up_is_more_and_the_first_down_is_less(name: str, down: int, place: int) -> None:
    form = Form(FORMS[name])
    one = next(one for one in FORMS[name] if isinstance(one, DirectionField))
    form.active = next(number for number, group in enumerate(form.groups) if one in group.fields)
    form.arrow(0, down)
    assert form.picks == {one.key: one.options[place]}


def test_a_digit_opens_an_octave_and_the_next_picks_a_third_in_it() -> None:
    form = Form(FORMS["third octaves"])
    form.digit(4)
    assert (form.opened, form.picks) == (3, {})
    form.digit(4)
    assert (form.opened, form.picks) == (3, {}), "an octave holds three"
    form.digit(3)
    form.arrow(0, -1)
    assert form.answer == {"band": 315.0, "direction": "boost"}
    form.arrow(1, 0)
    assert (form.opened, form.picks["band"]) == (4, 400.0)
    form.arrow(-1, 0)
    assert (form.opened, form.picks["band"]) == (3, 315.0)


def test_an_octave_that_is_closed_keeps_its_pick_until_another_is_opened() -> None:
    form = Form(FORMS["third octaves"])
    form.pick({"band": 315.0, "direction": "cut"})
    form.close_lane()
    assert (form.opened, form.answer) == (None, {"band": 315.0, "direction": "cut"})
    form.digit(4)
    assert form.picks["band"] == 315.0, "the same octave opened again"
    form.open_lane("band", 6)
    assert (form.opened, form.picks) == (6, {"direction": "cut"})
    form.open_lane("band", 6)
    assert form.opened is None


def test_thirds_and_octaves_that_are_not_on_offer_stay_shut() -> None:
    form = Form(FORMS["few thirds"])
    form.digit(2)
    assert (form.opened, form.picks) == (None, {})
    form.digit(4)
    form.digit(2)
    assert (form.opened, form.picks) == (3, {})
    form.digit(1)
    assert form.picks == {"band": 200.0}
    form.arrow(1, 0)
    assert form.picks == {"band": 315.0}
    form.arrow(1, 0)
    assert (form.opened, form.picks) == (8, {"band": 10_000.0})
