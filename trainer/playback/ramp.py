"""A ramp: gains on their way from one value to another along a raised cosine, a few frames at a time."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from trainer.sound import Samples


class Ramp:
    """One gain, or several that move together; turned round midway it goes on from where it is.

    Notes
    -----
    ``value = start + (target - start) * (1 - cos(pi * frame / length)) / 2``. Gains that sum to 1 at both
    ends sum to 1 all along, so a crossfade of several sources keeps the level of what they share.
    """

    def __init__(self, *values: float) -> None:
        self.jump(values)

    def jump(self, values: Sequence[float]) -> None:
        """Be at these values at once."""
        self._start: NDArray[np.float64] = np.array(values, np.float64)
        self._target = self._start
        self._length = self._done = 1

    def towards(self, values: Sequence[float], *, frames: int) -> None:
        """Set out for these values, to be there in so many frames; if already on the way there, go on."""
        if tuple(values) == tuple(self._target):
            return
        start = self._after(self._done)
        self._length, self._done = frames, 0  # first: nobody may see it rest at the new target
        self._start, self._target = start, np.array(values, np.float64)

    @property
    def left(self) -> int:
        """How many frames it still has to go."""
        return self._length - self._done

    def rests_at(self, *values: float) -> bool:
        """Say whether it has arrived at these values."""
        return self.left == 0 and tuple(self._target) == values

    def take(self, frames: int) -> Samples:
        """Return the gains of the next frames, one row each; only one row where they all are the same."""
        if self.left == 0:
            return self._target[None, :].astype(np.float32)
        steps = np.minimum(np.arange(self._done + 1, self._done + 1 + frames), self._length)
        self._done = int(steps[-1])
        return self._after(steps[:, None]).astype(np.float32)

    def _after(self, done: int | NDArray[np.int64]) -> NDArray[np.float64]:
        risen = 0.5 - 0.5 * np.cos(np.pi * np.asarray(done) / self._length)
        gains: NDArray[np.float64] = self._start + (self._target - self._start) * risen
        return gains
