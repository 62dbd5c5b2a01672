"""The bass guitar against the stiff string's partials and the standard pitch."""

import numpy as np
import pytest
from scipy import fft

from tests.ensemble.voices.notes import between, dc_db, played, power_above, power_db
from trainer.ensemble.voices.strings import STIFFNESS, VOICES_OF_FAMILY
from trainer.sound import RATE_HZ
from trainer.units import midi_to_hz

BASS = VOICES_OF_FAMILY[0]


def partial_hz(note: np.ndarray, near_hz: float) -> float:
    window = np.blackman(len(note))
    spectrum = np.abs(fft.rfft(note[:, 0] * window, n=1 << 19))
    frequency_hz = fft.rfftfreq(1 << 19, 1.0 / RATE_HZ)
    near = np.abs(frequency_hz - near_hz) < 0.03 * near_hz
    return float(frequency_hz[near][np.argmax(spectrum[near])])


@pytest.mark.parametrize("pitch", [28, 33, 40, 47, 55])
def test_an_open_note_stands_at_the_standard_pitch(pitch: int) -> None:
    """ISO 16, within 3 cents, from the first second after the pluck."""
    note = between(played(BASS, pitch, length_s=2.4), 0.05, 2.0)
    assert abs(1200.0 * np.log2(partial_hz(note, midi_to_hz(pitch)) / midi_to_hz(pitch))) < 3.0


def test_partials_are_stretched_by_the_strings_stiffness() -> None:
    """A stiff string's partials: k f0 sqrt(1 + B k^2) (Fletcher, JASA 36, 1964; from memory)."""
    note = between(played(BASS, 33, level=0.9, length_s=2.4), 0.02, 1.5)
    for number in (2, 4, 7, 9):
        wanted_hz = number * midi_to_hz(33) * np.sqrt((1.0 + STIFFNESS * number**2) / (1.0 + STIFFNESS))
        assert partial_hz(note, wanted_hz) == pytest.approx(wanted_hz, rel=1e-3)


def test_a_muted_note_dies_away_soon() -> None:
    """The muting hand: 20 dB quieter after a quarter of a second than an open string."""
    muted, ringing = (
        between(played(BASS, 40, length_s=1.2, technique=technique), 0.3, 0.4)
        for technique in ("muted", "plain")
    )
    assert power_db(muted) < power_db(ringing) - 15.0


def test_a_hard_pluck_is_brighter() -> None:
    """Trade knowledge (common practice, no source): louder is brighter, a quarter more above 500 Hz."""
    shares = []
    for level in (0.3, 0.95):
        note = between(played(BASS, 33, level=level, length_s=0.6), 0.0, 0.1)
        shares.append(power_above(note, 500.0).sum() / np.square(note).sum())
    assert shares[1] > 1.25 * shares[0]


def test_takes_differ_and_repeat() -> None:
    """The contract of a voice: the same take is the same sound, another take is not; no DC, a quiet end."""
    first = played(BASS, 40, length_s=0.6)
    assert np.array_equal(first, played(BASS, 40, length_s=0.6))
    assert not np.array_equal(first, played(BASS, 40, length_s=0.6, variant=1))
    assert dc_db(first) < -60.0
    assert np.abs(first[-8:]).max() < 1e-4
