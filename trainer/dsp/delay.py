"""A loop moved in time by any fraction of a frame, exactly."""

import numpy as np

from trainer.sound import Sound


def delayed(sound: Sound, *, delay_s: float) -> Sound:
    """Return a loop late by a delay in seconds (early where it is negative); its end comes round to its start.

    Whole frames are moved as they are. A fraction is a straight line of phase over the loop's own spectrum, so
    that every component below half the sample rate keeps its level and is late by exactly as much.

    Raises
    ------
    ValueError
        If the sound is empty, or the delay is longer than the loop.
    """
    if sound.frames == 0:
        raise ValueError("an empty sound cannot be late")
    if abs(delay_s) > sound.duration_s:
        raise ValueError(f"a delay of {delay_s:g} s is longer than the loop of {sound.duration_s:g} s")
    frames = delay_s * sound.rate_hz
    whole = round(frames)
    moved = np.roll(sound.samples, whole, axis=0)
    fraction = frames - whole
    return (
        Sound(moved, sound.rate_hz)
        if abs(fraction) < 1e-9
        else _by_fraction(Sound(moved, sound.rate_hz), fraction)
    )


def _by_fraction(sound: Sound, fraction: float) -> Sound:
    """Return a loop late by less than a frame.

    The bin at half the sample rate, where there is one, is real: the inverse transform drops what the phase makes
    imaginary of it, and its level falls by the cosine.
    """
    from scipy import fft

    spectrum = fft.rfft(sound.samples, axis=0)
    turn = np.exp(-2j * np.pi * fraction / sound.frames * np.arange(len(spectrum)))
    spectrum *= turn[:, None].astype(spectrum.dtype)
    return Sound(np.asarray(fft.irfft(spectrum, sound.frames, axis=0), np.float32), sound.rate_hz)
