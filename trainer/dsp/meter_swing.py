"""The swing of a gain-reduction meter: how far its needle moves, and the threshold at which it moves so far.

The swing is the 95th less the 5th percentile of a compressor's gain reduction while the sound is active. The
percentiles are ours; that engineers set a compressor by how far the meter moves is common practice, no source.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trainer.dsp.dynamics import is_active, reduction_db

PERCENTILES = (5.0, 95.0)
"""Where the needle is taken to rest and to reach: what it does in a twentieth of the time is no swing."""

READ_EVERY = 8
"""Every how many frames the needle is read: six times a millisecond at 48 kHz, more than any attack moves it."""


class SwingOutOfReach(ValueError):
    """A swing that no threshold gives: the sound is too even for it."""


@dataclass(frozen=True, slots=True)
class LevelSpan:
    """The 5th and the 95th percentile of an envelope in dB while the sound is active.

    The reduction rises with the level, so its percentiles are those of the level sent through the gain
    computer: two levels are all that a swing depends on.
    """

    low_db: float
    high_db: float

    @classmethod
    def of(cls, level_db: NDArray[np.floating]) -> "LevelSpan":
        """Return the span of an envelope in dB, one value a frame."""
        read_db = level_db[::READ_EVERY]
        low_db, high_db = np.percentile(read_db[is_active(read_db)], PERCENTILES)
        return cls(float(low_db), float(high_db))


def swing_of(reductions_db: NDArray[np.floating], *, level_db: NDArray[np.floating]) -> float:
    """Return the swing in dB of a gain reduction, one value a frame, where its envelope is active."""
    active = is_active(level_db[::READ_EVERY])
    low_db, high_db = np.percentile(reductions_db[::READ_EVERY][active], PERCENTILES)
    return float(high_db - low_db)


def most_swing_db(span: LevelSpan, *, ratio: float) -> float:
    """Return the largest swing in dB a compressor of this ratio can have: its threshold lies below it all."""
    return (1.0 - 1.0 / ratio) * (span.high_db - span.low_db)


def threshold_db_for(span: LevelSpan, *, swing_db: float, ratio: float, knee_db: float = 0.0) -> float:
    """Return the highest threshold in dB at which the meter swings by so much.

    Raises
    ------
    SwingOutOfReach
        If the swing is not above 0, or larger than ``most_swing_db``.
    """
    from scipy import optimize

    most_db = most_swing_db(span, ratio=ratio)
    if not 0.0 < swing_db <= most_db:
        allowed = f"above 0 and at most {most_db:.1f} dB at a ratio of {ratio:g}"
        raise SwingOutOfReach(f"the meter's swing on this sound lies {allowed}, not at {swing_db:g} dB")

    def missing_db(threshold_db: float) -> float:
        low_db, high_db = reduction_db(
            (span.low_db, span.high_db), threshold_db=threshold_db, ratio=ratio, knee_db=knee_db
        )
        return float(high_db - low_db) - swing_db

    half_knee_db = knee_db / 2.0
    lowest_db, highest_db = span.low_db - half_knee_db, span.high_db + half_knee_db
    if missing_db(lowest_db) <= 0.0:
        return lowest_db
    return float(optimize.bisect(missing_db, lowest_db, highest_db, xtol=1e-6))
