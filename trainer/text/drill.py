"""A drill in a terminal: lines in, lines out, the sound from whatever player there is."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from trainer.playback.player import Version
from trainer.practice.block import Block, Outcome
from trainer.practice.deal import Rep
from trainer.refusal import Refused
from trainer.text.answering import Answering
from trainer.text.lines import QUITTING, Ask, Leave, Say
from trainer.text.reveal import question_lines, quiz_end_lines, reveal_lines, summary_lines

BREAK_AFTER = timedelta(minutes=20)
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
    """One block, answered line by line; of a quiz nothing is revealed."""

    block: Block
    answering: Answering
    now: Callable[[], datetime]
    _break_at: datetime = field(init=False)

    def run(self) -> None:
        """Go through the block until it ends or the learner leaves; every answer is kept at once."""
        player = self.answering.player
        self._say_all((CAUTION,))
        player.set_level(self.answering.level_db)
        self._break_at = self.now() + BREAK_AFTER
        try:
            while not self.block.finished:
                self._rep()
        except Leave:
            pass
        finally:
            player.stop()
        end_lines = quiz_end_lines if self.block.is_quiz else summary_lines
        self._say_all(end_lines(self.block.marks, self.block.count))

    def _rep(self) -> None:
        rep, answering = self._next(), self.answering
        answering.player.load({Version.PLAIN: rep.plain, Version.CHANGED: rep.changed})
        answering.player.play()
        self.block.heard()
        self._say_all(question_lines(rep, self.block.number, self.block.count))
        answering.say_where()
        outcome = self.block.answer(answering.answer(rep.question, flipped=self.block.flipped))
        if not self.block.is_quiz:
            self._say_all(reveal_lines(outcome))
        self._suggest_break()
        if not self.block.is_quiz:
            self._listen_back(outcome)

    def _next(self) -> Rep:
        """Return the next rep; one that cannot be made is told of, and another is made if it is wanted."""
        while True:
            try:
                return self.block.rep
            except Refused as why:
                self.answering.line(f"{why}.\n{AGAIN_KEYS}\n> ")

    def _listen_back(self, outcome: Outcome) -> None:
        """Let plain, changed and the learner's own answer be heard until they go on."""
        rep, given, answering = outcome.rep, outcome.given, self.answering
        versions = {"p": Version.PLAIN, "c": Version.CHANGED}
        if given is not None and not outcome.grade.right:
            versions["y"] = Version.YOURS
            yours = {Version.YOURS: rep.version_for(given)}
            answering.player.load({Version.PLAIN: rep.plain, Version.CHANGED: rep.changed, **yours})
            answering.player.play()
            answering.say_where()
        while said := answering.line(answering.prompt(REVEAL_KEYS, elsewhere=GOING_ON_KEYS)):
            if said in versions:
                answering.player.flip(versions[said])
            elif not answering.turn(said):
                answering.say(f"{said!r} is none of: {REVEAL_KEYS}")

    def _suggest_break(self) -> None:
        if self.now() >= self._break_at:
            self._break_at = self.now() + BREAK_AFTER
            self.answering.say("You have been listening for twenty minutes: a good moment for a break.")

    def _say_all(self, lines: Iterable[str]) -> None:
        for line in lines:
            self.answering.say(line)
