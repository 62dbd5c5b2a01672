"""A loop being filled with notes: where each begins and how it is let go, around the loop and around again."""

from dataclasses import dataclass
from typing import cast

import numpy as np
from numpy.typing import NDArray

from trainer.ensemble.voices.hits import gains_at, hump, total, total_of_both
from trainer.ensemble.voices.modal import fall
from trainer.ensemble.voices.voice import CHUNK, Audio, Line, as_audio


@dataclass(frozen=True, slots=True)
class Placement:
    """What a channel strip does to a line of left + i right: its gains, as two complex numbers.

    The line is multiplied by ``straight``, its conjugate by ``crossed``, and both are added.
    """

    straight: complex = 1.0 + 0.0j
    crossed: complex = 0.0j

    @classmethod
    def of(cls, *, gain: float, pan: float, width: float) -> "Placement":
        """Return a gain, a balance and a stereo width (1: as it is, 0: mono).

        The balance turns down the far side only, by the cosine law, so that a part keeps its own picture.
        """
        far = gain * float(np.cos(abs(pan) * np.pi / 2.0))
        left, right = (gain, far) if pan <= 0.0 else (far, gain)
        own, other = (1.0 + width) / 2.0, (1.0 - width) / 2.0
        straight = 0.5 * own * (left + right) + 0.5j * other * (right - left)
        crossed = 0.5 * own * (left - right) + 0.5j * other * (right + left)
        return cls(straight, crossed)

    def at(self, pan: float) -> np.complex64:
        """Return what a real line becomes that stands at one place."""
        left, right = gains_at(pan)
        return np.complex64(self.straight * (left + 1j * right) + self.crossed * (left - 1j * right))

    def apply(self, line: NDArray[np.complex64]) -> None:
        """Place a line, in place."""
        mirrored = line.conj() * np.complex64(self.crossed) if self.crossed else None
        line *= np.complex64(self.straight)
        if mirrored is not None:
            line += mirrored


AS_PLAYED = Placement()


def let_go(sound: Line, *, stop: int, fade: int) -> Line:
    """Return a note that is silent after ``stop`` frames, fading over the ``fade`` before (in place).

    What its sum has become is taken out under a hump as long as the fade, so that no DC is left.
    """
    if stop > len(sound):
        return sound
    fade = min(fade, stop)
    sound = sound[:stop]
    sound[stop - fade :] *= fall(fade)
    if np.iscomplexobj(sound):
        sound[stop - fade :] -= hump(fade) * total_of_both(cast("NDArray[np.complex64]", sound))
    else:
        sound[stop - fade :] -= hump(fade) * total(cast("NDArray[np.float32]", sound))
    return sound


class Loop:
    """A loop being filled: a bus for stereo notes, and one for each place that notes of one channel stand."""

    def __init__(self, frames: int) -> None:
        self._frames = frames
        self._stereo: NDArray[np.complex64] | None = None
        self._places: dict[float, NDArray[np.float32]] = {}

    def add(self, sound: Line, *, start: int, pan: float) -> None:
        """Add a note from a frame on; what passes the end goes on at the start."""
        bus = self._bus(sound, pan)
        at, done = start % self._frames, 0
        while done < len(sound):
            piece = min(self._frames - at, len(sound) - done)
            bus[at : at + piece] += sound[done : done + piece]
            at, done = 0, done + piece

    def _bus(self, sound: Line, pan: float) -> Line:
        if np.iscomplexobj(sound):
            if self._stereo is None:
                self._stereo = np.zeros(self._frames, np.complex64)
            return self._stereo
        if pan not in self._places:
            self._places[pan] = np.zeros(self._frames, np.float32)
        return self._places[pan]

    def stereo(self, placement: Placement) -> Audio:
        """Return all buses as one stem ``(frames, 2)``, placed; the loop is used up."""
        stem = np.zeros(self._frames, np.complex64) if self._stereo is None else self._stereo
        gains = [(bus, placement.at(pan)) for pan, bus in self._places.items()]
        for first in range(0, self._frames, CHUNK):
            chunk = slice(first, first + CHUNK)
            if self._stereo is not None:
                placement.apply(stem[chunk])
            for bus, gain in gains:
                stem[chunk] += bus[chunk] * gain
        return as_audio(stem)
