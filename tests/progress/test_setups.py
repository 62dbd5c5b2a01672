"""Setups: what is kept of what one listens on, and what is said of it."""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.progress.made_up import BANDS, START
from trainer.progress.setups import (
    SETUPS_SETTING,
    Calibration,
    Setup,
    bands_words,
    calibrate_setup,
    choose_setup,
    chosen_setup,
    forget_setup,
    from_text,
    keep_setup,
    setup_name,
    setups_of,
    to_text,
)
from trainer.progress.store import Store, open_store
from trainer.refusal import Refused

HEADPHONES = Setup("headphones", "", BANDS, START)
LAPTOP = Setup("laptop", "Built-in Output", BANDS[3:9], START, Calibration(-24.0, 70.0, "A"))


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with open_store(tmp_path / "store.sqlite", now=START) as opened:
        yield opened


def test_what_was_checked_is_kept_and_chosen_for_its_learner_alone(store: Store) -> None:
    keep_setup(store, "Heron", HEADPHONES)
    keep_setup(store, "Heron", LAPTOP)
    assert setups_of(store, "Heron") == (HEADPHONES, LAPTOP)
    assert chosen_setup(store, "Heron") == LAPTOP
    assert choose_setup(store, "Heron", "headphones") == HEADPHONES
    assert chosen_setup(store, "Heron") == HEADPHONES
    assert (setups_of(store, "Plover"), chosen_setup(store, "Plover")) == ((), None)


def test_checked_again_it_takes_the_place_of_the_old(store: Store) -> None:
    keep_setup(store, "Heron", HEADPHONES)
    keep_setup(store, "Heron", replace(HEADPHONES, usable_hz=BANDS[1:]))
    assert [setup.usable_hz for setup in setups_of(store, "Heron")] == [BANDS[1:]]


def test_a_forgotten_setup_is_no_longer_listened_on(store: Store) -> None:
    keep_setup(store, "Heron", HEADPHONES)
    forget_setup(store, "Heron", "headphones")
    assert (setups_of(store, "Heron"), chosen_setup(store, "Heron")) == ((), None)


def test_one_that_is_not_there_is_refused_with_those_that_are(store: Store) -> None:
    with pytest.raises(Refused, match="there is none yet: `yardline setup check` makes one"):
        choose_setup(store, "Heron", "headphone")
    keep_setup(store, "Heron", HEADPHONES)
    with pytest.raises(Refused, match=r"no setup 'headphone'; there are 'headphones'"):
        choose_setup(store, "Heron", "headphone")


def test_what_cannot_be_read_is_no_setup(store: Store) -> None:
    for damaged in ("{", "[1]", '[{"name": "x"}]', "7"):
        store.settings.set("Heron", SETUPS_SETTING, damaged)
        assert setups_of(store, "Heron") == ()


@given(
    st.sets(st.sampled_from(BANDS), min_size=3),
    st.text(min_size=1, max_size=20).filter(lambda text: text.isprintable() and text.strip()),
)
def test_setups_come_back_as_they_were(usable: set[float], name: str) -> None:
    made = Setup(name, "Ω-Interface", tuple(usable), START, Calibration(-18.0, 71.5, "C"))
    assert from_text(to_text([made, LAPTOP])) == (made, LAPTOP)
    assert made.usable_hz == tuple(sorted(usable))


def test_a_reading_moves_with_the_level(store: Store) -> None:
    keep_setup(store, "Heron", HEADPHONES)
    assert HEADPHONES.reading_db(-20.0) is None
    changed = calibrate_setup(store, "Heron", "headphones", Calibration(-20.0, 72.0, "A"))
    assert changed.reading_db(-14.0) == pytest.approx(78.0)
    assert setups_of(store, "Heron") == (changed,)


@pytest.mark.parametrize(
    ("reads_db", "weighting", "said"),
    [(700.0, "A", "a meter reads 20 to 130 dB there"), (70.0, "Z", "weighting is A or C")],
)
def test_what_no_meter_reads_is_refused(reads_db: float, weighting: str, said: str) -> None:
    with pytest.raises(Refused, match=said):
        Calibration(-20.0, reads_db, weighting)


@pytest.mark.parametrize("typed", ["", "  ", "x" * 41, "a\nb\0"])
def test_what_is_no_name_is_refused(typed: str) -> None:
    with pytest.raises(Refused, match="name has 1 to 40 letters"):
        setup_name(typed)


@pytest.mark.parametrize(
    ("usable", "words"),
    [
        (BANDS, "all ten octave bands"),
        (BANDS[2:], "125 Hz to 16 kHz"),
        ((63.0, 125.0, 500.0, 1000.0), "63 Hz to 1 kHz but 250 Hz"),
    ],
)
def test_which_bands_it_plays_is_said_with_its_gaps(usable: tuple[float, ...], words: str) -> None:
    assert bands_words(usable) == words
