"""Listening: taken to what a rep code can hold, and refused where it is not believed."""

import pytest

from trainer.practice.band_scale import OCTAVE_SCALE
from trainer.practice.listening import STANDARD, Listening, usable_bands
from trainer.refusal import Refused

ALL_HZ = OCTAVE_SCALE.names_hz


def test_the_standard_is_65_db_spl_all_ten_bands_and_the_threshold_of_hearing() -> None:
    assert (STANDARD.level_db_spl, STANDARD.usable_hz, STANDARD.thresholds_db_spl) == (65, ALL_HZ, ())


def test_levels_are_taken_to_whole_decibels_and_bands_to_their_order() -> None:
    listening = Listening(71.6, (4000.0, 63.0, 250.0, 63.0), (20.4,) * 9 + (-3.7,))
    assert listening.level_db_spl == 72
    assert listening.usable_hz == (63.0, 250.0, 4000.0)
    assert listening.thresholds_db_spl == (20,) * 9 + (-4,)


@pytest.mark.parametrize("level_db_spl", [19.0, 111.0, 19.49])
def test_a_level_nobody_listens_at_is_refused(level_db_spl: float) -> None:
    with pytest.raises(Refused, match="lies between 20 and 110"):
        Listening(level_db_spl)


@pytest.mark.parametrize("level_db_spl", [20.0, 110.0])
def test_the_ends_of_what_is_believed_are_believed(level_db_spl: float) -> None:
    assert Listening(level_db_spl).level_db_spl == level_db_spl


@pytest.mark.parametrize("count", [1, 9, 11])
def test_thresholds_are_ten_or_none(count: int) -> None:
    with pytest.raises(Refused, match=f"one for each octave band or none, not {count}"):
        Listening(thresholds_db_spl=(10.0,) * count)


@pytest.mark.parametrize(("threshold", "is_believed"), [(-21, False), (-20, True), (120, True), (121, False)])
def test_a_threshold_that_cannot_be_is_refused(threshold: float, is_believed: bool) -> None:
    levels = (0.0,) * 9 + (threshold,)
    if is_believed:
        assert Listening(thresholds_db_spl=levels).thresholds_db_spl[-1] == threshold
    else:
        with pytest.raises(Refused, match=f"{threshold} dB SPL is not believed"):
            Listening(thresholds_db_spl=levels)


@pytest.mark.parametrize(
    ("bands_hz", "said"),
    [
        (ALL_HZ[:2], "2 usable octave bands are too few to ask about: it takes 3"),
        ((44.0, *ALL_HZ[:3]), "not 44"),
    ],
)
def test_bands_that_cannot_be_asked_about_are_refused(bands_hz: tuple[float, ...], said: str) -> None:
    with pytest.raises(Refused, match=said):
        Listening(usable_hz=bands_hz)


def test_three_bands_are_enough() -> None:
    assert usable_bands(ALL_HZ[:3]) == ALL_HZ[:3]
