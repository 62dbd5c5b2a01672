"""What a voice is: how one part of the ensemble makes a note, and how its finished stem is treated."""

from collections.abc import Callable, Hashable
from dataclasses import dataclass, field
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

Audio = NDArray[np.float32]
"""Float32 samples of shape (frames, 2), or (frames, 1) for a note at one place (``Voice.pan``)."""

ENDLESS = 1 << 40
"""More frames than any sound has."""

CHUNK = 1 << 14
"""How many frames are worked on at a time, so that they stay in the processor's cache."""

Line = NDArray[np.float32] | NDArray[np.complex64]
"""A note in one line: real where it stands at one place, or left and right as real and imaginary part.

Numpy is several times quicker at complex numbers than at arrays of two columns.
"""


def line_of(audio: Audio) -> Line:
    """Return audio of one channel or two as a line; the samples are shared where they can be."""
    if audio.shape[1] == 1:
        return np.ascontiguousarray(audio[:, 0])
    return np.ascontiguousarray(audio).view(np.complex64)[:, 0]


def as_audio(line: NDArray[np.complex64]) -> Audio:
    """Return a complex line as the two channels it holds, (frames, 2)."""
    return line.view(np.float32).reshape(-1, 2)


class Shelf(Protocol):
    """Where voices keep what is dear to make: the note bank, or a plain dictionary in a test."""

    def keep(self, key: Hashable, make: Callable[[], Audio]) -> Audio:
        """Return what is kept under the key, made now if it is not there."""


@dataclass(frozen=True, slots=True)
class Stroke:
    """One note as a voice is asked to make it, quantised so that the bank can keep it.

    ``pitch`` is as in a score; ``level`` is the velocity of the voice's layer; ``length_s`` is how long it
    is held (0 for a voice that is struck and rings); ``variant`` tells repeats of the same note apart. No more
    than its first ``heard_frames`` will be listened to: a voice may make no more.
    """

    part: str
    pitch: int
    level: float
    length_s: float
    technique: str
    variant: int
    heard_frames: int = field(default=ENDLESS, repr=False)


def _centre(pitch: int) -> float:  # noqa: ARG001 - where a note stands may depend on its pitch
    return 0.0


def _untouched(stem: Audio, rng: np.random.Generator) -> Audio:  # noqa: ARG001 - a voice's finish takes both
    return stem


@dataclass(frozen=True, slots=True)
class Voice:
    """How one part sounds.

    Attributes
    ----------
    make
        Renders a stroke: float32 ``(frames, 2)``, or one channel (see ``pan``), at 48 kHz, DC-free, ending
        in silence, at the level this stroke has beside the voice's other strokes. Chance comes only from
        the generator; what is dear and shared between strokes goes on the shelf.
    layers
        The velocities notes are made at; a note takes the nearest and is scaled to its own.
    variants
        How many different takes of one stroke there are.
    lengths_s
        The lengths notes are made at (a held note takes the next longer, and is released in time);
        empty for a voice that is struck and rings.
    release_s
        How long a held note takes to fall silent once it is let go, where it is made without an end, every
        length the start of the next; 0: notes are made to end by themselves.
    timing_sd_s
        How far a player's time wanders (standard deviation); 0 for a machine.
    finish
        What is done to the whole stem, which loops: a motor, a swell, a high-pass.
    pan
        Where a note of one channel stands, by its pitch: -1 left, 0 centre, 1 right. A few places a part.
    restrike_s
        How long a stroke still rings on once the same drum or bar is struck again; 0: unhindered.
    blends
        Whether two takes mixed by chance are a third: so that no two strokes are the same.
    keeps
        Whether takes are kept to be played again. A voice that is quicker to make than to fetch makes every
        stroke anew, at its own velocity.
    """

    part: str
    make: Callable[[Stroke, np.random.Generator, Shelf], Audio]
    layers: tuple[float, ...]
    variants: int
    lengths_s: tuple[float, ...] = ()
    timing_sd_s: float = 0.006
    finish: Callable[[Audio, np.random.Generator], Audio] = field(default=_untouched)
    pan: Callable[[int], float] = field(default=_centre)
    restrike_s: float = 0.0
    blends: bool = False
    keeps: bool = True
    release_s: float = 0.0
