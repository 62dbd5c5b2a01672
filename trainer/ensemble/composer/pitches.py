"""Pitches: where the tones of a scale or chord lie within an instrument's range (MIDI note numbers)."""

from bisect import bisect_left
from functools import lru_cache
from typing import NamedTuple

PitchClasses = tuple[int, ...]


class Range(NamedTuple):
    """The lowest and the highest note of an instrument, as it sounds."""

    low: int
    high: int


EVERYWHERE = Range(0, 127)

RANGES: dict[str, Range] = {
    # Mallet instruments and timpani: the makers' usual ranges (trpercussion.com).
    "marimba": Range(36, 96),  # C2-C7
    "vibraphone": Range(53, 89),  # F3-F6
    "xylophone": Range(65, 108),  # F4-C8
    "glockenspiel": Range(77, 113),  # F5-F8 (from memory: two to three octaves up from F5)
    "timpani": Range(36, 60),  # C2-C4
    # Common practice, no source.
    "trumpets": Range(52, 84),  # E3-C6
    "mellophones": Range(57, 81),  # A3-A5
    "baritones": Range(40, 70),  # E2-Bb4
    "tubas": Range(34, 50),  # Bb1-D3: the band of the range that carries
    "woodwinds": Range(60, 96),  # C4-C7
    "bass-guitar": Range(28, 55),  # E1-G3
    "sub": Range(24, 36),  # C1-C2
    "synth-pad": Range(48, 72),  # C3-C5
    "narration": Range(43, 52),  # a speaking voice, 98-165 Hz
}


@lru_cache(maxsize=512)
def ladder(pitch_classes: PitchClasses) -> tuple[int, ...]:
    """Return every MIDI note of the pitch classes, going up."""
    wanted = set(pitch_classes)
    return tuple(pitch for pitch in range(128) if pitch % 12 in wanted)


@lru_cache(maxsize=8192)
def nearest(pitch: int, pitch_classes: PitchClasses, within: Range = EVERYWHERE) -> int:
    """Return the note of the pitch classes nearest to ``pitch`` inside a range of an octave or more."""
    inside = [rung for rung in ladder(pitch_classes) if within.low <= rung <= within.high]
    return min(inside, key=lambda rung: abs(rung - pitch))


@lru_cache(maxsize=8192)
def stepped(pitch: int, steps: int, pitch_classes: PitchClasses) -> int:
    """Return the note so many rungs of the ladder above ``pitch`` (below, when negative)."""
    rungs = ladder(pitch_classes)
    here = bisect_left(rungs, pitch)
    return rungs[min(max(here + steps, 0), len(rungs) - 1)]


def folded(pitch: int, within: Range) -> int:
    """Return the pitch, moved by octaves until it lies in a range of an octave or more."""
    while pitch < within.low:
        pitch += 12
    while pitch > within.high:
        pitch -= 12
    return pitch
