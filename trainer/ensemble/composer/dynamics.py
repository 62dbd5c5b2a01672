"""Dynamics: an arc over the loop, layers, metre, and the level each part keeps on average."""

from math import sqrt

import numpy as np

from trainer.ensemble.composer.dice import Dice, Table
from trainer.ensemble.composer.events import TICKS_PER_BEAT, Event
from trainer.ensemble.composer.plan import Plan
from trainer.ensemble.parts import PART_BY_KEY, SECTIONS

Arc = tuple[tuple[float, float], ...]

ARCS: Table[Arc] = (
    (3, ((0, 0.6), (0.6, 1.0), (1, 0.7))),  # swell
    (3, ((0, 0.5), (1, 1.0))),  # crescendo into the beginning
    (2, ((0, 1.0), (0.7, 0.6), (1, 0.8))),  # decrescendo and recovery
    (2, ((0, 0.6), (0.25, 0.6), (0.25, 0.8), (0.5, 0.8), (0.5, 1.0), (1, 0.85))),  # terraces
    (2, ((0, 0.9), (0.5, 1.0), (0.5, 0.45), (1, 0.9))),  # sudden pp halfway
    (2, ((0, 1.0), (0.07, 1.0), (0.08, 0.5), (1, 0.95))),  # a hit, then growing
)
"""(place in the loop, level)."""

BACKGROUND = (0.6, 0.9)
"""How far a section steps back behind the one in front."""

ON_THE_BEAT, ON_THE_BAR = 1.06, 1.08
"""What a beat adds to an offbeat, and a bar line to a beat."""

AVERAGE: dict[str, float] = {"battery": 0.58, "front-ensemble": 0.56, "brass": 0.62}
AVERAGE_ELSEWHERE = 0.6
"""The root mean square velocity of a part: the mix has fixed gains, so it hardly moves between loops."""

SOFTEST, LOUDEST = 0.12, 1.0

Shape = list[float]
"""A level for every tick of the loop."""


def draw_shapes(dice: Dice, plan: Plan) -> dict[str, Shape]:
    """Return the level of every section through the loop: the arc, its layer, and the metre."""
    places, levels = zip(*dice.weighted(ARCS), strict=True)
    arc = np.interp(np.arange(plan.ticks) / plan.ticks, places, levels)
    arc[::TICKS_PER_BEAT] *= ON_THE_BEAT
    arc[:: plan.bar_ticks] *= ON_THE_BAR
    layers = {section.key: np.ones(plan.ticks) for section in SECTIONS}
    for phrase in plan.phrases:
        front = dice.one_of(SECTIONS).key
        for key, layer in layers.items():
            layer[phrase.start : phrase.end] = 1.0 if key == front else dice.between(*BACKGROUND)
    return {key: (arc * layer).tolist() for key, layer in layers.items()}


def velocities(part: str, events: list[Event], shape: Shape) -> list[float]:
    """Return the velocity of each event: its stress in the shape of its section, about the part's average."""
    played = [event.stress * shape[event.tick] for event in events]
    average = AVERAGE.get(PART_BY_KEY[part].section, AVERAGE_ELSEWHERE)
    gain = average / sqrt(sum(level * level for level in played) / len(played))
    return [min(max(level * gain, SOFTEST), LOUDEST) for level in played]
