"""The ear: which of the frames rendered for a sound device is heard at a time, reckoned from its calls.

SDL's audio thread fills a buffer (the call), queues it and waits until the device has room for the next one
(``SDL_RunAudio``: "queue this buffer and wait for it to finish playing"; SDL 2.28, src/audio/SDL_audio.c). A
device with room for two buffers has it when the buffer before begins to play. So what is rendered in a call is
heard from one buffer's duration after the call on. PulseAudio is asked for just that much
(``tlength`` of one buffer, its own delay included; SDL_pulseaudio.c), and SDL's disk driver calls once a
buffer's duration, to the millisecond. Where SDL feeds a device in smaller pieces (WASAPI) it is heard up to a
buffer earlier; what amplifiers, radio links and the air add nobody knows.
"""

from dataclasses import dataclass

PULL = 0.25
"""How much of a call's deviation from the even pace is believed: a call is early or late by the milliseconds
that Python's lock was held elsewhere, while the device itself plays evenly."""
LONGEST = 16
"""Calls remembered: some devices ask for several buffers at once."""


@dataclass(frozen=True, slots=True)
class Buffer:
    """A buffer of ``frames`` from ``start`` on, counted from the first ever rendered; heard from ``at_s``."""

    start: int
    frames: int
    at_s: float


class Ear:
    """Keeps the pace of a device's calls. One thread notes them, others may ask what is heard."""

    def __init__(self, *, rate_hz: int) -> None:
        self._rate_hz = rate_hz
        self._buffers: tuple[Buffer, ...] = ()

    def called(self, *, at_s: float, start: int, frames: int) -> None:
        """Note a call for so many frames, the first of them numbered ``start``."""
        buffer = Buffer(start, frames, self._begins_s(at_s, frames))
        self._buffers = (*self._buffers[-LONGEST + 1 :], buffer)

    def frame_at(self, at_s: float) -> float:
        """Return the number of the frame heard at a time: it only rises, and never past what was asked for."""
        buffers = self._buffers
        for buffer in reversed(buffers):
            if buffer.at_s <= at_s:
                return buffer.start + min((at_s - buffer.at_s) * self._rate_hz, buffer.frames)
        return buffers[0].start if buffers else 0.0

    def _begins_s(self, at_s: float, frames: int) -> float:
        """Return when a buffer begins to be heard: after the one before, at the pace of the calls."""
        duration_s = frames / self._rate_hz
        called_s = at_s + duration_s
        if not self._buffers:
            return called_s
        last = self._buffers[-1]
        paced_s = last.at_s + last.frames / self._rate_hz
        if paced_s < at_s:  # the device had nothing left to play: the pace begins anew
            return called_s
        return paced_s + PULL * (called_s - paced_s)
