"""Processes of alignment: a target that comes late, and two paths of one sound with one of them inverted.

Octave powers do not show these: a whole stem inverted, or late, moves them by chance phase. So each process says
by a rule of its own (ours, where no source is named) when it is heard.
"""

from dataclasses import dataclass, replace
from typing import ClassVar

import numpy as np
from numpy.typing import NDArray

from trainer.dsp import air, crossover
from trainer.dsp.delay import delayed
from trainer.dsp.fades import seamless
from trainer.dsp.octave_bands import band_powers_over_time
from trainer.ensemble.excerpt import Excerpt
from trainer.practice.band_scale import OCTAVE_SCALE
from trainer.practice.change import Process, Stems
from trainer.practice.listening import Listening
from trainer.practice.onsets import marked_onsets_per_s
from trainer.sound import Sound

Powers = NDArray[np.float64]

JUST_NOTICED_S = 0.028
"""The asynchrony of a late part just noticed in a band of several instruments: 28 ms late, 23 ms early; drums 19 to
24 ms, bass and guitar 31 to 35 (PsyArXiv jsg94, version 3, abstract)."""
ONSETS_PER_S = 0.5
"""How many onsets of a target must stand out in a second for its lateness to be heard."""
MOVED_DB = 1.0
"""How far a band must move, beyond what the whole mix does, for an inverted path to be heard."""
SHARE = 1.0 / 3.0
"""In how many of the windows it must move the same way."""
CARRIED_DB = -40.0
"""How far below the mix's mean power a band's power may lie and still be heard."""


@dataclass(frozen=True, slots=True)
class Delay:
    """A target late by ``delay_s``, at its own level."""

    delay_s: float

    @classmethod
    def over(cls, distance_m: float, *, temperature_c: float) -> "Delay":
        """Return the delay of sound that comes from further off by a distance in metres."""
        return cls(air.travel_s(distance_m, temperature_c=temperature_c))

    def apply(self, stems: Stems) -> dict[str, Sound]:
        """Return every stem late by the delay; what runs over the loop's end comes round to its start."""
        return {key: delayed(sound, delay_s=self.delay_s) for key, sound in stems.items()}

    def is_heard(self, excerpt: Excerpt, target: str, listening: Listening) -> bool:
        """Return whether the target's onsets, and those of the others, mark the time well enough.

        The delay is at least what is just noticed; every two seconds an onset of the target stands out of all
        others, and one of the others out of the target: late is late against somebody.
        """
        if self.delay_s < JUST_NOTICED_S:
            return False
        rate = marked_onsets_per_s(excerpt, target, usable_hz=listening.usable_hz)
        return min(rate.target, rate.others) >= ONSETS_PER_S


@dataclass(frozen=True, slots=True)
class PairedMicrophones:
    """A target through two microphones at distances of their own, the far one inverted or not.

    The near microphone is taken as the time and, with the far one, the level of the target: the far one comes
    later by the way between them and softer by the ratio of the distances, and both together have the power that
    two sounds strange to each other would have. So the pair in phase and the pair inverted differ in nothing else.
    """

    near_m: float
    far_m: float
    is_inverted: bool = False
    temperature_c: float = 20.0

    def __post_init__(self) -> None:
        if not 0.0 < self.near_m <= self.far_m:
            raise ValueError(f"the near microphone is at most as far as the far one, not {self.near_m:g} m")

    def apply(self, stems: Stems) -> dict[str, Sound]:
        """Return every stem as both microphones together have it."""
        return {key: self._both(sound) for key, sound in stems.items()}

    def _both(self, sound: Sound) -> Sound:
        late_s = air.travel_s(self.far_m - self.near_m, temperature_c=self.temperature_c)
        softer = self.near_m / self.far_m
        scale = 1.0 / np.sqrt(1.0 + softer**2)
        far = delayed(sound, delay_s=late_s).samples * np.float32(-softer if self.is_inverted else softer)
        return Sound((sound.samples + far) * np.float32(scale), sound.rate_hz)

    def is_heard(self, excerpt: Excerpt, target: str, listening: Listening) -> bool:
        """Return whether the inverted microphone is heard against the pair in phase."""
        return self.is_inverted and _moves_the_mix(
            self, replace(self, is_inverted=False), excerpt, target, listening
        )


@dataclass(frozen=True, slots=True)
class Crossover:
    """A target through a Linkwitz–Riley crossover and together again, the low path inverted or not."""

    crossover_hz: float
    is_inverted: bool = False

    RUN_IN_S: ClassVar[float] = 0.5

    def apply(self, stems: Stems) -> dict[str, Sound]:
        """Return every stem as both paths together have it."""

        def through(sound: Sound) -> Sound:
            return crossover.rejoined(sound, crossover_hz=self.crossover_hz, is_low_inverted=self.is_inverted)

        return {key: seamless(sound, through, run_in_s=self.RUN_IN_S) for key, sound in stems.items()}

    def is_heard(self, excerpt: Excerpt, target: str, listening: Listening) -> bool:
        """Return whether the inverted path is heard against both in phase."""
        return self.is_inverted and _moves_the_mix(
            self, replace(self, is_inverted=False), excerpt, target, listening
        )


def _moves_the_mix(
    inverted: Process, in_phase: Process, excerpt: Excerpt, target: str, listening: Listening
) -> bool:
    """Return whether some usable band of the mix moves the same way in enough of the windows."""
    after, before = (
        band_powers_over_time(_mix_through(process, excerpt, target)) for process in (inverted, in_phase)
    )
    moves = moves_one_way(before, after)
    return bool(np.any(moves[np.isin(OCTAVE_SCALE.names_hz, listening.usable_hz)]))


def moves_one_way(before: Powers, after: Powers) -> NDArray[np.bool_]:
    """Return for each band whether it moves the same way in enough windows, from powers by window and band.

    What the whole moves is taken off: plain and changed are played at one loudness.
    """
    power, power_after = (float(np.mean(powers.sum(axis=1))) + 1e-30 for powers in (before, after))
    tiny = 1e-12 * power
    moved_db = 10.0 * np.log10((after + tiny) / (before + tiny)) - 10.0 * np.log10(power_after / power)
    moved_db[np.maximum(before, after) < power * 10.0 ** (CARRIED_DB / 10.0)] = 0.0
    up, down = np.mean(moved_db >= MOVED_DB, axis=0), np.mean(moved_db <= -MOVED_DB, axis=0)
    return np.asarray(np.maximum(up, down) >= SHARE)


def _mix_through(process: Process, excerpt: Excerpt, target: str) -> Sound:
    """Return the mix with a linear process on a target: it may as well come after the room as before it."""
    own = excerpt.through_bus(target)
    made = process.apply({target: own})[target]
    return Sound(excerpt.mix.samples + (made.samples - own.samples), own.rate_hz)
