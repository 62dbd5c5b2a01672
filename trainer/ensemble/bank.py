"""The note bank: made notes and tables, kept within a cap of memory, the longest unused given up first."""

import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable
from dataclasses import dataclass
from typing import cast

import numpy as np
from numpy.typing import NDArray

from trainer.ensemble.voices.voice import Audio

CAP_BYTES = 280_000_000
"""A larger bank is quicker, a smaller one leaves more room: two excerpts and the libraries take 500 MB."""


@dataclass(frozen=True, slots=True, eq=False)
class KeptNote:
    """A note as the bank holds it: 16-bit samples of shape (channels, frames), and what one step is worth.

    The steps are of the note's own peak, so its noise lies 98 dB below that; it takes half the memory.
    """

    steps: NDArray[np.int16]
    step: float

    @classmethod
    def of(cls, audio: Audio) -> "KeptNote":
        """Return a note to keep."""
        step = max(float(audio.max(initial=0.0)), -float(audio.min(initial=0.0)), 1e-9) / 32_767.0
        scaled = np.multiply(audio.T, np.float32(1.0 / step), order="C")
        return cls(np.rint(scaled, out=scaled).astype(np.int16), step)

    def first(self, frames: int) -> "KeptNote":
        """Return no more than the first frames of the note; the samples are shared."""
        return self if frames >= self.frames else KeptNote(self.steps[:, :frames], self.step)

    @property
    def frames(self) -> int:
        """The length in frames."""
        return int(self.steps.shape[1])

    @property
    def channels(self) -> int:
        """The number of channels."""
        return int(self.steps.shape[0])

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

    def note(self, key: Hashable, make: Callable[[], Audio]) -> KeptNote:
        """Return the note kept under the key, made now if it is not there."""
        return cast("KeptNote", self._kept_or_made(("note", key), lambda: KeptNote.of(make())))

    def _kept_or_made(self, key: Hashable, make: Callable[[], Audio | KeptNote]) -> Audio | KeptNote:
        with self._lock:
            if key in self._kept:
                self._kept.move_to_end(key)
                return self._kept[key]
        made = make()
        with self._lock:
            self._made += 1
            self._put(key, made)
        return made

    def _put(self, key: Hashable, made: Audio | KeptNote) -> None:
        if key in self._kept or made.nbytes > self.cap_bytes:
            return
        while self._held_bytes + made.nbytes > self.cap_bytes:
            _, dropped = self._kept.popitem(last=False)
            self._held_bytes -= dropped.nbytes
        self._kept[key] = made
        self._held_bytes += made.nbytes
