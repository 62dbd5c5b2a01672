"""Answering in a terminal: one rep flipped, turned up and down, and answered line by line."""

from collections.abc import Callable
from dataclasses import dataclass

from trainer.playback.player import Player, Version
from trainer.practice.exercise import Question
from trainer.practice.fields import Field
from trainer.practice.list_field import ListField
from trainer.practice.typed import read_whole
from trainer.practice.values import Answer, Value
from trainer.refusal import Refused
from trainer.text.lines import Ask, Say, turned, typed
from trainer.text.rows import RowsTyped

LISTENING_KEYS = "Enter flip · r from the start · + - listening level · a answer · g give up · q quit"
ANSWERING_KEYS = "a answer · g give up · q quit"


@dataclass
class Answering:
    """Lines in, one answer out, the sound from whatever player there is.

    ``level_db`` is the listening level; it is turned here.
    """

    player: Player
    ask: Ask
    say: Say
    level_db: float

    def answer(self, question: Question, *, flipped: Callable[[], object]) -> Answer | None:
        """Return what the learner answers (None: gave up), however long they listen first."""
        while True:
            said = self.line(self.prompt(LISTENING_KEYS, elsewhere=ANSWERING_KEYS))
            if said == "g":
                return None
            if said in ("", "f"):
                self._flip()
                flipped()
            elif said == "r":
                self.player.restart()
            elif said == "a":
                return {one.key: self._field(one) for one in question.fields}
            elif not self.turn(said):
                try:
                    return read_whole(question.fields, said)
                except Refused as why:
                    self.say(f"{why}.")

    def turn(self, said: str) -> bool:
        """Turn the listening level up or down if that is what was said."""
        level_db = turned(self.level_db, said)
        if level_db is None:
            return False
        self.level_db = level_db
        self.player.set_level(self.level_db)
        self.say(f"Listening level: {self.level_db:g} dB")
        return True

    def prompt(self, keys: str, *, elsewhere: str) -> str:
        """Return the keys that work here and now; nothing of the sound where it is listened to elsewhere."""
        if self.player.where:
            return f"{elsewhere}\n> "
        return f"[sounding now: {self.player.sounding.value}] {keys}\n> "

    def say_where(self) -> None:
        """Say where the sound is, if it is in files, and what is wrong with it, if anything is."""
        for line in (self.player.where, self.player.problem):
            if line:
                self.say(line)

    def line(self, prompt: str) -> str:
        """Return a line as typed; `Leave` where somebody quits."""
        return typed(self.ask, prompt)

    def _flip(self) -> None:
        other = Version.PLAIN if self.player.sounding is Version.CHANGED else Version.CHANGED
        self.player.flip(other)

    def _field(self, one: Field) -> Value:
        """Return the answer to one field, asked until it fits; a list row by row."""
        if isinstance(one, ListField):
            return RowsTyped(one, self.line, self.say).run()
        while True:
            said = self.line(f"{one.title} ({one.hint})\n> ")
            try:
                return one.read(said)
            except Refused as why:
                self.say(f"{why}.")
