"""The loop against sums written out: wrapping, placing, letting go."""

from dataclasses import replace

import numpy as np
import pytest

from tests.ensemble.voices.notes import SHELF
from trainer.ensemble.bank import NoteBank
from trainer.ensemble.loop import AS_PLAYED, Loop, Placement, let_go
from trainer.ensemble.performance import OPEN_PEAK, perform
from trainer.ensemble.score import Note
from trainer.ensemble.voices.band import VOICES
from trainer.ensemble.voices.hits import LOUDNESS_EXPONENT
from trainer.ensemble.voices.sustained import MANNERS
from trainer.ensemble.voices.voice import Stroke, Voice, line_of
from trainer.sound import RATE_HZ

OPEN = [voice for voice in VOICES.values() if voice.release_s]


def noise(frames: int, channels: int, seed: int = 1) -> np.ndarray:
    return np.random.default_rng(seed).standard_normal((frames, channels)).astype(np.float32)


@pytest.mark.parametrize("channels", [1, 2])
def test_a_note_goes_round_and_round(channels: int) -> None:
    """Arithmetic: frame n of the note lands on frame (start + n) modulo the loop; the centre is -3 dB a side."""
    note, wanted = noise(2_500, channels), np.zeros((1_000, 2))
    sides = np.repeat(note * np.sqrt(0.5), 2, axis=1) if channels == 1 else note
    np.add.at(wanted, (700 + np.arange(2_500)) % 1_000, sides)
    loop = Loop(1_000)
    loop.add(line_of(note), start=700, pan=0.0)
    assert np.allclose(loop.stereo(AS_PLAYED), wanted, atol=1e-5)


@pytest.mark.parametrize(("pan", "width"), [(0.0, 1.0), (-0.4, 1.0), (0.7, 0.5), (1.0, 0.0)])
def test_a_placement_is_the_matrix_written_out(pan: float, width: float) -> None:
    """Mid and side by the textbook: the side scaled by the width, then the far channel by the cosine."""
    stereo = noise(500, 2)
    middle, side = stereo.mean(axis=1), 0.5 * (stereo[:, 0] - stereo[:, 1]) * width
    far = np.cos(abs(pan) * np.pi / 2.0)
    left, right = (1.0, far) if pan <= 0.0 else (far, 1.0)
    wanted = 0.5 * np.stack([left * (middle + side), right * (middle - side)], axis=1)
    loop = Loop(500)
    loop.add(line_of(stereo), start=0, pan=0.0)
    assert np.allclose(loop.stereo(Placement.of(gain=0.5, pan=pan, width=width)), wanted, atol=1e-6)


def test_a_note_at_one_place_is_placed_as_its_two_sides_would_be() -> None:
    """A voice's own pan, then the strip's matrix: the same whichever way it is worked out."""
    mono, placement = noise(300, 1), Placement.of(gain=0.7, pan=0.5, width=0.6)
    one, two = Loop(300), Loop(300)
    one.add(line_of(mono), start=0, pan=-0.3)
    two.add(line_of(mono), start=0, pan=-0.3)
    both = two.stereo(AS_PLAYED).copy().view(np.complex64)[:, 0]
    placement.apply(both)
    assert np.allclose(one.stereo(placement), both.view(np.float32).reshape(-1, 2), atol=1e-6)


@pytest.mark.parametrize("channels", [1, 2])
def test_a_note_let_go_falls_silent_in_time_without_dc(channels: int) -> None:
    """Nothing after the stop, nothing changed before the fade, and a sum of zero."""
    note = noise(5_000, channels)
    line = let_go(line_of(note.copy()), stop=4_000, fade=1_000)
    assert len(line) == 4_000
    assert np.array_equal(line[:3_000], line_of(note)[:3_000])
    assert abs(line[-1]) < 1e-3
    assert abs(line.astype(np.complex128).sum()) < 1e-2


@pytest.mark.parametrize("part", ["trumpets", "woodwinds", "synth-pad"])
def test_a_held_note_is_the_same_whether_a_longer_one_was_played_before(part: str) -> None:
    """What is in the bank decides nothing: a short note cut from a long one, or made by itself."""
    short = [Note(part, 0.0, 1.0, 60, 0.7)]
    longer = [Note(part, 0.0, 6.0, 60, 0.7)]
    frames = 4 * RATE_HZ
    used = NoteBank()
    perform(part, longer, beats=8, frames=frames, bank=used, seed=1)
    again = perform(part, short, beats=8, frames=frames, bank=used, seed=1)
    assert np.array_equal(again, perform(part, short, beats=8, frames=frames, bank=NoteBank(), seed=1))


@pytest.mark.parametrize("voice", OPEN, ids=lambda voice: voice.part)
@pytest.mark.parametrize("technique", MANNERS)
def test_every_length_is_the_start_of_the_next_to_the_last_frame(voice: Voice, technique: str) -> None:
    """By definition of a note without an end; and none passes the peak that its 16 bits are counted from."""
    longest = Stroke(voice.part, 58, voice.layers[-1], max(voice.lengths_s), technique, 0)
    full = voice.make(longest, np.random.default_rng(5), SHELF)
    assert np.abs(full).max() < OPEN_PEAK * longest.level**LOUDNESS_EXPONENT
    for length_s in voice.lengths_s[:-1:2]:
        note = voice.make(replace(longest, length_s=length_s), np.random.default_rng(5), SHELF)
        assert np.array_equal(note, full[: len(note)]), length_s
