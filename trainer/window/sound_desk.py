"""The sound desk: the player of a session, its level, and what becomes of it when a device goes or comes."""

from collections.abc import Callable

from trainer.playback.care import BREAK_AFTER_S, LEVEL_STEP_DB
from trainer.playback.handover import hand_over
from trainer.playback.player import Player, Version
from trainer.progress.listening_level import is_level_set, keep_level, start_level_db
from trainer.progress.store import Store
from trainer.sound import Sound
from trainer.window.settings import Settings

OpenSound = Callable[[Settings], tuple[Player, str]]
"""Opens the player the settings ask for, and says what there is to say about it."""
QUIETEST_DB = -60.0


class SoundDesk:
    """One player at a time; ``said`` is what was said when it was opened, or nothing."""

    def __init__(self, open_sound: OpenSound, level_sound: Callable[[], Sound], settings: Settings) -> None:
        self._open_sound, self._level_sound = open_sound, level_sound
        self._listened_before_s = self._rested_at_s = 0.0
        self.level_db = 0.0
        self.player, self.said = open_sound(settings)

    @property
    def listened_s(self) -> float:
        """For how long this session has sounded, on every device."""
        return self._listened_before_s + self.player.listened_s

    def set_level_of(self, store: Store, learner: str) -> bool:
        """Go to the level a learner begins at, never loud; say whether they never set one."""
        self.level_db = start_level_db(store, learner)
        self.player.set_level(self.level_db)
        return not is_level_set(store, learner)

    def keep_level_of(self, store: Store, learner: str) -> None:
        """Remember the level a learner has left it at."""
        keep_level(store, learner, level_db=self.level_db)

    def turn(self, steps: int) -> None:
        """Turn the level up or down."""
        self.level_db = min(0.0, max(QUIETEST_DB, self.level_db + LEVEL_STEP_DB * steps))
        self.player.set_level(self.level_db)

    def play_level_sound(self) -> None:
        """Let the sound play that a level is set by."""
        self.player.load({Version.PLAIN: self._level_sound()})
        self.player.play()

    def reopen(self, settings: Settings) -> None:
        """Open the sound again, and go on where it was."""
        old = self.player
        self._listened_before_s += old.listened_s
        old.close()
        self.player, self.said = self._open_sound(settings)
        self.player.set_level(self.level_db)
        hand_over(old, self.player)

    def is_break_due(self) -> bool:
        """Say whether it is time for a break; once said, it is due again after as long."""
        if self.listened_s - self._rested_at_s < BREAK_AFTER_S:
            return False
        self._rested_at_s = self.listened_s
        return True
