"""A wish: everything asked of a player so far, as one frozen value; what no player grants is refused here."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from trainer.playback.player import Version
from trainer.playback.programme import Programme, programme_of
from trainer.sound import Sound
from trainer.units import db_to_ratio

DEFAULT_LEVEL_DB = -20.0
"""Quiet, until somebody has set a comfortable level."""


@dataclass(frozen=True, slots=True, eq=False)
class Wish:
    """What is to sound; ``flips`` and ``restarts`` count what was asked, so that nothing asked is missed."""

    gain: float = db_to_ratio(DEFAULT_LEVEL_DB)
    programme: Programme | None = None
    version: Version = Version.PLAIN
    playing: bool = False
    flips: int = 0
    restarts: int = 0

    def load(self, versions: Mapping[Version, Sound], *, dip: bool) -> "Wish":
        """Ask for these versions, the first of them, not playing."""
        programme = programme_of(versions, dip=dip)
        return replace(self, programme=programme, version=programme.versions[0], playing=False)

    def play(self) -> "Wish":
        """Ask for sound."""
        if self.programme is None:
            raise ValueError("nothing is loaded to play")
        return replace(self, playing=True)

    def stop(self) -> "Wish":
        """Ask for silence."""
        return replace(self, playing=False)

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
        return replace(self, gain=db_to_ratio(level_db))
