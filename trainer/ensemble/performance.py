"""A performance: the notes of one part played into its stem, a loop with wrapped tails, no stroke twice."""

import zlib
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from trainer.ensemble.bank import KeptNote, NoteBank
from trainer.ensemble.loop import AS_PLAYED, Loop, Placement, let_go
from trainer.ensemble.score import Note
from trainer.ensemble.voices.band import VOICES
from trainer.ensemble.voices.hits import LOUDNESS_EXPONENT
from trainer.ensemble.voices.sticks import FLAM_S
from trainer.ensemble.voices.voice import ENDLESS, Audio, Line, Stroke, Voice, line_of
from trainer.sound import RATE_HZ

RELEASE_S = 0.05
"""How long a note still sounds, fading, after a hand stops it or its player lets go."""

UNTUNED = ("unison", "rim-click", "cross-stick")
"""Techniques that sound alike whatever the drum."""

STOPPED = ("damped", "choked")
"""Techniques that are a plain stroke, stopped at the note's end."""

LEAD_S = {"flam": FLAM_S}
"""Techniques that begin before the beat, and by how much."""

OPEN_PEAK = 2.0
"""What a held note at velocity 1 never passes."""

LEVEL_SD_DB = 0.5
_GOLDEN = 0.6180339887498949
"""The golden section: weights a step apart by it never come close to each other soon."""

_HEAD = 2048
_MOST_MAKE_UP = 1.6


@dataclass(frozen=True, slots=True, eq=False)
class _Chances:
    """What chance says about each note of a part: five arrays, a note at each place.

    A note added at the end changes nothing for those before it.
    """

    late_s: NDArray[np.float64]
    gain: NDArray[np.float64]
    take: NDArray[np.int64]
    other_take: NDArray[np.int64]
    weight: NDArray[np.float64]

    @classmethod
    def of(cls, voice: Voice, count: int, rng: np.random.Generator) -> "_Chances":
        wandering, choosing, mixing = rng.spawn(3)
        spread = wandering.standard_normal((count, 2)).clip(-3.0, 3.0).T
        steps = 1 + choosing.integers(0, max(1, voice.variants - 1), (count, 2)).T
        take = np.cumsum(steps[0]) % voice.variants
        weight = -0.25 + 1.5 * np.mod(mixing.random() + _GOLDEN * np.arange(count, dtype=np.float64), 1.0)
        return cls(
            late_s=spread[0] * voice.timing_sd_s,
            gain=10.0 ** (spread[1] * LEVEL_SD_DB / 20.0),
            take=take,
            other_take=(take + steps[1]) % voice.variants,
            weight=weight,
        )


def perform(
    part_key: str,
    notes: Sequence[Note],
    *,
    beats: int,
    frames: int,
    bank: NoteBank,
    seed: int,
    placement: Placement = AS_PLAYED,
) -> Audio:
    """Return one part's stem: float32 ``(frames, 2)``, a seamless loop.

    Parameters
    ----------
    part_key
        The part; its voice plays.
    notes
        The part's notes, their times in beats of the loop.
    beats, frames
        The loop's length, in beats and in frames at 48 kHz; together they are the tempo.
    bank
        Where made notes are kept.
    seed
        Decides everything that is left to chance. What is in the bank already decides nothing.
    placement
        Where it stands in the mix, and how loud.
    """
    voice = VOICES[part_key]
    chance, striking, finishing = np.random.default_rng([seed, zlib.crc32(part_key.encode())]).spawn(3)
    chances = _Chances.of(voice, len(notes), chance)
    beat_s = frames / RATE_HZ / beats
    starts = _starts(notes, chances, beat_s=beat_s)
    ends = _ends(voice, notes, starts, beat_s=beat_s, frames=frames)
    loop = Loop(frames)
    for place, note in enumerate(notes):
        stop, fade = ends[place]
        if voice.keeps:
            sound = _kept(
                voice, note, chances, place, length_s=note.length_beats * beat_s, stop=stop, bank=bank
            )
        else:
            sound = _fresh(voice, note, float(chances.gain[place]), place, stop=stop, rng=striking, bank=bank)
        loop.add(let_go(sound, stop=stop, fade=fade), start=starts[place], pan=voice.pan(note.pitch))
    return voice.finish(loop.stereo(placement), finishing)


def _starts(notes: Sequence[Note], chances: _Chances, *, beat_s: float) -> list[int]:
    at_s = np.array([note.start_beat * beat_s - LEAD_S.get(note.technique, 0.0) for note in notes])
    return [int(start) for start in np.rint((at_s + chances.late_s) * RATE_HZ)]


def _ends(
    voice: Voice, notes: Sequence[Note], starts: Sequence[int], *, beat_s: float, frames: int
) -> list[tuple[int, int]]:
    """Return for each note after how many frames it must be silent, and over how many it fades before."""
    release, damping = round((voice.release_s or RELEASE_S) * RATE_HZ), round(voice.restrike_s * RATE_HZ)
    nexts = _frames_to_next(notes, starts, frames=frames)
    ends = []
    for note, until_next in zip(notes, nexts, strict=True):
        stops = [(ENDLESS, 1)]
        if voice.lengths_s or note.technique in STOPPED:
            stops.append((round(note.length_beats * beat_s * RATE_HZ) + release, release))
        if voice.release_s:
            stops.append((round(max(voice.lengths_s) * RATE_HZ), release))
        if damping:
            stops.append((until_next + damping, damping))
        ends.append(min(stops))
    return ends


def _frames_to_next(notes: Sequence[Note], starts: Sequence[int], *, frames: int) -> list[int]:
    """Return for each note how many frames later the same bar or drum is struck again, around the loop."""
    order: dict[int, list[int]] = {}
    for place in sorted(range(len(notes)), key=lambda place: starts[place]):
        order.setdefault(notes[place].pitch, []).append(place)
    waits = [0] * len(notes)
    for places in order.values():
        for place, following in zip(places, places[1:] + places[:1], strict=True):
            wait = starts[following] - starts[place]
            waits[place] = wait if wait > 0 else wait + frames
    return waits


def _fresh(
    voice: Voice, note: Note, gain: float, place: int, *, stop: int, rng: np.random.Generator, bank: NoteBank
) -> Line:
    """Return one note made for this once, at its own velocity."""
    stroke = Stroke(
        voice.part,
        note.pitch,
        note.velocity,
        0.0,
        _technique(note),
        place % voice.variants,
        heard_frames=stop,
    )
    sound = line_of(voice.make(stroke, rng, bank))
    sound *= np.float32(gain)
    return sound


def _kept(
    voice: Voice, note: Note, chances: _Chances, place: int, *, length_s: float, stop: int, bank: NoteBank
) -> Line:
    """Return one note as a take that is kept, or two mixed, at the note's own velocity."""
    level = min(voice.layers, key=lambda layer: abs(layer - note.velocity))
    needed_s = length_s + voice.release_s
    bucket_s = next((made for made in voice.lengths_s if made >= needed_s), max(voice.lengths_s, default=0.0))
    pitch = 0 if note.technique in UNTUNED else note.pitch
    gain = (note.velocity / level) ** LOUDNESS_EXPONENT * float(chances.gain[place])

    def take(variant: int) -> KeptNote:
        stroke = Stroke(voice.part, pitch, level, bucket_s, _technique(note), variant)
        if voice.release_s:
            return _open(voice, stroke, bank)
        return bank.note(stroke, lambda: _made(voice, stroke, bank))

    first = take(int(chances.take[place]))
    if not voice.blends or voice.variants == 1:
        return first.line(stop, gain)
    other = take(int(chances.other_take[place]))
    return _blend(first, other, float(chances.weight[place]), gain=gain, frames=stop)


def _open(voice: Voice, stroke: Stroke, bank: NoteBank) -> KeptNote:
    """Return a note without an end, kept once for all lengths."""
    endless = replace(stroke, length_s=max(voice.lengths_s))
    chance = zlib.crc32(repr(endless).encode())
    return bank.note(
        endless,
        lambda: voice.make(stroke, np.random.default_rng(chance), bank),
        at_least=round(stroke.length_s * RATE_HZ),
        peak=OPEN_PEAK * stroke.level**LOUDNESS_EXPONENT,
    )


def _technique(note: Note) -> str:
    return "plain" if note.technique in STOPPED else note.technique


def _made(voice: Voice, stroke: Stroke, bank: NoteBank) -> Audio:
    return voice.make(stroke, np.random.default_rng(zlib.crc32(repr(stroke).encode())), bank)


def _blend(one: KeptNote, other: KeptNote, weight: float, *, gain: float, frames: int) -> Line:
    """Return ``weight`` of one take and the rest of another, as loud as either.

    Notes
    -----
    The weight runs a little below 0 and above 1. What the takes share stays as it is; where they differ
    (the partials' balance and signs, the noise) each mix is another one.
    """
    if other.frames > one.frames:
        one, other, weight = other, one, 1.0 - weight
    gain *= _make_up(one.line(_HEAD, 1.0), other.line(_HEAD, 1.0), weight)
    mixed = one.line(frames, weight * gain)
    added = other.line(frames, (1.0 - weight) * gain)
    mixed[: len(added)] += added
    return mixed


def _make_up(one: Line, other: Line, weight: float) -> float:
    one = one[: len(other)]
    aa, bb, ab = (float(np.vdot(a, b).real) for a, b in ((one, one), (other, other), (one, other)))
    mixed = weight**2 * aa + (1.0 - weight) ** 2 * bb + 2.0 * weight * (1.0 - weight) * ab
    return min(_MOST_MAKE_UP, float(np.sqrt(0.5 * (aa + bb) / max(mixed, 1e-12))))
