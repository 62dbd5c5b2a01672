"""Onsets that stand out of a mix: how often a part, and everybody else, marks the time where it can be heard.

The rule is ours: an onset is where a band's power stands 6 dB over all it was 20 to 60 ms before; it stands out where
it is at least as loud in its band, just then, as all that is not of its own part.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trainer.dsp.octave_bands import band_powers_over_time
from trainer.ensemble.excerpt import Excerpt
from trainer.ensemble.mixdown import difference
from trainer.practice.band_scale import OCTAVE_SCALE

WINDOW_S, HOP_S = 0.02, 0.01
RISE = 4.0
"""The ratio of powers that is an onset, 6 dB..."""
BEFORE_HOPS = range(2, 7)
"""... over each of the hops so far back."""
APART_HOPS = 5
"""Rises closer than this are one onset."""
FAINT = 1e-3
"""The share of the mix's mean power in a band below which nothing in it is heard."""
LOWEST_HZ = 250.0
"""The lowest octave looked at: in 20 ms those below it rise and fall by chance."""

Powers = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class OnsetRate:
    """How many onsets a second stand out: the target's, and the others'."""

    target: float
    others: float


def marked_onsets_per_s(excerpt: Excerpt, target: str, *, usable_hz: tuple[float, ...]) -> OnsetRate:
    """Return how often a target and the rest of the mix have an onset that stands out in a usable band."""
    own = excerpt.through_bus(target)
    rest = difference(excerpt.mix, own)
    usable = np.isin(OCTAVE_SCALE.names_hz, usable_hz) & (np.array(OCTAVE_SCALE.names_hz) >= LOWEST_HZ)
    part, others = (
        band_powers_over_time(sound, window_s=WINDOW_S, hop_s=HOP_S)[:, usable] for sound in (own, rest)
    )
    floor = FAINT * np.mean(part + others, axis=0)
    return OnsetRate(
        *(
            onsets_in(one, other, floor=floor) / excerpt.duration_s
            for one, other in ((part, others), (others, part))
        )
    )


def onsets_in(part: Powers, others: Powers, *, floor: Powers) -> int:
    """Return how many onsets of a part stand out of the others, from powers of a loop by hop and band."""
    before = np.max([np.roll(part, hops, axis=0) for hops in BEFORE_HOPS], axis=0)
    beside = np.maximum(others, np.roll(others, BEFORE_HOPS[0], axis=0))
    stands_out = (part >= RISE * before) & (part >= beside) & (part >= floor)
    hops = np.flatnonzero(stands_out.any(axis=1))
    return int(np.count_nonzero(np.diff(hops, prepend=hops[-1:] - len(part)) >= APART_HOPS))
