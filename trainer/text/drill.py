"""A drill in a terminal: lines in, lines out, the sound from whatever player there is."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from trainer.playback.player import Player, Version
from trainer.practice.block import Block, Outcome
from trainer.practice.deal import Rep
from trainer.practice.exercise import Answer, Question
from trainer.practice.fields import read
from trainer.refusal import Refused
from trainer.text.lines import QUITTING, Ask, Leave, Say, turned, typed
from trainer.text.reveal import options_text, question_lines, reveal_lines, summary_lines

BREAK_AFTER = timedelta(minutes=20)
LISTENING_KEYS = "Enter flip · r from the start · + - listening level · a answer · g give up · q quit"
ANSWERING_KEYS = "a answer · g give up · q quit"
REVEAL_KEYS = "Enter next rep · p plain · c changed · y your answer · + - listening level · q quit"
GOING_ON_KEYS = "Enter next rep · q quit"
AGAIN_KEYS = "Enter another rep · q quit"
CAUTION = (
    "Keep it at a comfortable level: start low and turn up with +. No program can know how loud it is\n"
    "at your ear; local rules and a hearing professional come before anything said here. Take a break\n"
    "every twenty minutes."
)

CHOICES = {"": True, "y": True, "yes": True, "n": False, "no": False}
"""What is said about going on, and whether it means to."""


def wants_to_go_on(answered: int, count: int, *, ask: Ask, say: Say) -> bool:
    """Return whether somebody wants to go on with the block they stopped in; `Leave` if they want neither."""
    while True:
        said = ask(f"You stopped after {answered} of {count} reps. Go on? Enter goes on, n starts afresh\n> ")
        said = (said or "").strip().casefold()
        if said in QUITTING:
            raise Leave
        if said in CHOICES:
            return CHOICES[said]
        say(f"{said!r} is neither Enter nor n (nor q to quit)")


@dataclass
class TextDrill:
    """One block, answered line by line.

    ``level_db`` is the listening level the player starts from; after the run it is where it was left.
    """

    block: Block
    player: Player
    ask: Ask
    say: Say
    now: Callable[[], datetime]
    level_db: float
    _break_at: datetime = field(init=False)

    def run(self) -> None:
        """Go through the block until it ends or the learner leaves; every answer is kept at once."""
        self._say_all((CAUTION,))
        self.player.set_level(self.level_db)
        self._break_at = self.now() + BREAK_AFTER
        try:
            while not self.block.finished:
                self._rep()
        except Leave:
            pass
        finally:
            self.player.stop()
        self._say_all(summary_lines(self.block.marks, self.block.count))

    def _rep(self) -> None:
        rep = self._next()
        self.player.load({Version.PLAIN: rep.plain, Version.CHANGED: rep.changed})
        self.player.play()
        self.block.heard()
        self._say_all(question_lines(rep, self.block.number, self.block.count))
        self._say_where()
        outcome = self.block.answer(self._answer(rep.question))
        self._say_all(reveal_lines(outcome))
        self._suggest_break()
        self._listen_back(outcome)

    def _next(self) -> Rep:
        """Return the next rep; one that cannot be made is told of, and another is made if it is wanted."""
        while True:
            try:
                return self.block.rep
            except Refused as why:
                self._line(f"{why}.\n{AGAIN_KEYS}\n> ")

    def _answer(self, question: Question) -> Answer | None:
        """Return what the learner answers (None: gave up), however long they listen first."""
        while True:
            said = self._line(self._prompt(LISTENING_KEYS, elsewhere=ANSWERING_KEYS))
            if said == "g":
                return None
            if said in ("", "f"):
                self._flip()
            elif said == "r":
                self.player.restart()
            elif said == "a":
                return {field.key: self._field(field.key, question) for field in question.fields}
            elif not self._level(said):
                given = self._whole(said, question)
                if given is not None:
                    return given

    def _flip(self) -> None:
        other = Version.PLAIN if self.player.sounding is Version.CHANGED else Version.CHANGED
        self.player.flip(other)
        self.block.flipped()

    def _level(self, said: str) -> bool:
        """Turn the listening level up or down if that is what was said."""
        level_db = turned(self.level_db, said)
        if level_db is None:
            return False
        self.level_db = level_db
        self.player.set_level(self.level_db)
        self.say(f"Listening level: {self.level_db:g} dB")
        return True

    def _field(self, key: str, question: Question) -> str | float:
        """Return the answer to one field, asked until it fits."""
        wanted = next(field for field in question.fields if field.key == key)
        while True:
            said = self._line(f"{wanted.title} ({options_text(wanted)})\n> ")
            try:
                return read(wanted, said)
            except Refused as why:
                self.say(f"{why}.")

    def _whole(self, said: str, question: Question) -> Answer | None:
        """Return a whole answer typed in one line (``500, boost``), or None after saying why it is none."""
        words = [word for word in (said.split(",") if "," in said else said.split()) if word.strip()]
        if len(words) != len(question.fields):
            titles = ", ".join(field.title for field in question.fields)
            self.say(f"{said!r} is no key and no answer; an answer in one line is: {titles}")
            return None
        try:
            return {field.key: read(field, word) for field, word in zip(question.fields, words, strict=True)}
        except Refused as why:
            self.say(f"{why}.")
            return None

    def _listen_back(self, outcome: Outcome) -> None:
        """Let plain, changed and the learner's own answer be heard until they go on."""
        rep, given = outcome.rep, outcome.given
        versions = {"p": Version.PLAIN, "c": Version.CHANGED}
        if given is not None and not outcome.grade.right:
            versions["y"] = Version.YOURS
            yours = {Version.YOURS: rep.version_for(given)}
            self.player.load({Version.PLAIN: rep.plain, Version.CHANGED: rep.changed, **yours})
            self.player.play()
            self._say_where()
        while said := self._line(self._prompt(REVEAL_KEYS, elsewhere=GOING_ON_KEYS)):
            if said in versions:
                self.player.flip(versions[said])
            elif not self._level(said):
                self.say(f"{said!r} is none of: {REVEAL_KEYS}")

    def _prompt(self, keys: str, *, elsewhere: str) -> str:
        """Return the keys that work here and now; nothing of the sound where it is listened to elsewhere."""
        if self.player.where:
            return f"{elsewhere}\n> "
        return f"[sounding now: {self.player.sounding.value}] {keys}\n> "

    def _suggest_break(self) -> None:
        if self.now() >= self._break_at:
            self._break_at = self.now() + BREAK_AFTER
            self.say("You have been listening for twenty minutes: a good moment for a break.")

    def _say_where(self) -> None:
        """Say where the sound is, if it is in files, and what is wrong with it, if anything is."""
        for line in (self.player.where, self.player.problem):
            if line:
                self.say(line)

    def _line(self, prompt: str) -> str:
        return typed(self.ask, prompt)

    def _say_all(self, lines: Iterable[str]) -> None:
        for line in lines:
            self.say(line)
