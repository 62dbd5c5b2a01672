"""The note bank: its cap, its order of giving up, its 16 bits, its safety between threads."""

import threading

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.ensemble.bank import KeptNote, NoteBank
from trainer.ensemble.voices.voice import Audio


def tone(frames: int, level: float = 0.5) -> Audio:
    wave = level * np.sin(np.arange(frames) * 0.05)
    return np.stack([wave, 0.5 * wave], axis=1).astype(np.float32)


def test_sixteen_bits_lie_98_db_below_full_scale() -> None:
    """The textbook figure for a quantiser: 6.02 x 16 + 1.76 = 98.1 dB for a full-scale sine."""
    audio = tone(48_000)[:, :1]
    kept = KeptNote.of(audio)
    error = kept.steps * kept.step - audio[:, 0].astype(np.float64)
    assert 10.0 * np.log10(np.mean(audio**2) / np.mean(error**2)) == pytest.approx(98.1, abs=1.0)
    assert kept.nbytes == audio.nbytes // 2


def test_a_line_holds_left_and_right_as_a_complex_number() -> None:
    """By definition: left is its real part, right its imaginary part; -6.02 dB is a half."""
    audio = tone(1_000)
    line = KeptNote.of(audio).line(400, 0.5)
    assert np.allclose(line.real, 0.5 * audio[:400, 0], atol=1e-4)
    assert np.allclose(line.imag, 0.5 * audio[:400, 1], atol=1e-4)
    assert np.isrealobj(KeptNote.of(audio[:, :1]).line(400, 0.5))


def test_silence_can_be_kept() -> None:
    kept = KeptNote.of(np.zeros((100, 2), np.float32))
    assert not kept.steps.any()
    assert (kept.stereo, kept.frames) == (True, 100)


def test_a_note_that_is_too_short_is_made_again_and_counted_once() -> None:
    """The longer one takes the shorter one's place, and serves whoever wants less."""
    bank = NoteBank()
    short = bank.note("a", lambda: tone(100), at_least=50, peak=1.0)
    longer = bank.note("a", lambda: tone(300), at_least=200, peak=1.0)
    assert bank.note("a", lambda: tone(100), at_least=100, peak=1.0) is longer
    assert np.array_equal(longer.line(100, 1.0), short.line(100, 1.0))
    assert bank.held_bytes == longer.nbytes
    assert (len(bank), bank.made) == (1, 2)


def test_what_is_kept_is_not_made_again() -> None:
    bank, calls = NoteBank(), []

    def make() -> Audio:
        calls.append(1)
        return tone(1_000)

    first, again = bank.note("a", make), bank.note("a", make)
    assert first is again
    assert len(calls) == bank.made == 1


def test_a_table_and_a_note_of_one_key_are_two_things() -> None:
    bank = NoteBank()
    table = bank.keep("a", lambda: tone(10))
    assert table.dtype == np.float32
    assert bank.note("a", lambda: tone(10)).steps.dtype == np.int16
    assert len(bank) == 2


def test_the_longest_unused_goes_first() -> None:
    """The definition of least recently used."""
    bank = NoteBank(cap_bytes=3 * 4_000)
    for key in "abc":
        bank.note(key, lambda: tone(1_000))
    bank.note("a", lambda: tone(1_000))
    bank.note("d", lambda: tone(1_000))
    made = bank.made
    for key in "acd":
        bank.note(key, lambda: tone(1_000))
    assert bank.made == made
    bank.note("b", lambda: tone(1_000))
    assert bank.made == made + 1


@given(st.lists(st.tuples(st.integers(0, 30), st.integers(1, 4_000)), max_size=60), st.integers(0, 40_000))
def test_the_cap_is_never_passed(wanted: list[tuple[int, int]], cap_bytes: int) -> None:
    """The bank's promise, whatever is asked of it in whatever order; and its count of bytes is true."""
    bank = NoteBank(cap_bytes=cap_bytes)
    for key, frames in wanted:
        note = bank.note((key, frames), lambda frames=frames: tone(frames))
        assert note.frames == frames
        assert bank.held_bytes <= cap_bytes
    again = sum(1 for asked in set(wanted) if _is_kept(bank, asked))
    assert again == len(bank)


def _is_kept(bank: NoteBank, asked: tuple[int, int]) -> bool:
    return ("note", asked) in bank._kept


def test_threads_share_a_bank_and_get_what_they_asked_for() -> None:
    bank, wrong = NoteBank(cap_bytes=200_000), []

    def play(seed: int) -> None:
        rng = np.random.default_rng(seed)
        for frames in rng.integers(1, 3_000, 300).tolist():
            if bank.note(frames, lambda frames=frames: tone(frames)).frames != frames:
                wrong.append(frames)

    threads = [threading.Thread(target=play, args=(seed,)) for seed in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert not wrong
    assert bank.held_bytes == sum(kept.nbytes for kept in bank._kept.values()) <= 200_000
