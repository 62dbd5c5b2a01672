"""Pictures of a rep, as numbers for any shell to draw: what a change did, and what plays when in the loop.

A picture shows the change itself, before plain and changed are matched in loudness: a boost by 6 dB stands
6 dB above the line, and what matching took off everywhere is not in it.
"""

from collections.abc import Callable
from dataclasses import dataclass
from itertools import accumulate
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from trainer.dsp import dynamics, equaliser, meter_swing
from trainer.dsp.level import mix_of
from trainer.dsp.octave_bands import OCTAVES, band_powers
from trainer.ensemble.excerpt import Excerpt
from trainer.practice.band_scale import OCTAVE_SCALE
from trainer.practice.change import MIX, Bell, Change, Compression, Stems, changed_mix
from trainer.practice.deal import Rep
from trainer.practice.moved_bands import FLOOR_DB, mean_power
from trainer.practice.values import Answer
from trainer.sound import Sound

FREQUENCIES = 401
"""Points of a curve over frequency: forty an octave."""
TIME_SLOTS = 600
"""Slots of a trace over the loop."""
SLOTS_PER_S = 20.0
"""How finely it is told who plays: a slot is shorter than a sixteenth note at 180 to the minute."""
SOUNDING_RANGE_DB = dynamics.ACTIVE_RANGE_DB
"""How far below its own loudest slot a stem still sounds."""
SOUNDING_FLOOR_DBFS = -60.0
"""The peak level below which a stem is silent, however soft it is elsewhere."""

P = TypeVar("P")
Values = NDArray[np.float64]
Outline = NDArray[np.float32]
"""Peaks slot by slot, 0 to 1."""


@dataclass(frozen=True, slots=True, eq=False)
class OverFrequency:
    """Gain over frequency, both ends of the ten octave bands included, evenly spaced by ratio."""

    frequencies_hz: Values
    gains_db: Values


@dataclass(frozen=True, slots=True, eq=False)
class OverTime:
    """A compressor's gain over the loop, without its make-up: what a gain reduction meter shows.

    Attributes
    ----------
    times_s, gains_db
        The middle of each slot, and the lowest gain in it: means would hide the short dips of a fast
        compressor, which are what is heard of it.
    swing_db
        How far the meter swings while the target sounds, of every frame and not of the slots; positive.
    """

    times_s: Values
    gains_db: Values
    swing_db: float


@dataclass(frozen=True, slots=True, eq=False)
class OverBands:
    """How the level of each octave band of the mix moved; NaN where the mix carries next to nothing."""

    bands_hz: Values
    gains_db: Values


Picture = OverFrequency | OverTime | OverBands


@dataclass(frozen=True, slots=True, eq=False)
class Activity:
    """Who plays when: how strongly each stem sounds in each slot of the loop, played plain.

    Attributes
    ----------
    stems
        The stems' keys, in the ensemble's order.
    strengths
        Shape ``(stems, slots)``: 1 at a stem's own loudest, falling evenly in dB to 0 where it is silent.
    slots_per_s
        How many slots go to a second; a whole number of them goes into the loop.
    """

    stems: tuple[str, ...]
    strengths: NDArray[np.float32]
    slots_per_s: float

    def strengths_at(self, position_s: float) -> NDArray[np.float32]:
        """Return the strength of every stem at a moment of the loop, however often it has gone round."""
        slots = self.strengths.shape[1]
        return np.asarray(self.strengths[:, int(position_s * self.slots_per_s) % slots])

    def sounding(self, position_s: float) -> tuple[str, ...]:
        """Return the stems that sound at a moment of the loop."""
        strengths = self.strengths_at(position_s)
        return tuple(stem for stem, strength in zip(self.stems, strengths, strict=True) if strength > 0.0)


def picture_of(answer: Answer, rep: Rep) -> Picture:
    """Return the picture of an answer to a rep: of the truth, or of what somebody said."""
    change = rep.change if answer == rep.answer else rep.exercise.change(answer, rep.question, rep.excerpt)
    return picture_of_change(change, rep.excerpt, base=rep.base)


def picture_of_change(change: Change, excerpt: Excerpt, *, base: Sound | None = None) -> Picture:
    """Return the picture of a change: its process's own if it is of one kind on one target, else the bands'.

    ``base`` is the plain mix that bands are compared with, where it is not the excerpt's own.
    """
    kinds = {(edit.target, type(edit.process)) for edit in change.edits}
    _, kind = kinds.pop() if len(kinds) == 1 else (None, None)
    made_by = _MAKERS.get(kind)
    return _over_bands(change, excerpt, base) if made_by is None else made_by(change, excerpt)


def activity_of(excerpt: Excerpt, *, slots_per_s: float = SLOTS_PER_S) -> Activity:
    """Return who plays when in the plain excerpt; dry, so a room's reverberation is nobody's playing.

    Parameters
    ----------
    slots_per_s
        About how finely; it is stretched a little, so that a whole number of slots goes into the loop.
    """
    slots = max(1, round(excerpt.duration_s * slots_per_s))
    strengths = [_strengths(_slot_peaks(stem, slots)) for stem in excerpt.stems.values()]
    return Activity(excerpt.parts, np.array(strengths, np.float32), slots / excerpt.duration_s)


def outline_of(sound: Sound, slots: int) -> Outline:
    """Return the greatest magnitude in each slot over all channels, 1 for the greatest of all; 0 in silence."""
    peaks = _slot_peaks(sound, slots)
    return np.asarray(peaks / (peaks.max() or 1.0), np.float32)


def _over_frequency(change: Change, excerpt: Excerpt) -> OverFrequency:
    """Return the sum of the responses of bells in a row."""
    frequencies_hz = np.geomspace(OCTAVES[0].low_hz, OCTAVES[-1].high_hz, FREQUENCIES)
    rate_hz = next(iter(excerpt.stems.values())).rate_hz
    gains_db = np.zeros(FREQUENCIES)
    for bell in _processes(change, Bell):
        gains_db += equaliser.bell_response_db(
            frequencies_hz,
            centre_hz=bell.centre_hz,
            gain_db=bell.gain_db,
            width_octaves=bell.width_octaves,
            rate_hz=rate_hz,
        )
    return OverFrequency(frequencies_hz, gains_db)


def _over_time(change: Change, excerpt: Excerpt) -> OverTime:
    """Return the gain of compressors in a row on their target."""
    target = change.edits[0].target
    stems: Stems = (
        {MIX: excerpt.mix} if target == MIX else {key: excerpt.stems[key] for key in excerpt.parts_in(target)}
    )
    compressions = _processes(change, Compression)
    inputs = accumulate(compressions, lambda stems, compression: compression.apply(stems), initial=stems)
    levels_db, gains_db = [], np.zeros(excerpt.frames)
    for compression, stems in zip(compressions, inputs, strict=False):
        levels_db.append(compression.levels_on(mix_of(list(stems.values()))))
        gains_db -= compression.reduction_at(levels_db[-1])
    starts = _starts(excerpt.frames, TIME_SLOTS)
    middles_s = (np.arange(starts.size) + 0.5) * excerpt.duration_s / starts.size
    swing_db = meter_swing.swing_of(gains_db, level_db=levels_db[0])
    return OverTime(middles_s, np.minimum.reduceat(gains_db, starts), swing_db)


def _over_bands(change: Change, excerpt: Excerpt, base: Sound | None) -> OverBands:
    """Return how the mix moved, measured; a band carries something where it counts for anything."""
    before = band_powers(excerpt.mix if base is None else base)
    after = band_powers(changed_mix(change, excerpt))
    floor = mean_power(before[None]) * 10.0 ** (FLOOR_DB / 10.0)
    carries = np.maximum(before, after) >= floor
    tiny = 1e-6 * floor
    gains_db = np.where(carries, 10.0 * np.log10((after + tiny) / (before + tiny)), np.nan)
    return OverBands(np.array(OCTAVE_SCALE.names_hz), gains_db)


_MAKERS: dict[type | None, Callable[[Change, Excerpt], Picture]] = {
    Bell: _over_frequency,
    Compression: _over_time,
}
"""Process to the picture that suits it; for any other it is the bands."""


def _processes(change: Change, kind: type[P]) -> list[P]:
    """Return the processes of a kind in a change, in order."""
    return [edit.process for edit in change.edits if isinstance(edit.process, kind)]


def _starts(frames: int, slots: int) -> NDArray[np.intp]:
    """Return where each slot begins; no more slots than frames."""
    slots = min(slots, frames)
    return np.arange(slots) * frames // slots


def _slot_peaks(sound: Sound, slots: int) -> NDArray[np.float32]:
    """Return the greatest magnitude in each slot over all channels, without a copy of the sound."""
    flat, starts = sound.samples.reshape(-1), sound.channels * _starts(sound.frames, slots)
    return np.asarray(np.maximum(np.maximum.reduceat(flat, starts), -np.minimum.reduceat(flat, starts)))


def _strengths(peaks: NDArray[np.float32]) -> NDArray[np.float32]:
    """Return how strongly a stem sounds, slot by slot, from its peaks."""
    levels_db = 20.0 * np.log10(np.maximum(peaks, 1e-9))
    silent_db = max(float(levels_db.max()) - SOUNDING_RANGE_DB, SOUNDING_FLOOR_DBFS)
    above_db = np.maximum(levels_db - silent_db, 0.0)
    return np.asarray(above_db / (above_db.max() or 1.0), np.float32)
