"""Fades of raised-cosine shape, and what makes a loop go round without a seam."""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from trainer.sound import Sound
from trainer.units import seconds_to_frames


def raised_cosine(frames: int) -> NDArray[np.float32]:
    """Return a rise from 0 to 1 whose mirror image is its complement."""
    return np.asarray(0.5 - 0.5 * np.cos(np.pi * (np.arange(frames) + 0.5) / frames), dtype=np.float32)


def fade_in(sound: Sound, *, duration_s: float) -> Sound:
    """Return the sound rising from silence at its start; no longer than the sound."""
    return _faded(sound, duration_s, at_end=False)


def fade_out(sound: Sound, *, duration_s: float) -> Sound:
    """Return the sound falling to silence at its end; no longer than the sound."""
    return _faded(sound, duration_s, at_end=True)


def _faded(sound: Sound, duration_s: float, *, at_end: bool) -> Sound:
    frames = min(seconds_to_frames(duration_s, sound.rate_hz), sound.frames)
    rise = raised_cosine(frames)[:, None]
    samples = sound.samples.copy()
    if at_end:
        samples[sound.frames - frames :] *= rise[::-1]
    else:
        samples[:frames] *= rise
    return Sound(samples, sound.rate_hz)


def seamless(sound: Sound, process: Callable[[Sound], Sound], *, run_in_s: float = 1.0) -> Sound:
    """Return a loop through a process that remembers (a filter, a compressor), so that it still loops.

    Parameters
    ----------
    process
        Takes a sound to one of the same length.
    run_in_s
        How much of the loop's own end the process hears first, to have forgotten how it started.

    Raises
    ------
    ValueError
        If the sound is empty, or the process changes the length.
    """
    if sound.frames == 0:
        raise ValueError("an empty sound cannot loop")
    frames = seconds_to_frames(run_in_s, sound.rate_hz)
    places = np.arange(-frames, 0) % sound.frames
    longer = Sound(np.concatenate([sound.samples[places], sound.samples]), sound.rate_hz)
    made = process(longer)
    if made.frames != longer.frames:
        raise ValueError(f"a process keeps the length: {longer.frames} frames became {made.frames}")
    return Sound(made.samples[frames:], made.rate_hz)


def close_loop(sound: Sound, *, overlap_s: float = 0.01) -> Sound:
    """Return a loop: what follows its end is faded out under its start.

    Parameters
    ----------
    sound
        The loop and, after it, at least the overlap.
    overlap_s
        The length of the cross-fade; the loop is that much shorter than the sound.

    Raises
    ------
    ValueError
        If the sound is not at least twice as long as the overlap.
    """
    overlap = seconds_to_frames(overlap_s, sound.rate_hz)
    length = sound.frames - overlap
    if length < overlap or length < 1:
        raise ValueError(f"a loop of {sound.duration_s:.3f} s is too short for an overlap of {overlap_s} s")
    samples = sound.samples[:length].copy()
    rise = raised_cosine(overlap)[:, None]
    samples[:overlap] = samples[:overlap] * rise + sound.samples[length:] * rise[::-1]
    return Sound(samples, sound.rate_hz)
