"""Music for the tests of playback: sines with whole numbers of cycles, so that the loop has no seam."""

import numpy as np
from numpy.typing import NDArray

from trainer.playback.loop import Loop
from trainer.playback.player import Version
from trainer.sound import RATE_HZ, Samples, Sound

LOOP_FRAMES = 36_777
"""No multiple of any buffer, so that the seam and the fades fall anywhere in one."""

PARTIALS = ((61, 0.20), (181, 0.15), (340, 0.10), (757, 0.05))
"""Whole cycles a loop (about 80 to 990 Hz) and amplitude."""


def music(*, gain: float = 1.0, boosted: int = -1, frames: int = LOOP_FRAMES) -> Sound:
    """Return a stereo loop; the partial numbered ``boosted`` is raised by 6 dB."""
    turn = 2.0 * np.pi * np.arange(frames) / frames
    gains = [2.0 if number == boosted else 1.0 for number in range(len(PARTIALS))]
    left = sum(g * a * np.sin(k * turn + k) for g, (k, a) in zip(gains, PARTIALS, strict=True))
    right = sum(g * a * np.cos(k * turn) for g, (k, a) in zip(gains, PARTIALS, strict=True))
    return Sound.of(gain * np.stack([left, right], axis=1))


VERSIONS = {
    Version.PLAIN: music(),
    Version.CHANGED: music(boosted=1),
    Version.YOURS: music(boosted=2),
    Version.ALONE_PLAIN: music(gain=0.5, boosted=3),
    Version.ALONE_CHANGED: music(gain=0.75, boosted=0),
}


def largest_steps(samples: Samples) -> NDArray[np.float64]:
    """Return the largest first and second difference from frame to frame."""
    exact = samples.astype(np.float64)
    return np.array([np.abs(np.diff(exact, n=order, axis=0)).max() for order in (1, 2)])


def steps_of_loop(*sounds: Sound) -> NDArray[np.float64]:
    """Return the largest steps in any of these loops, the seam included."""
    return np.max([largest_steps(np.concatenate([one.samples, one.samples[:2]])) for one in sounds], axis=0)


def rendered(loop: Loop, duration_s: float, *, buffer_frames: int = 2_048) -> Samples:
    """Return what a loop renders, a buffer at a time as a device asks for it."""
    out = np.full((round(duration_s * RATE_HZ), 2), np.nan, np.float32)
    for start in range(0, len(out), buffer_frames):
        loop.render(out[start : start + buffer_frames])
    return out


def playing(*, dip: bool = False, level_db: float = 0.0) -> Loop:
    """Return a loop that has been playing the music for 1.5 s, its first fade-in over."""
    loop = Loop()
    loop.load(VERSIONS, dip=dip)
    loop.set_level(level_db)
    loop.play()
    rendered(loop, 1.5)
    return loop


def place_of(loop: Loop) -> int:
    """Return the frame at which a loop stands."""
    return round(loop.position_s * RATE_HZ)


def expected(version: Version, start: int, frames: int) -> Samples:
    """Return the music of a version from a place on, round the loop."""
    return np.take(VERSIONS[version].samples, np.arange(start, start + frames), axis=0, mode="wrap")
