"""A player, as every shell sees it: the versions of one loop, flipped between in step."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from typing import Protocol

from trainer.refusal import Refused
from trainer.sound import Sound


class Version(Enum):
    """Which version of the excerpt sounds."""

    PLAIN = "plain"
    CHANGED = "changed"
    YOURS = "your answer"
    ALONE_PLAIN = "plain alone"
    ALONE_CHANGED = "changed alone"

    @property
    def is_alone(self) -> bool:
        """Whether the target of the change sounds alone, without the rest of the mix."""
        return self in _TOGETHER

    @property
    def together(self) -> "Version":
        """The same with the rest of the mix."""
        return _TOGETHER.get(self, self)

    @property
    def alone(self) -> "Version":
        """The same without the rest of the mix (of the learner's own answer: the change that was made)."""
        return _ALONE.get(self, self)

    @property
    def flipped(self) -> "Version":
        """What a flip goes to: changed from plain, plain from changed, changed from the learner's own answer."""
        other = Version.PLAIN if self.together is Version.CHANGED else Version.CHANGED
        return other.alone if self.is_alone else other


_TOGETHER = {Version.ALONE_PLAIN: Version.PLAIN, Version.ALONE_CHANGED: Version.CHANGED}
_ALONE = {
    Version.PLAIN: Version.ALONE_PLAIN,
    Version.CHANGED: Version.ALONE_CHANGED,
    Version.YOURS: Version.ALONE_CHANGED,
}


class NoDevice(Refused):  # it is an answer, not a fault: the caller offers another player
    """There is no sound device to play on; the message says why in one sentence."""


@dataclass(frozen=True, slots=True, eq=False)
class Asked:
    """Everything a player was asked for: enough to ask another one for the same.

    Attributes
    ----------
    versions, is_dip
        What is loaded (nothing, perhaps), and whether its flips dip.
    version
        The version asked for last.
    level_db
        The listening level, dB below full.
    is_playing
        Whether it plays, or played when it was closed.
    """

    versions: Mapping[Version, Sound]
    is_dip: bool
    version: Version
    level_db: float
    is_playing: bool


class Player(Protocol):
    """Plays the versions of one loop, in step and without clicks.

    The versions loaded together have the same length and loop together: a flip keeps the place. Loading
    while something plays fades it out first. ``stop`` fades to silence; ``close`` frees the device.
    Playing before anything is loaded, or flipping to a version that is not loaded, is a ``ValueError``.

    A shell whose player is lost closes it, opens another one and hands over
    (:func:`trainer.playback.handover.hand_over`).
    """

    def load(self, versions: Mapping[Version, Sound], *, dip: bool = False) -> None:
        """Make these versions the ones to play, from their start, still silent, plain first.

        With ``dip`` every flip goes through a short silence, so that a crossfade cannot give away a change
        that cancels its original (a polarity flip).
        """

    def add(self, version: Version, sound: Sound) -> None:
        """Let one more version of what is loaded be flipped to; what sounds goes on undisturbed.

        Nothing loaded, a version that is loaded already, or a sound of another length or rate is a
        ``ValueError``.
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
    def heard(self) -> Version:
        """The version that reaches the ear now, as far as that can be known: what a picture shows.

        A flip is heard from where its crossfade begins.
        """

    @property
    def is_playing(self) -> bool:
        """Whether it was asked to play."""

    @property
    def position_s(self) -> float:
        """The place in the loop."""

    @property
    def heard_position_s(self) -> float:
        """The place in the loop that reaches the ear now: it moves smoothly, for a playhead to be drawn."""

    @property
    def listened_s(self) -> float:
        """For how long this player has sounded, all in all: what a reminder to take a break counts."""

    @property
    def where(self) -> str:
        """Where to listen, in one sentence, if not at the sound device; nothing otherwise."""

    @property
    def problem(self) -> str:
        """What is wrong with the sound in one sentence, or nothing."""

    @property
    def is_lost(self) -> bool:
        """Whether the sound device is gone or has stopped, so that another player should be opened."""

    @property
    def asked(self) -> Asked:
        """What is loaded and how it is to sound; known after closing, too."""

    def close(self) -> None:
        """Fade out and free what is held."""
