"""A performance: the notes of one part played into its stem, a loop with wrapped tails, no stroke twice."""

import zlib
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trainer.ensemble.bank import KeptNote, NoteBank
from trainer.ensemble.score import Note
from trainer.ensemble.voices.band import VOICES
from trainer.ensemble.voices.hits import LOUDNESS_EXPONENT, gains_at
from trainer.ensemble.voices.modal import fall
from trainer.ensemble.voices.sticks import FLAM_S
from trainer.ensemble.voices.voice import Audio, Stroke, Voice
from trainer.sound import RATE_HZ

RELEASE_S = 0.05
"""How long a note still sounds, fading, after a hand stops it or its player lets go."""

UNTUNED = ("unison", "rim-click")
"""Techniques that sound alike whatever the drum."""

STOPPED = ("damped", "choked")
"""Techniques that are a plain stroke, stopped at the note's end."""

LEAD_S = {"flam": FLAM_S}
"""Techniques that begin before the beat, and by how much."""

LEVEL_SD_DB = 0.5
_GOLDEN = 0.6180339887498949
"""The golden section: weights a step apart by it never come close to each other soon."""

_HEAD = 2048
_CHUNK = 1 << 14
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
    part_key: str, notes: Sequence[Note], *, beats: int, frames: int, bank: NoteBank, seed: int
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
    """
    voice = VOICES[part_key]
    chance, finishing = np.random.default_rng([seed, zlib.crc32(part_key.encode())]).spawn(2)
    chances = _Chances.of(voice, len(notes), chance)
    beat_s = frames / RATE_HZ / beats
    starts = _starts(notes, chances, beat_s=beat_s)
    ends = _ends(voice, notes, starts, beat_s=beat_s, frames=frames)
    loop = _Loop(frames)
    for place, note in enumerate(notes):
        stop, fade = ends[place]
        length_s = note.length_beats * beat_s
        sound = _struck(voice, note, chances, place, length_s=length_s, stop=stop, bank=bank)
        loop.add(_faded(sound, stop=stop, fade=fade), start=starts[place], pan=voice.pan(note.pitch))
    return voice.finish(loop.stereo(), finishing)


def _starts(notes: Sequence[Note], chances: _Chances, *, beat_s: float) -> list[int]:
    at_s = np.array([note.start_beat * beat_s - LEAD_S.get(note.technique, 0.0) for note in notes])
    return [int(start) for start in np.rint((at_s + chances.late_s) * RATE_HZ)]


def _ends(
    voice: Voice, notes: Sequence[Note], starts: Sequence[int], *, beat_s: float, frames: int
) -> list[tuple[int, int]]:
    """Return for each note after how many frames it must be silent, and over how many it fades before."""
    release, damping = round(RELEASE_S * RATE_HZ), round(voice.restrike_s * RATE_HZ)
    nexts = _frames_to_next(notes, starts, frames=frames)
    ends = []
    for note, until_next in zip(notes, nexts, strict=True):
        stops = [(_ENDLESS, 1)]
        if voice.lengths_s or note.technique in STOPPED:
            stops.append((round(note.length_beats * beat_s * RATE_HZ) + release, release))
        if damping:
            stops.append((until_next + damping, damping))
        ends.append(min(stops))
    return ends


_ENDLESS = 1 << 40


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


def _struck(
    voice: Voice, note: Note, chances: _Chances, place: int, *, length_s: float, stop: int, bank: NoteBank
) -> Audio:
    """Return one note as planes ``(channels, frames)``: a take, or two mixed, at the note's own velocity.

    No more of it is worked out than the ``stop`` frames that will be heard.
    """
    level = min(voice.layers, key=lambda layer: abs(layer - note.velocity))
    bucket_s = next((made for made in voice.lengths_s if made >= length_s), max(voice.lengths_s, default=0.0))
    pitch = 0 if note.technique in UNTUNED else note.pitch
    technique = "plain" if note.technique in STOPPED else note.technique
    gain = (note.velocity / level) ** LOUDNESS_EXPONENT * float(chances.gain[place])

    def take(variant: int) -> KeptNote:
        stroke = Stroke(voice.part, pitch, level, bucket_s, technique, variant)
        return bank.note(stroke, lambda: _made(voice, stroke, bank)).first(stop)

    first = take(int(chances.take[place]))
    if not voice.blends or voice.variants == 1:
        return _scaled(first, gain)
    return _blend(first, take(int(chances.other_take[place])), float(chances.weight[place]), gain=gain)


def _made(voice: Voice, stroke: Stroke, bank: NoteBank) -> Audio:
    return voice.make(stroke, np.random.default_rng(zlib.crc32(repr(stroke).encode())), bank)


def _scaled(note: KeptNote, gain: float) -> Audio:
    scaled: Audio = note.steps * np.float32(gain * note.step)
    return scaled


def _blend(one: KeptNote, other: KeptNote, weight: float, *, gain: float) -> Audio:
    """Return ``weight`` of one take and the rest of another, as loud as either.

    Notes
    -----
    The weight runs a little below 0 and above 1. What the takes share stays as it is; where they differ
    (the partials' balance and signs, the noise) each mix is another one.
    """
    if other.frames > one.frames:
        one, other, weight = other, one, 1.0 - weight
    gain *= _make_up(one, other, weight)
    mixed = _scaled(one, weight * gain)
    mixed[:, : other.frames] += _scaled(other, (1.0 - weight) * gain)
    return mixed


def _make_up(one: KeptNote, other: KeptNote, weight: float) -> float:
    a = _scaled(one, 1.0)[:, :_HEAD] if one.frames <= _HEAD else one.steps[:, :_HEAD] * np.float32(one.step)
    b = other.steps[:, :_HEAD] * np.float32(other.step)
    a = a[:, : b.shape[1]]
    aa, bb, ab = float(np.vdot(a, a)), float(np.vdot(b, b)), float(np.vdot(a, b))
    mixed = weight**2 * aa + (1.0 - weight) ** 2 * bb + 2.0 * weight * (1.0 - weight) * ab
    return min(_MOST_MAKE_UP, float(np.sqrt(0.5 * (aa + bb) / max(mixed, 1e-12))))


def _faded(sound: Audio, *, stop: int, fade: int) -> Audio:
    if stop > sound.shape[1]:
        return sound
    fade = min(fade, stop)
    sound = sound[:, :stop]
    sound[:, stop - fade :] *= fall(fade)
    return sound


class _Loop:
    """A loop being filled: a bus for stereo notes, and one for each place that notes of one channel stand."""

    def __init__(self, frames: int) -> None:
        self._frames = frames
        self._buses: dict[float | None, Audio] = {}

    def add(self, sound: Audio, *, start: int, pan: float) -> None:
        """Add planes ``(channels, frames)`` from a frame on; what passes the end goes on at the start."""
        mono = sound.shape[0] == 1
        key = pan if mono else None
        if key not in self._buses:
            self._buses[key] = np.zeros((1 if mono else 2, self._frames), np.float32)
        bus = self._buses[key]
        at, done = start % self._frames, 0
        while done < sound.shape[1]:
            piece = min(self._frames - at, sound.shape[1] - done)
            bus[:, at : at + piece] += sound[:, done : done + piece]
            at, done = 0, done + piece

    def stereo(self) -> Audio:
        """Return all buses as one stem ``(frames, 2)``."""
        stem = np.zeros((self._frames, 2), np.float32)
        for start in range(0, self._frames, _CHUNK):
            self._add_up(stem[start : start + _CHUNK], slice(start, start + _CHUNK))
        return stem

    def _add_up(self, out: Audio, chunk: slice) -> None:
        """Add a chunk of each bus to its two columns; small enough to stay in the processor's cache."""
        for pan, bus in self._buses.items():
            if pan is None:
                out += bus[:, chunk].T
                continue
            for column, gain in enumerate(gains_at(pan)):
                out[:, column] += bus[0, chunk] * np.float32(gain)
