"""The flip between plain and changed: when it is heard, and what the sound costs while it plays."""

import numpy as np

from trainer.bench.measure import median_s
from trainer.bench.row import Clock, Measured, Scale
from trainer.playback.loop import Loop
from trainer.playback.player import Version
from trainer.sound import RATE_HZ, Samples, Sound

QUEUED_CHUNKS = 1
"""What the device plays while the next chunk is rendered."""
DURATION_S = 6.0
HEARD = 0.9
"""A flip is taken as heard when the changed version's share of the level is this."""


def heard_after(scale: Scale, clock: Clock) -> Measured:  # noqa: ARG001 - every row takes the same
    """Count the chunks from asking for the changed version until it is the one that sounds."""
    from trainer.playback.device import CHUNK_FRAMES

    loop, out = _playing(CHUNK_FRAMES)
    loop.flip(Version.CHANGED)
    rendered = 0
    while float(out[-1, 0]) < HEARD * float(out[-1, 1]):
        loop.render(out)
        rendered += 1
    note = f"{1e3 * CHUNK_FRAMES / RATE_HZ:.0f} ms a chunk, one of them queued in the device"
    return Measured(rendered + QUEUED_CHUNKS, note=note)


def chunk_cost(scale: Scale, clock: Clock) -> Measured:
    """Measure the rendering of a chunk, a flip in every second one, beside how long it sounds."""
    from trainer.playback.device import CHUNK_FRAMES

    loop, out = _playing(CHUNK_FRAMES)

    def render(place: int) -> None:
        if place % 2:
            loop.flip(Version.CHANGED if place % 4 == 1 else Version.PLAIN)
        loop.render(out)

    cost_s = median_s([lambda place=place: render(place) for place in range(scale.chunks)], clock=clock)  # type: ignore[misc]
    return Measured(1e3 * cost_s, 1e3 * CHUNK_FRAMES / RATE_HZ, "how long the chunk sounds")


def _playing(chunk_frames: int) -> tuple[Loop, Samples]:
    """Return a loop past its fade in, and a chunk; only the changed version sounds on the left."""
    frames = round(DURATION_S * RATE_HZ)
    right = np.zeros((frames, 2), np.float32)
    right[:, 1] = 0.5
    loop, out = Loop(), np.zeros((chunk_frames, 2), np.float32)
    loop.load({Version.PLAIN: Sound(right), Version.CHANGED: Sound.of(np.full((frames, 2), 0.5))})
    loop.play()
    for _ in range(2 * RATE_HZ // chunk_frames):
        loop.render(out)
    return loop, out
