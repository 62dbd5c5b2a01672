"""Sound: audio samples and their rate as one frozen value, the thing every room passes to the next."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

RATE_HZ = 48_000
"""The sample rate everything is made at."""

Samples = NDArray[np.float32]


@dataclass(frozen=True, slots=True, eq=False)
class Sound:
    """Audio: float32 ``samples`` of shape ``(frames, channels)``, full scale 1.0, and their ``rate_hz``.

    The samples are made read-only, so a sound can be shared between rooms and threads.

    Raises
    ------
    ValueError
        If the samples are not two-dimensional float32, or the rate is not positive.
    """

    samples: Samples
    rate_hz: int = RATE_HZ

    def __post_init__(self) -> None:
        if self.samples.ndim != 2 or self.samples.dtype != np.float32:
            came = f"{self.samples.dtype} of shape {self.samples.shape}"
            raise ValueError(f"a sound holds float32 samples of shape (frames, channels), not {came}")
        if self.rate_hz <= 0:
            raise ValueError(f"a sample rate is a positive number of hertz, not {self.rate_hz}")
        self.samples.flags.writeable = False

    @classmethod
    def of(cls, samples: ArrayLike, rate_hz: int = RATE_HZ) -> "Sound":
        """Return a sound of any array of numbers; one dimension is taken as mono."""
        array = np.array(samples, dtype=np.float32)
        return cls(array[:, None] if array.ndim == 1 else array, rate_hz)

    @classmethod
    def silence(cls, frames: int, channels: int = 2, rate_hz: int = RATE_HZ) -> "Sound":
        """Return ``frames`` of silence."""
        return cls(np.zeros((frames, channels), np.float32), rate_hz)

    @property
    def frames(self) -> int:
        """The length in frames."""
        return int(self.samples.shape[0])

    @property
    def channels(self) -> int:
        """The number of channels."""
        return int(self.samples.shape[1])

    @property
    def duration_s(self) -> float:
        """The length in seconds."""
        return self.frames / self.rate_hz
