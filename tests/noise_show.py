"""A show for tests that need no music: its stems are bands of noise, so what is in them is known."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from tests.signals import white_noise
from trainer.dsp.filters import high_pass, low_pass
from trainer.dsp.level import gain
from trainer.ensemble.excerpt import Excerpt
from trainer.ensemble.rooms import DRY
from trainer.sound import RATE_HZ, Sound

DURATION_S = 6.0
STEM_BANDS_HZ: dict[str, tuple[float, float]] = {
    "marimba": (177.0, 1412.0),
    "glockenspiel": (2818.0, 11220.0),
    "sub": (22.4, 89.0),
    "snare-line": (708.0, 5623.0),
    "bass-drum-line": (44.7, 355.0),
    "trumpets": (355.0, 5623.0),
    "cymbals": (5623.0, 20000.0),
}
"""Where each stem's noise lies: the 3 dB edges, hertz."""


def noise_stem(part: str, *, seed: int) -> Sound:
    """Return stereo noise of the part's bands, loud and soft in turn (so that a compressor has work)."""
    low_hz, high_hz = STEM_BANDS_HZ[part]
    rng = np.random.default_rng([seed, *part.encode()])
    noise = white_noise(duration_s=DURATION_S, seed=int(rng.integers(2**31)), rms_dbfs=-20.0, channels=2)
    banded = low_pass(high_pass(noise, corner_hz=low_hz, order=4), corner_hz=high_hz, order=4)
    pulses = np.repeat(10.0 ** (rng.uniform(-24.0, 0.0, 24) / 20.0), banded.frames // 24)
    swelling = Sound.of(banded.samples * pulses[:, None])
    return gain(swelling, gain_db=-20.0 - 10.0 * float(np.log10(np.mean(np.square(swelling.samples)))))


@lru_cache(maxsize=64)
def noise_excerpt(seed: int) -> Excerpt:
    """Return the excerpt of a seed."""
    assert round(DURATION_S * RATE_HZ) % 24 == 0
    stems = {part: noise_stem(part, seed=seed) for part in STEM_BANDS_HZ}
    return Excerpt("noise", seed, "noise", DRY, stems)


@dataclass(frozen=True)
class NoiseShow:
    """Excerpts of noise, one for each seed."""

    key: str = "noise"
    title: str = "noise"

    def excerpt(self, seed: int) -> Excerpt:
        """Return the excerpt of a seed."""
        return noise_excerpt(seed)


class SameNoise(NoiseShow):
    """A show of one excerpt: for tests that do not care what is drilled, and want it at once."""

    def excerpt(self, seed: int) -> Excerpt:
        """Return the excerpt, whatever the seed."""
        return super().excerpt(min(seed, 1))
