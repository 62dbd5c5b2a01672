"""The benchmark's MIDI files, against the Standard MIDI File specification and another library's reading."""

import io

import mido
import pytest

from trainer.bench.midi_files import PERCUSSION, PROGRAMS, midi_file, variable_length
from trainer.ensemble.parts import PARTS
from trainer.ensemble.score import Note, Score

SPECIFIED = {
    0x00000000: "00",
    0x00000040: "40",
    0x0000007F: "7F",
    0x00000080: "81 00",
    0x00002000: "C0 00",
    0x00003FFF: "FF 7F",
    0x00004000: "81 80 00",
    0x00100000: "C0 80 00",
    0x001FFFFF: "FF FF 7F",
    0x00200000: "81 80 80 00",
    0x08000000: "C0 80 80 00",
    0x0FFFFFFF: "FF FF FF 7F",
}


@pytest.mark.parametrize(("value", "written"), SPECIFIED.items())
def test_variable_length_quantities_are_those_of_the_specification(value: int, written: str) -> None:
    """Standard MIDI Files 1.0 (RP-001), "Conventions": the table of variable-length quantities."""
    assert variable_length(value) == bytes.fromhex(written)


def a_score() -> Score:
    notes = (
        Note("marimba", 0.0, 1.0, 60, 0.5),
        Note("marimba", 1.0, 0.5, 60, 1.0),
        Note("snare-line", 1.0, 0.25, 0, 0.8, "flam"),
        Note("trumpets", 2.5, 1.5, 70, 0.7),
    )
    return Score("two bars", 120.0, 4, 2, notes)


def test_another_library_reads_the_same_notes_at_the_same_times() -> None:
    """The mido library: notes, velocities and times in seconds at 120 beats to the minute."""
    read = mido.MidiFile(file=io.BytesIO(midi_file(a_score())))
    now_s, begun, ended = 0.0, [], []
    for message in read:
        now_s += message.time
        if message.type == "note_on":
            begun.append((round(now_s, 4), message.channel, message.note, message.velocity))
        elif message.type == "note_off":
            ended.append((round(now_s, 4), message.note))
    assert sorted(begun) == [
        (0.0, 0, 60, 64),
        (0.5, 0, 60, 127),
        (0.5, 9, 40, 102),
        (1.25, begun[-1][1], 70, 89),
    ]
    assert begun[-1][1] not in {0, 9}
    assert sorted(ended) == [(0.5, 60), (0.625, 40), (0.75, 60), (2.0, 70)]
    assert read.type == 0
    assert read.length == pytest.approx(2.0)


def test_every_part_has_a_sound_and_every_drum_a_key() -> None:
    for part in PARTS:
        if part.drums:
            assert len(PERCUSSION[part.key]) == len(part.drums)
        else:
            assert part.key in PROGRAMS


def test_percussion_keys_are_general_midi_ones() -> None:
    """General MIDI System Level 1 (RP-003): the percussion key map runs from 35 to 81."""
    assert all(35 <= key <= 81 for keys in PERCUSSION.values() for key in keys)
