"""The pad, the sub and its drop, against the standard pitch and what their names promise."""

import numpy as np
import pytest
from scipy import fft

from tests.ensemble.voices.notes import (
    between,
    dc_db,
    harmonic_levels_db,
    pitch_curve_cents,
    played,
    power_above,
    wobble_db,
)
from trainer.ensemble.voices.electronics import DROP_START, VOICES_OF_FAMILY
from trainer.ensemble.voices.voice import Voice
from trainer.sound import RATE_HZ
from trainer.units import midi_to_hz

PAD, SUB = VOICES_OF_FAMILY


@pytest.mark.parametrize("pitch", [48, 55, 60, 67, 72])
def test_the_pad_stands_at_the_standard_pitch_and_does_not_wobble(pitch: int) -> None:
    """ISO 16 within 5 cents; the level over 100 ms within 1 dB (sd, written for this project)."""
    note = between(played(PAD, pitch, length_s=3.0), 0.6, 2.9)
    curve = pitch_curve_cents(note, pitch, reach_hz=0.3 * midi_to_hz(pitch))
    assert abs(np.median(curve[20:-20])) < 5.0
    assert wobble_db(note) < 1.0


def test_the_pad_is_a_sawtooth_behind_a_low_pass() -> None:
    """A sawtooth's harmonics fall as 1/k (its Fourier series), as long as the low-pass is open."""
    note = between(played(PAD, 48, level=0.95, length_s=4.0), 0.6, 3.9)
    levels_db = harmonic_levels_db(note, 48, count=6)
    assert levels_db - levels_db[0] == pytest.approx(-20.0 * np.log10(np.arange(1, 7)), abs=2.0)


def test_the_pad_opens_with_the_level() -> None:
    """The low-pass follows the level: more above 2 kHz beside the whole when played louder."""
    share = []
    for level in (0.3, 0.9):
        note = between(played(PAD, 60, level=level, length_s=3.0), 0.5, 2.9)
        share.append(power_above(note, 2000.0).mean() / np.square(note).mean())
    assert share[1] > 4.0 * share[0]


@pytest.mark.parametrize("pitch", [24, 28, 31, 36])
def test_the_sub_stands_at_the_standard_pitch(pitch: int) -> None:
    """ISO 16, within 2 cents: 32.70 Hz for C1 and its neighbours."""
    note = between(played(SUB, pitch, length_s=4.0), 0.2, 3.8)
    curve = pitch_curve_cents(note, pitch, reach_hz=15.0)
    assert abs(np.median(curve[50:-50])) < 2.0


def test_the_sub_hardly_reaches_above_two_hundred_hertz() -> None:
    """A sub is a sub: 20 dB less above 200 Hz than below."""
    note = played(SUB, 28, length_s=2.0)
    assert power_above(note, 200.0).sum() < 0.01 * np.square(note).sum()


def test_the_drop_sweeps_down_to_its_note() -> None:
    """A drop falls (that is its name): from over an octave above to the note, never rising on its way."""
    note = played(SUB, 28, length_s=2.0, technique="drop")
    mono = note[:, 0].astype(np.float64)
    up = np.flatnonzero((mono[:-1] < 0.0) & (mono[1:] >= 0.0))
    crossings_s = (up - mono[up] / (mono[up + 1] - mono[up])) / RATE_HZ
    frequencies_hz = 1.0 / np.diff(crossings_s)[:-4]
    assert frequencies_hz[0] > 0.7 * DROP_START * midi_to_hz(28)
    assert frequencies_hz[-1] == pytest.approx(midi_to_hz(28), rel=0.03)
    assert np.all(np.diff(frequencies_hz) < 0.3)


@pytest.mark.parametrize(
    ("voice", "pitch", "technique"), [(PAD, 60, "plain"), (SUB, 28, "plain"), (SUB, 26, "drop")]
)
def test_a_note_ends_without_a_click_or_dc(voice: Voice, pitch: int, technique: str) -> None:
    """A click is broadband: above 6 kHz nothing happens at either end; DC 60 dB under the rms."""
    note = played(voice, pitch, length_s=1.0, technique=technique)
    power = power_above(note, 6000.0)
    assert power[-480:].mean() <= power.mean() + 1e-9
    assert power[:480].mean() <= power.mean() + 1e-9
    assert np.abs(note[-8:]).max() < 1e-4
    assert dc_db(note) < -60.0


def test_the_sub_is_made_of_sound_a_speaker_can_play() -> None:
    """The drive's harmonics fall off long before they could alias: 90 dB down above 2 kHz."""
    spectrum = np.square(
        np.abs(fft.rfft(between(played(SUB, 36, length_s=2.0), 0.2, 1.8)[:, 0] * np.blackman(76_800)))
    )
    frequency_hz = fft.rfftfreq(76_800, 1.0 / RATE_HZ)
    assert 10.0 * np.log10(spectrum[frequency_hz > 2000.0].sum() / spectrum.sum()) < -80.0
