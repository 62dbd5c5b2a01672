"""A wish: everything asked of a player so far, as one frozen value; what no player grants is refused here."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from trainer.playback.player import Asked, Version
from trainer.playback.programme import Programme, programme_of
from trainer.sound import Sound
from trainer.units import db_to_ratio

DEFAULT_LEVEL_DB = -20.0
"""Quiet, until somebody has set a comfortable level."""


@dataclass(frozen=True, slots=True, eq=False)
class Wish:
    """What is to sound; ``loads``, ``flips`` and ``restarts`` count, so that nothing asked is missed.

    Two wishes of one load have programmes that differ only in versions added. ``was_playing`` is what
    ``playing`` was when the player was closed.
    """

    level_db: float = DEFAULT_LEVEL_DB
    programme: Programme | None = None
    version: Version = Version.PLAIN
    playing: bool = False
    was_playing: bool = False
    loads: int = 0
    flips: int = 0
    restarts: int = 0

    @property
    def gain(self) -> float:
        """The level as an amplitude ratio."""
        return db_to_ratio(self.level_db)

    @property
    def asked(self) -> Asked:
        """All of it, for another player."""
        sounds = self.programme.sounds if self.programme else {}
        dip = self.programme is not None and self.programme.dip
        return Asked(sounds, dip, self.version, self.level_db, self.playing or self.was_playing)

    def load(self, versions: Mapping[Version, Sound], *, dip: bool) -> "Wish":
        """Ask for these versions, the first of them, not playing."""
        programme = programme_of(versions, dip=dip)
        first, loads = programme.versions[0], self.loads + 1
        return replace(self.stop(), programme=programme, version=first, loads=loads)

    def add(self, version: Version, sound: Sound) -> "Wish":
        """Ask for one more version of what is loaded."""
        if self.programme is None:
            raise ValueError(f"nothing is loaded to add the version '{version.value}' to")
        return replace(self, programme=self.programme.with_version(version, sound))

    def play(self) -> "Wish":
        """Ask for sound."""
        if self.programme is None:
            raise ValueError("nothing is loaded to play")
        return replace(self, playing=True)

    def stop(self) -> "Wish":
        """Ask for silence."""
        return replace(self, playing=False, was_playing=False)

    def close(self) -> "Wish":
        """Ask for silence for good, and remember what it ended."""
        return replace(self, playing=False, was_playing=self.playing or self.was_playing)

    def restart(self) -> "Wish":
        """Ask for the start of the loop."""
        return replace(self, restarts=self.restarts + 1)

    def flip(self, version: Version) -> "Wish":
        """Ask for another version."""
        there = self.programme.versions if self.programme else ()
        if version not in there:
            loaded = ", ".join(key.value for key in there) or "nothing"
            raise ValueError(f"the version '{version.value}' is not loaded; loaded is: {loaded}")
        return replace(self, version=version, flips=self.flips + 1)

    def set_level(self, level_db: float) -> "Wish":
        """Ask for a level."""
        if not level_db <= 0.0:
            raise ValueError(f"a listening level is 0 dB or below, not {level_db}")
        return replace(self, level_db=level_db)
