"""Words for octave bands (common practice, no source): every band has two sentences, each its own."""

import pytest

from trainer.dsp.octave_bands import NOMINAL_HZ
from trainer.practice.band_scale import band_label
from trainer.practice.band_words import CLAUSES, sounds_like
from trainer.practice.fields import DirectionField

DIRECTIONS = ("boost", "cut")
SENTENCES = {(band_hz, way): sounds_like(band_hz, way) for band_hz in NOMINAL_HZ for way in DIRECTIONS}
FEWEST_WORDS = 3


def test_every_octave_band_and_no_other_has_its_words() -> None:
    """ISO 266: the ten nominal octave bands from 31.5 Hz to 16 kHz, low to high."""
    assert tuple(CLAUSES) == NOMINAL_HZ
    assert DirectionField().options == DIRECTIONS


@pytest.mark.parametrize(("band_hz", "way"), SENTENCES)
def test_a_sentence_is_short_and_whole(band_hz: float, way: str) -> None:
    sentence = SENTENCES[band_hz, way]
    assert len(sentence) <= 90
    assert sentence.endswith(".")
    assert sentence.count(".") == 1 + ("31.5" in sentence)
    assert "  " not in sentence
    assert sentence.startswith(f"{band_label(band_hz)} too {'strong' if way == 'boost' else 'weak'} sounds ")
    assert len(sentence.partition(": ")[2].split()) >= FEWEST_WORDS


def test_no_two_bands_are_described_alike() -> None:
    """Neither the word for the sound nor the picture that explains it serves twice."""
    clauses = [clause for band in CLAUSES.values() for clause in (band.strong, band.weak)]
    words, pictures = zip(*(clause.split(": ") for clause in clauses), strict=True)
    assert len(clauses) == 20
    assert len(set(words)) == len(set(pictures)) == 20


def test_what_is_no_band_or_no_direction_is_refused() -> None:
    with pytest.raises(ValueError, match="did you mean kHz"):
        sounds_like(2.0, "boost")
    with pytest.raises(ValueError, match="boost or cut, not 'up'"):
        sounds_like(1000.0, "up")


def test_regression_the_words_of_500_hz() -> None:
    assert sounds_like(500.0, "boost") == "500 Hz too strong sounds boxy: mallets as if heard through a door."
    assert sounds_like(500, "cut").startswith("500 Hz too weak sounds hollow: ")
