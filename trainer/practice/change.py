"""Changes: what is hidden in a rep, as values: a change is edits, an edit is a process on a target.

A process takes the stems of its target together (a section's compressor hears the whole section) and
returns them edited, as loops that go on without a seam.
"""

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any, ClassVar, Protocol

import numpy as np

from trainer.dsp import dynamics, equaliser, level
from trainer.dsp.fades import seamless
from trainer.ensemble.excerpt import Excerpt
from trainer.sound import Sound

MIX = "mix"
"""The target that is the whole mix."""

Stems = Mapping[str, Sound]


class Process(Protocol):
    """What one edit does to sound."""

    def apply(self, stems: Stems) -> dict[str, Sound]:
        """Return the stems, edited."""


@dataclass(frozen=True, slots=True)
class Bell:
    """A boost (positive gain) or cut of a band, ``width_octaves`` wide between its half-gain points."""

    centre_hz: float
    gain_db: float
    width_octaves: float = 1.0

    def apply(self, stems: Stems) -> dict[str, Sound]:
        """Return every stem through the bell."""

        def through(sound: Sound) -> Sound:
            return equaliser.bell(
                sound, centre_hz=self.centre_hz, gain_db=self.gain_db, width_octaves=self.width_octaves
            )

        return {key: seamless(sound, through) for key, sound in stems.items()}


@dataclass(frozen=True, slots=True)
class Level:
    """A fader moved by ``gain_db``."""

    gain_db: float

    def apply(self, stems: Stems) -> dict[str, Sound]:
        """Return every stem louder or softer."""
        return {key: level.gain(sound, gain_db=self.gain_db) for key, sound in stems.items()}


@dataclass(frozen=True, slots=True)
class Compression:
    """A compressor set to reduce by ``reduction_db`` on average while its target sounds, made up to its level.

    The threshold is found from the sound itself. The make-up brings the target back to the level (mean
    power) it had, so that what is heard is the dynamics and not a fader.
    """

    reduction_db: float
    ratio: float
    attack_s: float
    release_s: float
    knee_db: float = 6.0

    RUN_IN_S: ClassVar[float] = 3.0
    """How much of the loop the detector hears before the loop begins: several of the longest releases."""

    def apply(self, stems: Stems) -> dict[str, Sound]:
        """Return the stems under one gain, made from their sum."""
        if self.reduction_db == 0.0:
            return dict(stems)
        together = level.mix_of(list(stems.values()))
        gain = self.gain_on(together).samples
        after = _mean_power(together.samples * gain)
        if after > 0.0:
            gain = gain * np.float32(np.sqrt(_mean_power(together.samples) / after))
        return {key: Sound(sound.samples * gain, sound.rate_hz) for key, sound in stems.items()}

    def gain_on(self, together: Sound) -> Sound:
        """Return the gain in every frame of a loop as ratios, one channel, without make-up: never above 1."""
        if self.reduction_db == 0.0:
            return Sound.of(np.ones(together.frames), together.rate_hz)
        return seamless(together, self._gain, run_in_s=self.RUN_IN_S)

    def _gain(self, target: Sound) -> Sound:
        """Return the gain in every frame as ratios, one channel, without make-up."""
        reduction_db = dynamics.reduction_reaching(
            target,
            mean_reduction_db=self.reduction_db,
            ratio=self.ratio,
            attack_s=self.attack_s,
            release_s=self.release_s,
            knee_db=self.knee_db,
        )
        return Sound.of(10.0 ** (reduction_db / -20.0), target.rate_hz)


def _mean_power(samples: np.ndarray[Any, np.dtype[np.float32]]) -> float:
    return float(np.mean(np.square(samples, dtype=np.float64)))


@dataclass(frozen=True, slots=True)
class Edit:
    """A process on a target: the mix, or a section's or a stem's key."""

    target: str
    process: Process


@dataclass(frozen=True, slots=True)
class Change:
    """What is done to an excerpt: its edits, in order."""

    edits: tuple[Edit, ...]

    def described(self) -> list[dict[str, Any]]:
        """Return the change as plain data, for the store and for files."""
        return [
            {"target": edit.target, "process": type(edit.process).__name__.lower(), **asdict(edit.process)}  # type: ignore[call-overload]
            for edit in self.edits
        ]


def changed_mix(change: Change, excerpt: Excerpt) -> Sound:
    """Return the excerpt's mix with the change in it; only the stems it edits are processed again."""
    stems: dict[str, Sound] = {}
    for edit in change.edits:
        if edit.target != MIX:
            parts = excerpt.parts_in(edit.target)
            stems |= edit.process.apply({key: stems.get(key, excerpt.stems[key]) for key in parts})
    mix = excerpt.mix_with(stems) if stems else excerpt.mix
    for edit in change.edits:
        if edit.target == MIX:
            mix = edit.process.apply({MIX: mix})[MIX]
    return mix
