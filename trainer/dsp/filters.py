"""Butterworth high-pass and low-pass filters of even order, in double precision."""

from typing import Literal

import numpy as np
from numpy.typing import NDArray

from trainer.sound import Sound

ORDERS = (2, 4, 8)
"""12, 24 and 48 dB an octave."""


def high_pass(sound: Sound, *, corner_hz: float, order: int = 2) -> Sound:
    """Return the sound without what lies below a corner.

    Parameters
    ----------
    corner_hz
        Where the level is down by 3.01 dB.
    order
        2, 4 or 8: six decibels an octave each.

    Raises
    ------
    ValueError
        If the corner is not between zero and half the sample rate, or the order is another one.
    """
    return _butterworth(sound, "highpass", corner_hz, order)


def low_pass(sound: Sound, *, corner_hz: float, order: int = 2) -> Sound:
    """Return the sound without what lies above a corner; as ``high_pass``."""
    return _butterworth(sound, "lowpass", corner_hz, order)


def within_band(frequency_hz: float, *, rate_hz: int) -> float:
    """Return a filter's frequency if it lies between zero and half the sample rate.

    Raises
    ------
    ValueError
        Otherwise, with the likely slip of units.
    """
    if 0.0 < frequency_hz < rate_hz / 2:
        return frequency_hz
    hint = f"; did you mean {frequency_hz / 1000.0:g} Hz, not kHz?" if frequency_hz >= 1e6 else ""
    allowed = f"between 0 and {rate_hz / 2:g} Hz, half the sample rate"
    raise ValueError(f"a filter's frequency lies {allowed}, not at {frequency_hz:g} Hz{hint}")


def run_sections(sections: NDArray[np.float64], sound: Sound) -> Sound:
    """Return the sound through second-order sections, computed in double precision."""
    from scipy import signal

    filtered = signal.sosfilt(sections, np.ascontiguousarray(sound.samples.T))
    return Sound(np.ascontiguousarray(filtered.T, dtype=np.float32), sound.rate_hz)


def _butterworth(sound: Sound, kind: Literal["highpass", "lowpass"], corner_hz: float, order: int) -> Sound:
    if order not in ORDERS:
        raise ValueError(f"a filter's order is one of {ORDERS}, not {order}; did you mean dB an octave?")
    within_band(corner_hz, rate_hz=sound.rate_hz)
    from scipy import signal

    return run_sections(signal.butter(order, corner_hz, kind, fs=sound.rate_hz, output="sos"), sound)
