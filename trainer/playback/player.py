"""A player, as every shell sees it: up to three versions of one loop, flipped between in step."""

from collections.abc import Mapping
from enum import Enum
from typing import Protocol

from trainer.refusal import Refused
from trainer.sound import Sound


class Version(Enum):
    """Which version of the excerpt sounds."""

    PLAIN = "plain"
    CHANGED = "changed"
    YOURS = "your answer"


class NoDevice(Refused):  # it is an answer, not a fault: the caller offers another player
    """There is no sound device to play on; the message says why in one sentence."""


class Player(Protocol):
    """Plays the versions of one loop, in step and without clicks.

    The versions loaded together have the same length and loop together: a flip keeps the place. Loading
    while something plays fades it out first. ``stop`` fades to silence; ``close`` frees the device.
    Playing before anything is loaded, or flipping to a version that is not loaded, is a ``ValueError``.
    """

    def load(self, versions: Mapping[Version, Sound], *, dip: bool = False) -> None:
        """Make these versions the ones to play, from their start, still silent, plain first.

        With ``dip`` every flip goes through a short silence, so that a crossfade cannot give away a change
        that cancels its original (a polarity flip).
        """

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
        """The version asked for last: the one that sounds, at most two buffers later."""

    @property
    def position_s(self) -> float:
        """The place in the loop."""

    @property
    def listened_s(self) -> float:
        """For how long this player has sounded, all in all: what a reminder to take a break counts."""

    @property
    def where(self) -> str:
        """Where to listen, in one sentence, if not at the sound device; nothing otherwise."""

    @property
    def problem(self) -> str:
        """What is wrong with the sound in one sentence, or nothing."""

    def close(self) -> None:
        """Fade out and free what is held."""
