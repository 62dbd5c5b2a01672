"""A score as a Standard MIDI File (format 0, RP-001), its drums mapped to General MIDI percussion."""

import struct
from dataclasses import dataclass

from trainer.ensemble.score import Note, Score

TICKS_PER_BEAT = 480
PERCUSSION_CHANNEL = 9

PROGRAMS: dict[str, int] = {
    "marimba": 12, "vibraphone": 11, "xylophone": 13, "glockenspiel": 9, "timpani": 47,
    "bass-guitar": 33, "synth-pad": 89, "sub": 38, "narration": 53,
    "trumpets": 56, "mellophones": 60, "baritones": 57, "tubas": 58, "woodwinds": 73,
}  # fmt: skip
"""General MIDI level 1 sound set, counted from 0; the nearest there is."""

PERCUSSION: dict[str, tuple[int, ...]] = {
    "concert-bass-drum": (36,),
    "cymbals": (57, 49, 55),
    "drum-set": (36, 41, 48, 38, 42, 46, 51, 49),
    "snare-line": (40,),
    "tenor-line": (41, 43, 45, 47, 50),
    "bass-drum-line": (35, 36, 41, 43, 45),
}
"""General MIDI level 1 percussion keys for each part's drums, from the lowest drum up."""

_CHANNELS = {
    part: channel
    for part, channel in zip(PROGRAMS, [c for c in range(16) if c != PERCUSSION_CHANNEL], strict=False)
}


@dataclass(frozen=True, slots=True, order=True)
class _Event:
    """A message at a tick; of two at one tick the note that ends comes first."""

    tick: int
    message: bytes


def midi_file(score: Score) -> bytes:
    """Return the bytes of a MIDI file that plays a score."""
    events = [_Event(0, _tempo(score.tempo_bpm))]
    events += [_Event(0, bytes((0xC0 | _CHANNELS[part], program))) for part, program in PROGRAMS.items()]
    for note in score.notes:
        events += _sounded(note)
    track = b""
    before = 0
    for event in sorted(events, key=lambda event: (event.tick, event.message[0])):
        track += variable_length(event.tick - before) + event.message
        before = event.tick
    track += variable_length(0) + b"\xff\x2f\x00"
    header = struct.pack(">4sIHHH", b"MThd", 6, 0, 1, TICKS_PER_BEAT)
    return header + struct.pack(">4sI", b"MTrk", len(track)) + track


def variable_length(value: int) -> bytes:
    """Return a number as a variable-length quantity: seven bits a byte, all but the last marked by the highest."""
    parts = [value & 0x7F]
    while value := value >> 7:
        parts.append(0x80 | value & 0x7F)
    return bytes(reversed(parts))


def _tempo(tempo_bpm: float) -> bytes:
    return b"\xff\x51\x03" + round(60_000_000 / tempo_bpm).to_bytes(3, "big")


def _sounded(note: Note) -> tuple[_Event, _Event]:
    """Return the beginning and the end of a note."""
    drums = PERCUSSION.get(note.part)
    channel = PERCUSSION_CHANNEL if drums else _CHANNELS[note.part]
    key = drums[note.pitch] if drums else min(127, max(0, note.pitch))
    start = round(note.start_beat * TICKS_PER_BEAT)
    end = max(start + 1, round((note.start_beat + note.length_beats) * TICKS_PER_BEAT))
    velocity = min(127, max(1, round(127 * note.velocity)))
    return _Event(start, bytes((0x90 | channel, key, velocity))), _Event(end, bytes((0x80 | channel, key, 0)))
