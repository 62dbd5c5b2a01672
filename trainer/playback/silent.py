"""The silent player: it keeps time as a device would, and nothing is heard."""

import time
from collections.abc import Callable, Mapping

import numpy as np

from trainer.playback.loop import Loop
from trainer.playback.player import Version
from trainer.playback.programme import CHANNELS
from trainer.sound import RATE_HZ, Sound

BUFFER_FRAMES = 8_192


class SilentPlayer:
    """Plays to nobody: the loop is rendered up to the present whenever anybody asks or looks.

    ``clock`` gives seconds that only go forward.
    """

    def __init__(self, *, rate_hz: int = RATE_HZ, clock: Callable[[], float] = time.monotonic) -> None:
        self._loop = Loop(rate_hz=rate_hz)
        self._rate_hz = rate_hz
        self._clock = clock
        self._opened_at_s = clock()
        self._buffer = np.zeros((BUFFER_FRAMES, CHANNELS), np.float32)

    def load(self, versions: Mapping[Version, Sound], *, dip: bool = False) -> None:
        """Make these versions the ones to play, from their start."""
        self._now().load(versions, dip=dip)

    def play(self) -> None:
        """Let the loop run."""
        self._now().play()

    def stop(self) -> None:
        """Let it stand, the place kept."""
        self._now().stop()

    def restart(self) -> None:
        """Go back to the start of the loop."""
        self._now().restart()

    def flip(self, version: Version) -> None:
        """Let another version run, at the same place."""
        self._now().flip(version)

    def set_level(self, level_db: float) -> None:
        """Check the level; there is nothing to hear it by."""
        self._now().set_level(level_db)

    @property
    def sounding(self) -> Version:
        """The version asked for last."""
        return self._loop.sounding

    @property
    def position_s(self) -> float:
        """The place in the loop."""
        return self._now().position_s

    @property
    def listened_s(self) -> float:
        """Zero: nobody can have listened."""
        return 0.0

    @property
    def problem(self) -> str:
        """A sentence that says there is no sound."""
        return "There is no sound: this player only keeps time."

    def close(self) -> None:
        """Stop; nothing is held."""
        self._now().stop()

    def _now(self) -> Loop:
        """Return the loop, rendered up to the present."""
        due = int((self._clock() - self._opened_at_s) * self._rate_hz)
        while (missing := due - self._loop.rendered_frames) > 0:
            self._loop.render(self._buffer[:missing])
        return self._loop
