"""The narration against Peterson and Barney's vowels, and the shape of speech."""

import numpy as np
import pytest
from scipy import signal
from scipy.linalg import solve_toeplitz

from tests.ensemble.voices.notes import between, dc_db, played, power_above, power_db
from trainer.ensemble.voices.narration import INTONATIONS, VOICES_OF_FAMILY, VOWELS_HZ, syllable_of
from trainer.ensemble.voices.voice import Audio, Stroke
from trainer.sound import RATE_HZ
from trainer.units import midi_to_hz

NARRATION = VOICES_OF_FAMILY[0]
LENGTHS_S = np.arange(0.9, 1.4, 0.01)
"""Long syllables, whose opening vowel holds long enough to be measured."""

MENS_MEANS_HZ = {
    "heed": (270, 2290), "hid": (390, 1990), "head": (530, 1840), "had": (660, 1720), "hod": (730, 1090),
    "hawed": (570, 840), "hood": (440, 1020), "who'd": (300, 870), "hud": (640, 1190), "heard": (490, 1350),
}  # fmt: skip
"""Peterson and Barney, JASA 24 (1952), Table II, men, F1 and F2, as transcribed in public notes on it."""


def opening_of(vowel: str) -> Audio:
    """Return a steady piece of a syllable that opens with the vowel."""
    for length_s in LENGTHS_S:
        stroke = Stroke("narration", 43, 0.6, float(length_s), "plain", 0)
        if syllable_of(stroke).opening == vowel:
            return between(played(NARRATION, 43, level=0.6, length_s=float(length_s)), 0.16, 0.28)
    raise AssertionError(f"no syllable opens with {vowel!r}")


def formants_hz(sound: Audio) -> list[float]:
    """Return the resonances of a voice by linear prediction (autocorrelation method, order 12 at 10 kHz)."""
    mono = signal.resample_poly(sound[:, 0].astype(np.float64), 5, 24)
    emphasised = np.diff(mono) * np.hamming(len(mono) - 1)
    lags = np.correlate(emphasised, emphasised, "full")[len(emphasised) - 1 :]
    lags[0] *= 1.0 + 1e-6
    predictor = solve_toeplitz(lags[:12], lags[1:13])
    poles = np.roots(np.concatenate([[1.0], -predictor]))
    bandwidths_hz = -np.log(np.abs(poles)) * 10_000.0 / np.pi
    sharp = (poles.imag > 0.0) & (bandwidths_hz < 500.0)
    found_hz = np.sort(np.angle(poles[sharp]) * 10_000.0 / (2.0 * np.pi))
    return [float(found) for found in found_hz if found > 150.0]


@pytest.mark.parametrize("vowel", list(VOWELS_HZ))
def test_vowels_have_the_measured_mens_formants(vowel: str) -> None:
    """Peterson and Barney, JASA 24 (1952), Table II: F1 and F2, within 15 % by linear prediction."""
    found_hz = np.array(formants_hz(opening_of(vowel)))
    for wanted_hz in MENS_MEANS_HZ[vowel]:
        assert np.abs(found_hz / wanted_hz - 1.0).min() < 0.15


def test_the_table_is_the_papers() -> None:
    """Peterson and Barney, JASA 24 (1952), Table II."""
    assert {vowel: formants[:2] for vowel, formants in VOWELS_HZ.items()} == MENS_MEANS_HZ


def pitch_hz(sound: Audio) -> float:
    mono = sound[:, 0].astype(np.float64)
    lags = np.correlate(mono, mono, "full")[len(mono) - 1 :]
    lowest, highest = round(RATE_HZ / 250.0), round(RATE_HZ / 60.0)
    return RATE_HZ / (lowest + int(np.argmax(lags[lowest:highest])))


@pytest.mark.parametrize("technique", list(INTONATIONS))
def test_the_voice_speaks_around_its_pitch_and_falls(technique: str) -> None:
    """A statement falls (handbook knowledge): from near the note's pitch, most in a falling syllable."""
    note = played(NARRATION, 47, length_s=1.0, technique=technique)
    early, late = pitch_hz(between(note, 0.2, 0.3)), pitch_hz(between(note, 0.85, 0.95))
    fell = 12.0 * np.log2(early / late)
    assert abs(12.0 * np.log2(early / midi_to_hz(47))) < 3.0
    assert fell > (2.5 if technique == "falling" else 0.5)


def test_syllables_differ_but_a_note_says_the_same_every_time() -> None:
    """Written for this project: all ten vowels and every consonant are spoken."""
    said = {
        syllable_of(Stroke("narration", pitch, level, length_s, "plain", 0))
        for pitch in range(43, 53)
        for level in NARRATION.layers
        for length_s in NARRATION.lengths_s
    }
    assert {syllable.opening for syllable in said} == set(VOWELS_HZ)
    assert len({syllable.consonant for syllable in said}) == 5
    takes = [played(NARRATION, 47, length_s=0.26, variant=variant) for variant in (0, 0, 1)]
    assert np.array_equal(takes[0], takes[1])
    assert not np.array_equal(takes[0], takes[2])


def test_consonants_reach_the_top_octaves() -> None:
    """Hisses lie above 4 kHz: some syllable's first 60 ms have most of their power there, no vowel does."""
    shares = []
    for pitch in range(43, 53):
        note = played(NARRATION, pitch, length_s=0.26)
        loud = power_above(note, 4000.0)
        whole = np.square(note).sum(axis=1)
        shares.append(loud[:2400].sum() / whole[:2400].sum())
        assert loud[6500:11_000].sum() < 0.2 * whole[6500:11_000].sum()
    assert max(shares) > 0.5


@pytest.mark.parametrize("pitch", [43, 48, 52])
def test_a_syllable_ends_quietly_without_dc(pitch: int) -> None:
    """The contract of a voice."""
    note = played(NARRATION, pitch, length_s=0.2)
    assert np.abs(note[-8:]).max() < 1e-4
    assert dc_db(note) < -60.0
    assert power_db(note) > -40.0
