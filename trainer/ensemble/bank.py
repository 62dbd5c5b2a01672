"""The note bank: made notes and tables, kept within a cap of memory, the longest unused given up first."""

import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable
from dataclasses import dataclass
from typing import cast

import numpy as np
from numpy.typing import NDArray

from trainer.ensemble.voices.voice import Audio, Line

CAP_BYTES = 280_000_000
"""A larger bank is quicker, a smaller one leaves more room: two excerpts and the libraries take 500 MB."""


@dataclass(frozen=True, slots=True, eq=False)
class KeptNote:
    """A note as the bank holds it: 16-bit samples in a row, what one step is worth, and whether of two channels.

    The steps are of the note's own peak, so its noise lies 98 dB below that; it takes half the memory.
    """

    steps: NDArray[np.int16]
    step: float
    stereo: bool

    @classmethod
    def of(cls, audio: Audio, *, peak: float | None = None) -> "KeptNote":
        """Return a note to keep; where its peak is not to be looked for, what it never passes is given."""
        flat = np.ascontiguousarray(audio).reshape(-1)
        if peak is None:
            peak = max(float(flat.max(initial=0.0)), -float(flat.min(initial=0.0)), 1e-9)
        step = peak / 32_767.0
        scaled = flat * np.float32(1.0 / step)
        np.clip(scaled, -32_767.0, 32_767.0, out=scaled)
        return cls(np.rint(scaled, out=scaled).astype(np.int16), step, audio.shape[1] == 2)

    def line(self, frames: int, gain: float) -> Line:
        """Return no more than the first frames of the note, louder by a gain."""
        count = min(frames, self.frames) * (2 if self.stereo else 1)
        line: Line = self.steps[:count] * np.float32(gain * self.step)
        return line.view(np.complex64) if self.stereo else line

    @property
    def frames(self) -> int:
        """The length in frames."""
        return len(self.steps) // (2 if self.stereo else 1)

    @property
    def nbytes(self) -> int:
        """The memory it takes."""
        return int(self.steps.nbytes)


class NoteBank:
    """Keeps what is dear to make: the voices' tables as they are, notes in 16 bits.

    Safe to share between threads. What is made twice at the same moment by two threads is the same twice,
    since everything in the bank is a function of its key.

    Parameters
    ----------
    cap_bytes
        The bank never holds more than this; what is larger by itself is made anew each time.
    """

    def __init__(self, cap_bytes: int = CAP_BYTES) -> None:
        self.cap_bytes = cap_bytes
        self._kept: OrderedDict[Hashable, Audio | KeptNote] = OrderedDict()
        self._held_bytes = 0
        self._lock = threading.Lock()
        self._made = 0

    @property
    def held_bytes(self) -> int:
        """The memory in use."""
        return self._held_bytes

    @property
    def made(self) -> int:
        """How many things have been made so far."""
        return self._made

    def __len__(self) -> int:
        return len(self._kept)

    def keep(self, key: Hashable, make: Callable[[], Audio]) -> Audio:
        """Return the table kept under the key, made now if it is not there."""
        return cast("Audio", self._kept_or_made(("table", key), make))

    def note(
        self, key: Hashable, make: Callable[[], Audio], *, at_least: int = 0, peak: float | None = None
    ) -> KeptNote:
        """Return the note kept under the key, made now if it is not there.

        Parameters
        ----------
        key, make
            What it is, and how to get it.
        at_least
            How many frames it must have: a shorter one is made again. Only for notes of which every length
            is the start of the next.
        peak
            What such a note never passes, however long.
        """
        made = self._kept_or_made(("note", key), lambda: KeptNote.of(make(), peak=peak), at_least)
        return cast("KeptNote", made)

    def _kept_or_made(
        self, key: Hashable, make: Callable[[], Audio | KeptNote], at_least: int = 0
    ) -> Audio | KeptNote:
        with self._lock:
            kept = self._kept.get(key)
            if kept is not None and (at_least == 0 or cast("KeptNote", kept).frames >= at_least):
                self._kept.move_to_end(key)
                return kept
        made = make()
        with self._lock:
            self._made += 1
            self._put(key, made)
        return made

    def _put(self, key: Hashable, made: Audio | KeptNote) -> None:
        kept = self._kept.get(key)
        if made.nbytes > self.cap_bytes or (kept is not None and kept.nbytes >= made.nbytes):
            return
        if kept is not None:
            self._give_up(key)
        while self._held_bytes + made.nbytes > self.cap_bytes:
            self._give_up(next(iter(self._kept)))
        self._kept[key] = made
        self._held_bytes += made.nbytes

    def _give_up(self, key: Hashable) -> None:
        self._held_bytes -= self._kept.pop(key).nbytes
