"""The silent player: it keeps time as a device would, and nothing is heard."""

import time
from collections.abc import Callable, Mapping

from trainer.playback.player import Asked, Version
from trainer.playback.wish import Wish
from trainer.sound import Sound


class SilentPlayer:
    """Plays to nobody; ``clock`` gives seconds that only go forward."""

    def __init__(self, *, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._wish = Wish()
        self._place_s = 0.0
        self._placed_at_s = clock()

    def load(self, versions: Mapping[Version, Sound], *, dip: bool = False) -> None:
        """Make these versions the ones to play, from their start."""
        self._ask(self._wish.load(versions, dip=dip), place_s=0.0)

    def add(self, version: Version, sound: Sound) -> None:
        """Let one more version of what is loaded be flipped to."""
        self._ask(self._wish.add(version, sound), place_s=self.position_s)

    def play(self) -> None:
        """Let the loop run."""
        self._ask(self._wish.play(), place_s=self.position_s)

    def stop(self) -> None:
        """Let it stand, the place kept."""
        self._ask(self._wish.stop(), place_s=self.position_s)

    def restart(self) -> None:
        """Go back to the start of the loop."""
        self._ask(self._wish.restart(), place_s=0.0)

    def flip(self, version: Version) -> None:
        """Let another version run, at the same place."""
        self._ask(self._wish.flip(version), place_s=self.position_s)

    def set_level(self, level_db: float) -> None:
        """Check the level; there is nothing to hear it by."""
        self._ask(self._wish.set_level(level_db), place_s=self.position_s)

    @property
    def sounding(self) -> Version:
        """The version asked for last."""
        return self._wish.version

    @property
    def heard(self) -> Version:
        """The version asked for last: nothing delays it."""
        return self.sounding

    @property
    def is_playing(self) -> bool:
        """Whether it was asked to play."""
        return self._wish.playing

    @property
    def position_s(self) -> float:
        """The place in the loop."""
        programme = self._wish.programme
        if programme is None or not self._wish.playing:
            return self._place_s
        gone_s = self._clock() - self._placed_at_s
        return (self._place_s + gone_s) % (programme.frames / programme.rate_hz)

    @property
    def heard_position_s(self) -> float:
        """The place in the loop: nothing delays it."""
        return self.position_s

    @property
    def listened_s(self) -> float:
        """Zero: nobody can have listened."""
        return 0.0

    @property
    def where(self) -> str:
        """Nowhere."""
        return ""

    @property
    def problem(self) -> str:
        """A sentence that says there is no sound."""
        return "There is no sound: this player only keeps time."

    @property
    def is_lost(self) -> bool:
        """Never: there is no device to lose."""
        return False

    @property
    def asked(self) -> Asked:
        """What is loaded and how it is to sound; known after closing, too."""
        return self._wish.asked

    def close(self) -> None:
        """Stop; nothing is held."""
        self._ask(self._wish.close(), place_s=self.position_s)

    def _ask(self, wish: Wish, *, place_s: float) -> None:
        """Grant a wish, counting the time from a place on."""
        self._wish, self._place_s, self._placed_at_s = wish, place_s, self._clock()
