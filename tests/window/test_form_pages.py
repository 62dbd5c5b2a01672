"""The pages of forms with lanes that open, lists and controls: whole at every size, and every option can be pressed."""

import copy
from dataclasses import dataclass

import numpy as np
import pytest

from tests.window.form_pages import form_page
from tests.window.page_troubles import troubles_of
from trainer.ensemble.parts import SECTIONS
from trainer.playback.sdl import pygame
from trainer.practice.band_scale import THIRD_SCALE
from trainer.practice.control_field import ControlField
from trainer.practice.fields import AmountField, BandField, DirectionField, Field, WhichField
from trainer.practice.list_field import ListField
from trainer.window.control import Control
from trainer.window.form import DEEDS, Form
from trainer.window.gallery import LOOKS, Look

THIRDS = BandField(THIRD_SCALE.names_hz[2:27], title="third-octave band", scale=THIRD_SCALE)
CHANGES = ListField((BandField(), DirectionField()), 4)
LONG_LIST = ListField((THIRDS, DirectionField()), 6)
SHORT_LIST = ListField((BandField(), DirectionField()), 1)
SECTION_KEYS = tuple(section.key for section in SECTIONS)
FADERS = ListField((WhichField(SECTION_KEYS), DirectionField(("up", "down")), AmountField((3.0, 6.0))), 4)
DELAY = ControlField("delay", "delay", "ms", 0.0, 40.0, 0.5, 1.0)
AMOUNT = AmountField((3.0, 6.0, 12.0))
WAY = DirectionField()


@dataclass(frozen=True)
class Strange:
    """A field that the window knows nothing of."""

    key: str = "strange"
    title: str = "strange"


def opened(fields: tuple[Field, ...], *digits: int, down: int = 0) -> Form:
    """Return a form after some digits and an arrow."""
    form = Form(fields)
    for digit in digits:
        form.digit(digit)
    if down:
        form.arrow(0, down)
    return form


def closed(form: Form) -> Form:
    """Return a form with its lane closed."""
    form.close_lane()
    return form


def listed(one: ListField, count: int, *, more: tuple[Field, ...] = ()) -> Form:
    """Return a form of a list with so many rows, and a blank one if there is room."""
    form = Form((one, *more))
    form.pick({one.key: one.any_rows(count, np.random.default_rng(1))})
    form.next_row()
    return form


FORMS: dict[str, Form] = {
    "thirds, none open": opened((THIRDS, WAY)),
    "thirds, open": opened((THIRDS, WAY), 4, 3, down=-1),
    "thirds, open at the low end": opened((THIRDS, WAY), 1, 3, down=1),
    "thirds, open at the high end": opened((THIRDS, WAY), 9),
    "thirds, closed on a pick": closed(opened((THIRDS, WAY), 4, 3, down=1)),
    "thirds, closed, no way yet": closed(opened((THIRDS, WAY), 4, 3)),
    "thirds alone": opened((THIRDS,), 5, 1),
    "thirds beside an amount": opened((THIRDS, WAY, AMOUNT), 6, 2, down=1),
    "list, blank": listed(CHANGES, 0),
    "list, begun": listed(CHANGES, 2),
    "list, full": listed(CHANGES, 4),
    "list of one": listed(SHORT_LIST, 1),
    "list of thirds": listed(LONG_LIST, 5),
    "list of faders": listed(FADERS, 2),
    "list beside others": listed(CHANGES, 2, more=(AMOUNT, DELAY)),
    "control": Form((DELAY,)),
    "control, set, beside others": opened((DELAY, WAY, AMOUNT), 0),
    "unknown": Form((Strange(), WAY)),  # type: ignore[arg-type]
}


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.name)
@pytest.mark.parametrize("name", FORMS)
def test_the_page_of_a_form_is_whole_and_drawing_it_changes_nothing(name: str, look: Look) -> None:
    form = FORMS[name]
    before = copy.deepcopy(form)
    one, again = form_page(form, look), form_page(form, look)
    assert list(troubles_of(one)) == []
    assert form == before
    assert pygame.image.tobytes(one.surface, "RGB") == pygame.image.tobytes(again.surface, "RGB")


def controls_of(form: Form) -> dict[str, Control]:
    """Return what can be pressed in a form, by name."""
    return {one.key: one for one in form_page(form, LOOKS[0]).controls if one.intent.do in ("pick", "form")}


def press(form: Form, name: str) -> None:
    """Press a control of a form."""
    intent = controls_of(form)[name].intent
    if intent.do == "pick":
        form.pick(intent.value)  # type: ignore[arg-type]
    else:
        deed, *arguments = intent.value  # type: ignore[misc]
        DEEDS[deed](form, *arguments)


def test_every_third_on_offer_can_be_pressed_both_ways_with_the_mouse_alone() -> None:
    reached = set()
    for lane in range(1, 11):
        form = Form((THIRDS, WAY))
        if f"band lane {lane}" not in controls_of(form):
            continue
        press(form, f"band lane {lane}")
        for name in controls_of(form):
            if ":" in name:
                press(form, name)
                reached.add((form.picks["band"], form.picks["direction"]))
    assert reached == {(band, way) for band in THIRDS.options for way in WAY.options}


def test_a_lane_is_opened_shut_and_left_for_another_with_the_mouse() -> None:
    form = Form((THIRDS, WAY))
    press(form, "band lane 4")
    assert controls_of(form)["band lane 4"].chosen
    press(form, "250.0:cut")
    press(form, "band lane 4")
    assert (form.opened, form.picks) == (None, {"band": 250.0, "direction": "cut"})
    press(form, "band lane 5")
    press(form, "band lane 6")
    assert (form.opened, form.picks) == (5, {"direction": "cut"})


def test_thirds_that_are_not_on_offer_and_bare_octaves_cannot_be_pressed() -> None:
    form = opened((THIRDS, WAY), 1)
    names = set(controls_of(form))
    assert {"40.0:boost", "40.0:cut"} <= names
    assert not names & {"25.0:boost", "31.5:boost", "31.5:cut", "band lane 10"}


def test_rows_are_added_changed_and_removed_with_the_mouse() -> None:
    form = Form((CHANGES,))
    press(form, "changes.500.0:boost")
    press(form, "changes row 2")
    press(form, "changes.2000.0:cut")
    assert form.answer == {
        "changes": ({"band": 500.0, "direction": "boost"}, {"band": 2000.0, "direction": "cut"})
    }
    press(form, "changes row 1")
    press(form, "changes.63.0:cut")
    press(form, "changes row 2 remove")
    assert form.answer == {"changes": ({"band": 63.0, "direction": "cut"},)}


def test_a_sheet_shows_the_learners_own_rows_and_no_others() -> None:
    form = Form((CHANGES,))
    form.pick({"changes": ({"band": 500.0, "direction": "boost"},)})
    words = [one.words for one in form_page(form, LOOKS[0]).written]
    assert words.count("500 Hz") == 1
    assert not {"63 Hz", "2 kHz", "3", "4"} & set(words) - {"3", "4"}
    rows = [name for name in controls_of(form) if name.startswith("changes row")]
    assert rows == ["changes row 1 remove", "changes row 1", "changes row 2"]


def test_the_mouse_sets_a_control_roughly_along_its_line_and_finely_by_its_buttons() -> None:
    form = Form((DELAY,))
    names = [name for name in controls_of(form) if name.startswith("delay:")]
    assert (names[0], names[-1]) == ("delay:0", "delay:40")
    press(form, names[len(names) // 2])
    middle = form.picks["delay"]
    assert middle == pytest.approx(20.0, abs=1.0)
    press(form, "delay more")
    press(form, "delay more")
    press(form, "delay less")
    assert form.picks["delay"] == middle + DELAY.step  # type: ignore[operator]
    assert f"{form.picks['delay']:g} ms" in [one.words for one in form_page(form, LOOKS[0]).written]


def test_a_field_without_a_form_says_where_it_can_be_answered() -> None:
    words = " ".join(one.words for one in form_page(FORMS["unknown"], LOOKS[0]).written)
    assert "strange: The window has no form for this." in words
    assert "yardline drill --text" in words
