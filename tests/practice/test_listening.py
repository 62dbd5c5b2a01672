"""What a rep is assumed to be listened on: checked at the door, whole decibels inside."""

import pytest

from trainer.dsp.octave_bands import NOMINAL_HZ
from trainer.practice.listening import STANDARD, Listening, usable_bands
from trainer.refusal import Refused


def test_the_standard_is_ten_bands_at_65_db_spl() -> None:
    assert (STANDARD.level_db_spl, STANDARD.usable_hz, STANDARD.thresholds_db_spl) == (65.0, NOMINAL_HZ, ())


def test_levels_are_kept_in_whole_decibels_so_that_a_code_can_hold_them() -> None:
    listening = Listening(71.6, NOMINAL_HZ[::-1], tuple(10.4 + place for place in range(10)))
    assert listening.level_db_spl == 72.0
    assert listening.usable_hz == NOMINAL_HZ
    assert listening.thresholds_db_spl == tuple(float(10 + place) for place in range(10))
    assert listening == Listening(72.0, NOMINAL_HZ, listening.thresholds_db_spl)


@pytest.mark.parametrize("level_db_spl", [20.0, 110.0])
def test_the_softest_and_the_loudest_level_are_levels(level_db_spl: float) -> None:
    assert Listening(level_db_spl).level_db_spl == level_db_spl


@pytest.mark.parametrize("level_db_spl", [19.4, 110.2, float("nan"), float("inf")])
def test_other_levels_are_refused(level_db_spl: float) -> None:
    with pytest.raises(Refused, match="a listening level is 20 to 110 dB SPL, not"):
        Listening(level_db_spl)


def test_thresholds_are_ten_or_none() -> None:
    with pytest.raises(Refused, match="thresholds of hearing are 10, one an octave band, not 3"):
        Listening(thresholds_db_spl=(1.0, 2.0, 3.0))
    with pytest.raises(Refused, match="a threshold of hearing is at most 110 dB SPL, not 300"):
        Listening(thresholds_db_spl=(300.0,) * 10)
    with pytest.raises(Refused, match="a threshold of hearing is at most 110 dB SPL, not nan"):
        Listening(thresholds_db_spl=(float("nan"),) * 10)


def test_bands_that_cannot_be_asked_about_are_refused() -> None:
    assert usable_bands([500.0, 63.0, 125.0]) == (63.0, 125.0, 500.0)
    with pytest.raises(Refused, match="2 usable octave bands are too few to ask about: it takes 3"):
        usable_bands((63.0, 125.0))
    with pytest.raises(Refused, match=r"the octave bands are 31\.5, .* Hz, not 60"):
        usable_bands((60.0, 63.0, 125.0, 250.0))
