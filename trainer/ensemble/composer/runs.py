"""Runs: quick notes up and down a scale, for whoever has the fingers or the mallets."""

from typing import NamedTuple

from trainer.ensemble.composer.dice import Dice, Table
from trainer.ensemble.composer.events import Tone
from trainer.ensemble.composer.pitches import Range, nearest, stepped
from trainer.ensemble.composer.plan import Plan


class Shape(NamedTuple):
    """How a run moves: the length of a note in ticks, and steps of the scale, over and over."""

    ticks: int
    steps: tuple[int, ...]


SHAPES: Table[tuple[int, ...]] = (
    (3, (1, 1, 1, 1)),
    (3, (-1, -1, -1, -1)),
    (2, (1, 1, 1, -2)),
    (2, (-1, -1, -1, 2)),
    (2, (1, 1, -1, -1)),
    (1, (2, -1, 2, -1)),
    (1, (0, -1, 1, 2)),
)
NOTE_TICKS: Table[int] = ((4, 6), (1, 8), (1, 4))


def draw_shape(dice: Dice) -> Shape:
    """Return a way to run."""
    return Shape(dice.weighted(NOTE_TICKS), dice.weighted(SHAPES))


def run(plan: Plan, shape: Shape, *, start: int, tick: int, ticks: int, within: Range) -> list[Tone]:
    """Return a run of ``ticks`` from the chord tone nearest to ``start``; the range's ends turn it."""
    chord = plan.chord_at(tick)
    pitch = nearest(start, chord.triad, within)
    tones: list[Tone] = []
    direction = 1
    for count, at in enumerate(range(tick, tick + ticks, shape.ticks)):
        tones.append(Tone(at, shape.ticks, pitch, "." if count else "!"))
        following = stepped(pitch, direction * shape.steps[count % len(shape.steps)], chord.scale)
        if not within.low <= following <= within.high:
            direction = -direction
            following = stepped(pitch, direction * shape.steps[count % len(shape.steps)], chord.scale)
        pitch = nearest(following, chord.scale, within)
    return tones
