"""Changes: what is hidden in a rep, as values: a change is edits, an edit is a process on a target.

A process takes the stems of its target together (a section's compressor hears the whole section) and
returns them edited, as loops that go on without a seam.
"""

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any, ClassVar, Protocol

import numpy as np
from numpy.typing import NDArray

from trainer.dsp import dynamics, equaliser, level, meter_swing
from trainer.dsp.fades import seamless
from trainer.ensemble.excerpt import Excerpt
from trainer.practice.heard import MixListener, is_heard_at_all
from trainer.practice.listening import Listening
from trainer.sound import Samples, Sound
from trainer.units import seconds_to_frames

MIX = "mix"
"""The target that is the whole mix."""

Stems = Mapping[str, Sound]
Levels = NDArray[np.float32]
"""One value in dB a frame."""


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
    """A compressor whose gain-reduction meter swings by ``swing_db`` on its target, made up to its level.

    The threshold is found from the sound itself. The make-up brings the target back to the level (mean
    power) it had, so that what is heard is the dynamics and not a fader.
    """

    swing_db: float
    ratio: float
    attack_s: float
    release_s: float
    knee_db: float = 6.0

    RUN_IN_S: ClassVar[float] = 3.0
    """How much of the loop the detector hears before the loop begins: several of the longest releases."""
    HEARD_SHARE: ClassVar[float] = 0.1
    """In how many frames it must be heard: a compressor works in moments, not all the time."""

    def apply(self, stems: Stems) -> dict[str, Sound]:
        """Return the stems under one gain, made from their sum.

        Raises
        ------
        meter_swing.SwingOutOfReach
            If the stems together are too even for the swing.
        """
        if self.swing_db == 0.0:
            return dict(stems)
        together = level.mix_of(list(stems.values()))
        gain = self.gain_on(together).samples
        after = _mean_power(together.samples * gain)
        if after > 0.0:
            gain = gain * np.float32(np.sqrt(_mean_power(together.samples) / after))
        return {key: Sound(sound.samples * gain, sound.rate_hz) for key, sound in stems.items()}

    def gain_on(self, together: Sound) -> Sound:
        """Return the gain in every frame of a loop as ratios, one channel, without make-up: never above 1."""
        return Sound.of(10.0 ** (self.reduction_at(self.levels_on(together)) / -20.0), together.rate_hz)

    def levels_on(self, together: Sound) -> Levels:
        """Return what the detector reads in every frame of a loop, in dB."""

        def detected(sound: Sound) -> Sound:
            followed = dynamics.envelope_db(sound, attack_s=self.attack_s, release_s=self.release_s)
            return Sound(followed[:, None], sound.rate_hz)

        return seamless(together, detected, run_in_s=self.RUN_IN_S).samples[:, 0]

    def reduction_at(self, levels_db: Levels) -> Levels:
        """Return the gain reduction in dB of every frame of a loop, from what the detector reads there."""
        if self.swing_db == 0.0:
            return np.zeros_like(levels_db)
        threshold_db = meter_swing.threshold_db_for(
            meter_swing.LevelSpan.of(levels_db),
            swing_db=self.swing_db,
            ratio=self.ratio,
            knee_db=self.knee_db,
        )
        return np.asarray(
            dynamics.reduction_db(
                levels_db, threshold_db=threshold_db, ratio=self.ratio, knee_db=self.knee_db
            ),
            np.float32,
        )

    def is_heard(self, excerpt: Excerpt, target: str, listening: Listening) -> bool:
        """Return whether it is heard on a target; not where the target is too even for its swing."""
        together = level.mix_of([excerpt.stems[part] for part in excerpt.parts_in(target)])
        levels_db = self.levels_on(together)
        if self.swing_db > self.most_swing_db(levels_db):
            return False
        return self.is_heard_at(levels_db, together, excerpt, target, listening)

    def is_heard_at(
        self, levels_db: Levels, together: Sound, excerpt: Excerpt, target: str, listening: Listening
    ) -> bool:
        """Return whether it is heard on a target of whose sound its detector's levels are known."""
        listener = MixListener(excerpt, listening)
        changed = listener.with_gain(target, gain_db=self.gains_over_time(together, levels_db))
        return is_heard_at_all(listener, changed, share=self.HEARD_SHARE)

    def most_swing_db(self, levels_db: Levels) -> float:
        """Return the largest swing in dB that this ratio and pace can have where the detector reads these levels."""
        return meter_swing.most_swing_db(meter_swing.LevelSpan.of(levels_db), ratio=self.ratio)

    def gains_over_time(
        self, together: Sound, levels_db: Levels, *, window_s: float = 0.17, hop_s: float = 0.1
    ) -> NDArray[np.float64]:
        """Return by how many dB the target's power moves in each window of the loop, the make-up included.

        Parameters
        ----------
        levels_db
            What ``levels_on`` says of the same target.
        window_s, hop_s
            The length of a window and the step from one to the next; the last run over the end into the start.
        """
        power = np.einsum("ij,ij->i", together.samples, together.samples)
        kept = power * np.exp(self.reduction_at(levels_db) * np.float32(-0.1 * np.log(10.0)))
        before, after = (
            _in_windows(
                each,
                seconds_to_frames(window_s, together.rate_hz),
                seconds_to_frames(hop_s, together.rate_hz),
            )
            for each in (power, kept)
        )
        floor = 1e-12 * float(np.mean(before)) + 1e-30
        gains_db = 10.0 * np.log10((after + floor) / (before + floor))
        return np.asarray(gains_db - 10.0 * np.log10((np.mean(after) + floor) / (np.mean(before) + floor)))


def _in_windows(power: NDArray[np.float32], window: int, hop: int) -> NDArray[np.float64]:
    """Return the sum of a loop's power in each window, from sums between the places where one begins or ends."""
    starts = np.arange(0, power.size, hop)
    turns, ends = np.divmod(starts + window, power.size)
    edges = np.unique(np.concatenate([starts, ends]))
    between = np.add.reduceat(power, edges, dtype=np.float64)
    up_to = np.concatenate([[0.0], np.cumsum(between)])
    return np.asarray(
        turns * up_to[-1] + up_to[np.searchsorted(edges, ends)] - up_to[np.searchsorted(edges, starts)]
    )


def _mean_power(samples: Samples) -> float:
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
