"""A player, as every shell sees it: up to three versions of one loop, flipped between in step."""

from collections.abc import Mapping
from enum import Enum
from typing import Protocol

from trainer.sound import Sound


class Version(Enum):
    """Which version of the excerpt sounds."""

    PLAIN = "plain"
    CHANGED = "changed"
    YOURS = "your answer"


class Player(Protocol):
    """Plays the versions of one loop, in step and without clicks.

    The versions loaded together have the same length and loop together: a flip keeps the place. Loading
    while something plays fades it out first. ``stop`` fades to silence; ``close`` frees the device.
    """

    def load(self, versions: Mapping[Version, Sound]) -> None:
        """Make these versions the ones to play, from their start, still silent."""

    def play(self) -> None:
        """Fade in, looping."""

    def stop(self) -> None:
        """Fade to silence, the place kept."""

    def restart(self) -> None:
        """Go back to the start of the loop (a dip to silence hides the jump)."""

    def flip(self, version: Version) -> None:
        """Let another version sound, at the same place."""

    def set_level(self, level_db: float) -> None:
        """Ramp the listening level to so many dB below full (never above 0)."""

    @property
    def sounding(self) -> Version:
        """The version that sounds now."""

    @property
    def position_s(self) -> float:
        """The place in the loop."""

    @property
    def problem(self) -> str:
        """What is wrong with the sound in one sentence, or nothing."""

    def close(self) -> None:
        """Fade out and free what is held."""
