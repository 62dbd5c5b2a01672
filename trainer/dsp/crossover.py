"""A Linkwitz–Riley crossover of fourth order: two paths that sum to an even level."""

import numpy as np

from trainer.dsp.filters import run_sections, within_band
from trainer.sound import Sound


def split(sound: Sound, *, crossover_hz: float) -> tuple[Sound, Sound]:
    """Return the low and the high path of a sound, each 6.02 dB down where they cross.

    Each is a Butterworth filter of second order twice over. Their phases differ by a whole turn at every
    frequency, so that the sum has the level of the whole, and with one path inverted a null at the crossover.

    Raises
    ------
    ValueError
        If the frequency is not between zero and half the sample rate.
    """
    from scipy import signal

    within_band(crossover_hz, rate_hz=sound.rate_hz)
    low, high = (
        np.tile(signal.butter(2, crossover_hz, kind, fs=sound.rate_hz, output="sos"), (2, 1))
        for kind in ("lowpass", "highpass")
    )
    return run_sections(low, sound), run_sections(high, sound)


def rejoined(sound: Sound, *, crossover_hz: float, is_low_inverted: bool = False) -> Sound:
    """Return the sum of both paths of a sound, the low one inverted or not."""
    low, high = split(sound, crossover_hz=crossover_hz)
    return Sound(high.samples - low.samples if is_low_inverted else high.samples + low.samples, sound.rate_hz)
