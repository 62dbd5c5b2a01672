"""The door to pedalboard: its second-order filters, and the detector of its compressor.

Measured on pedalboard 0.9.26: the filters are those of the Audio EQ Cookbook (Q case) in single precision;
the detector is a branching one-pole on the magnitude whose times are 2π time constants.
"""

import math
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from trainer.sound import Samples, Sound

_Pedal = Callable[[Samples, int], Samples]

FLOOR_DB = -120.0
"""The lowest level the detector follows."""


def peak(sound: Sound, *, centre_hz: float, gain_db: float, quality: float) -> Sound:
    """Return the sound through a peaking filter."""
    import pedalboard

    return _each_channel(sound, pedalboard.PeakFilter(centre_hz, gain_db, quality))


def low_shelf(sound: Sound, *, corner_hz: float, gain_db: float, quality: float) -> Sound:
    """Return the sound through a low shelf."""
    import pedalboard

    return _each_channel(sound, pedalboard.LowShelfFilter(corner_hz, gain_db, quality))


def high_shelf(sound: Sound, *, corner_hz: float, gain_db: float, quality: float) -> Sound:
    """Return the sound through a high shelf."""
    import pedalboard

    return _each_channel(sound, pedalboard.HighShelfFilter(corner_hz, gain_db, quality))


def follow(detected: Samples, *, rate_hz: int, attack_s: float, release_s: float) -> NDArray[np.float32]:
    """Return the envelope of a one-dimensional signal, never below ``FLOOR_DB``.

    Notes
    -----
    A compressor of ratio 2 with its threshold T at the floor has the gain ``(env / T) ** -0.5``. Its input
    is known, so the gain is, and the envelope is ``T / gain ** 2``.
    """
    import pedalboard

    floor = np.float32(10.0 ** (FLOOR_DB / 20.0))
    raised = np.maximum(np.abs(detected), floor)
    turns_ms = 2.0 * math.pi * 1000.0
    compressor = pedalboard.Compressor(FLOOR_DB, 2.0, attack_s * turns_ms, release_s * turns_ms)
    gain = compressor(raised, rate_hz)
    gain /= raised
    np.square(gain, out=gain)
    return np.asarray(np.divide(floor, gain, out=gain))


def _each_channel(sound: Sound, pedal: _Pedal) -> Sound:
    """Run a pedal over one channel after the other, so that it need not guess the shape."""
    made = np.empty_like(sound.samples)
    for channel in range(sound.channels):
        made[:, channel] = pedal(np.ascontiguousarray(sound.samples[:, channel]), sound.rate_hz)
    return Sound(made, sound.rate_hz)
