"""One contract for every struck voice: what a voice promises, at every drum and technique."""

from itertools import pairwise

import numpy as np
import pytest

from tests.ensemble.voices.notes import PlainShelf, played
from tests.ensemble.voices.struck import mono
from trainer.ensemble.parts import PART_BY_KEY
from trainer.ensemble.performance import STOPPED
from trainer.ensemble.voices.band import VOICES
from trainer.ensemble.voices.hits import LAYERS
from trainer.ensemble.voices.voice import Voice

PITCHES = {
    "marimba": (36, 60, 96),
    "vibraphone": (53, 89),
    "xylophone": (65, 108),
    "glockenspiel": (77, 108),
    "timpani": (38, 57),
}

STRUCK = [voice for voice in VOICES.values() if not voice.lengths_s]


def strokes() -> list[tuple[Voice, int, str]]:
    found = []
    for voice in STRUCK:
        part = PART_BY_KEY[voice.part]
        for pitch in PITCHES.get(part.key, range(len(part.drums))):
            techniques = [technique for technique in part.techniques if technique not in STOPPED]
            found += [(voice, pitch, technique) for technique in ("plain", *techniques)]
    return found


def stroke_name(value: object) -> str:
    return value.part if isinstance(value, Voice) else str(value)


EVERY = pytest.mark.parametrize(("voice", "pitch", "technique"), strokes(), ids=stroke_name)


def test_every_struck_part_has_its_voice() -> None:
    struck = {part.key for part in PART_BY_KEY.values() if part.section in ("front-ensemble", "battery")}
    assert {voice.part for voice in STRUCK} == struck


@EVERY
def test_a_stroke_is_finite_free_of_dc_and_ends_in_silence(voice: Voice, pitch: int, technique: str) -> None:
    """The promise of ``Voice.make``; DC at least 60 dB below the stroke's rms."""
    for level in (voice.layers[0], voice.layers[-1]):
        note = played(voice, pitch, level=level, technique=technique)
        assert note.dtype == np.float32
        assert note.shape[1] in (1, 2)
        assert np.isfinite(note).all()
        peak = np.abs(note).max()
        assert abs(note[-1]).max() < 1e-4 * peak
        assert abs(note[0]).max() < 0.2 * peak
        rms = np.sqrt(np.mean(np.square(note, dtype=np.float64)))
        assert np.abs(note.mean(axis=0, dtype=np.float64)).max() < 1e-3 * rms


@EVERY
def test_a_stroke_is_made_again_from_its_seed_and_other_takes_are_others(
    voice: Voice, pitch: int, technique: str
) -> None:
    """Same stroke, same chance, a fresh shelf: the same samples, whatever was made before."""
    note = played(voice, pitch, technique=technique)
    again = played(voice, pitch, technique=technique, shelf=PlainShelf())
    other = played(voice, pitch, technique=technique, variant=1)
    assert np.array_equal(note, again)
    frames = min(len(note), len(other))
    assert not np.allclose(note[:frames], other[:frames], atol=1e-3 * float(np.abs(note).max()))


@pytest.mark.parametrize(
    ("voice", "pitch"), [(v, p) for v, p, t in strokes() if t == "plain"], ids=stroke_name
)
def test_regression_full_strokes_are_13_to_22_db_above_soft_ones(voice: Voice, pitch: int) -> None:
    soft, hard = (
        np.mean(
            [np.square(mono(played(voice, pitch, level=level, variant=v))[:14_400]).sum() for v in range(3)]
        )
        for level in (0.3, 0.95)
    )
    assert 13.0 < 10.0 * np.log10(hard / soft) < 22.0


@pytest.mark.parametrize(
    ("voice", "pitch"), [(v, p) for v, p, t in strokes() if t == "plain"], ids=stroke_name
)
def test_regression_medium_strokes_leave_room_below_full_scale(voice: Voice, pitch: int) -> None:
    peaks = [np.abs(played(voice, pitch, level=0.7, variant=v)).max() for v in range(3)]
    assert 0.12 < np.mean(peaks) < 0.6


def test_layers_rise_within_the_scale_of_velocity() -> None:
    assert all(low < high for low, high in pairwise(LAYERS))
    assert LAYERS[0] > 0.0
    assert LAYERS[-1] <= 1.0


@pytest.mark.parametrize(
    ("part", "pitch"), [("glockenspiel", 108), ("xylophone", 108), ("cymbals", 1), ("snare-line", 0)]
)
def test_nothing_folds_down_from_above_half_the_rate(part: str, pitch: int) -> None:
    """Nyquist: what is made band-limited has next to nothing above 22 kHz."""
    note = mono(played(VOICES[part], pitch, level=0.9))
    power = np.abs(np.fft.rfft(note * np.hanning(len(note)))) ** 2
    frequency_hz = np.fft.rfftfreq(len(note), 1.0 / 48_000)
    assert 10.0 * np.log10(power[frequency_hz > 22_200.0].sum() / power.sum()) < -60.0
