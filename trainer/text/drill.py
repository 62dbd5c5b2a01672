"""A drill in a terminal: lines in, lines out, the sound from whatever player there is."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from trainer.playback.player import Player, Version
from trainer.practice.alone import only_words, target_alone
from trainer.practice.block import Block, Outcome
from trainer.practice.deal import Rep
from trainer.refusal import Refused
from trainer.sound import Sound
from trainer.text.answering import Answering
from trainer.text.lines import QUITTING, Ask, Leave, Say
from trainer.text.reveal import question_lines, quiz_end_lines, reveal_lines, summary_lines

BREAK_AFTER = timedelta(minutes=20)
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
        """Let all there is to compare be heard, until the learner goes on."""
        answering, player = self.answering, self.answering.player
        more = _more_to_hear(outcome)
        for version, sound in more.items():
            player.add(version, sound)
        if more:
            answering.say_where()
        while True:
            heard_by = _heard_by(player)
            keys = _reveal_keys(heard_by, only_words(outcome.rep.change))
            said = answering.line(answering.prompt(keys, elsewhere=GOING_ON_KEYS))
            if not said:
                return
            if said in heard_by:
                player.flip(heard_by[said])
            elif not answering.turn(said):
                answering.say(f"{said!r} is none of: {keys}")

    def _suggest_break(self) -> None:
        if self.now() >= self._break_at:
            self._break_at = self.now() + BREAK_AFTER
            self.answering.say("You have been listening for twenty minutes: a good moment for a break.")

    def _say_all(self, lines: Iterable[str]) -> None:
        for line in lines:
            self.answering.say(line)


def _more_to_hear(outcome: Outcome) -> dict[Version, Sound]:
    """Return what can be heard after the answer only: the learner's own, and what was changed alone."""
    rep, given = outcome.rep, outcome.given
    more: dict[Version, Sound] = {}
    if given is not None and not outcome.grade.right:
        more[Version.YOURS] = rep.version_for(given)
    alone = target_alone(rep)
    if alone is not None:
        more[Version.ALONE_PLAIN], more[Version.ALONE_CHANGED] = alone
    return more


def _heard_by(player: Player) -> dict[str, Version]:
    """Return the version that each key lets sound, as things stand: alone, where that is what is heard."""
    sounding, there = player.sounding, player.asked.versions
    plain, changed = Version.PLAIN, Version.CHANGED
    keys = {
        "p": plain.alone if sounding.is_alone else plain,
        "c": changed.alone if sounding.is_alone else changed,
        "y": Version.YOURS,
        "w": sounding.together if sounding.is_alone else sounding.alone,
    }
    return {key: version for key, version in keys.items() if version in there}


def _reveal_keys(heard_by: Mapping[str, Version], only: str) -> str:
    """Return what the keys do at the reveal; ``w`` there and back again."""
    words = {"p": "p plain", "c": "c changed", "y": "y your answer", "w": f"w {only}"}
    if "w" in heard_by and not heard_by["w"].is_alone:
        words["w"] = "w the whole mix again"
    shown = [words[key] for key in heard_by]
    return " · ".join(("Enter next rep", *shown, "+ - listening level", "q quit"))
