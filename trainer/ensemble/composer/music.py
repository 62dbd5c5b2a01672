"""Music: the material every part of a loop is written from, so that twenty parts play one piece."""

from collections.abc import Callable
from dataclasses import dataclass

from trainer.ensemble.composer.battery import Book, draw_book
from trainer.ensemble.composer.dice import Dice, Table
from trainer.ensemble.composer.events import Event, Pulse, Tone
from trainer.ensemble.composer.grammars import STABS, SUSTAINS
from trainer.ensemble.composer.plan import Phrase, Plan, draw_plan
from trainer.ensemble.composer.rhythm import loop_rhythm, with_hits
from trainer.ensemble.composer.tune import draw_tune

SCORINGS: Table[dict[str, str]] = (
    (3, {"trumpets": "tune", "mellophones": "sustain", "baritones": "sustain", "woodwinds": "runs"}),
    (3, {"trumpets": "tune", "mellophones": "stabs", "baritones": "stabs", "woodwinds": "tune"}),
    (2, {"trumpets": "tune", "mellophones": "tune", "baritones": "sustain", "woodwinds": "trills"}),
    (2, {"trumpets": "stabs", "mellophones": "tune", "baritones": "sustain", "woodwinds": "runs"}),
    (1.5, {"trumpets": "stabs", "mellophones": "sustain", "baritones": "tune", "woodwinds": "trills"}),
    (1.5, {"trumpets": "sustain", "mellophones": "stabs", "baritones": "stabs", "woodwinds": "tune"}),
)
"""Who has the tune in a phrase, and what the others do."""


@dataclass(frozen=True, slots=True)
class Music:
    """What is agreed on between parts: the plan, the tune, chord rhythms, kick, battery, who has the tune."""

    plan: Plan
    tune: list[Tone]
    stabs: list[Pulse]
    sustains: list[Pulse]
    kick: list[Pulse]
    book: Book
    scoring: dict[str, dict[str, str]]

    def role(self, part: str, phrase: Phrase) -> str:
        """Return what a wind part does in a phrase."""
        return self.scoring[phrase.label][part]

    def line(self, name: str) -> list[Pulse]:
        """Return one of the shared rhythms: ``stabs``, ``sustains`` or ``kick``."""
        return {"stabs": self.stabs, "sustains": self.sustains, "kick": self.kick}[name]

    def tune_in(self, phrase: Phrase) -> list[Tone]:
        """Return the tones of the tune that start in a phrase."""
        return [tone for tone in self.tune if phrase.start <= tone.tick < phrase.end]


Writer = Callable[[Dice, Music], list[Event]]
"""Writes one part."""


def draw_music(dice: Dice) -> Music:
    """Return the material of a loop."""
    plan = draw_plan(dice)
    return Music(
        plan=plan,
        tune=draw_tune(dice, plan),
        stabs=with_hits(loop_rhythm(dice, STABS, plan), plan),
        sustains=loop_rhythm(dice, SUSTAINS, plan),
        kick=with_hits(loop_rhythm(dice, STABS, plan), plan),
        book=draw_book(dice, plan),
        scoring={phrase.label: dice.weighted(SCORINGS) for phrase in plan.phrases},
    )
