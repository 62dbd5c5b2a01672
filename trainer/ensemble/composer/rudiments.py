"""Rudiments: rewrite rules that turn plain accents and taps into a drum line's vocabulary.

To the marks of a rhythm (``!`` accent, ``.`` tap) they add ``F`` flam, ``f`` flam on a tap, ``z`` buzz,
``R`` the stroke of a hit (a rim shot, or all drums together), ``x`` wood: cross-stick or rim.
"""

from typing import NamedTuple

from trainer.ensemble.composer.dice import Dice, Table
from trainer.ensemble.composer.events import Pulse
from trainer.ensemble.composer.plan import Plan

FASTEST_S = 0.044
"""The shortest time between two strokes of a line (common practice, no source)."""


class Rudiment(NamedTuple):
    """A pulse marked ``on``, not shorter or longer than so many ticks, is played as ``spelled``, evenly.

    The names are those of the Percussive Arts Society's International Drum Rudiments, where it has one.
    """

    name: str
    on: str
    shortest: int
    longest: int
    spelled: str


RUDIMENTS: tuple[Rudiment, ...] = (
    Rudiment("flam", "!", 6, 48, "F"),
    Rudiment("diddle", ".", 6, 9, ".."),
    Rudiment("accented diddle", "!", 6, 9, "!."),
    Rudiment("flam tap", ".", 8, 12, "f"),
    Rudiment("buzz", ".", 12, 24, "z"),
    Rudiment("ruff", "!", 12, 12, "..!"),
    Rudiment("five-stroke roll", "!", 16, 18, "....!"),
    Rudiment("seven-stroke roll", "!", 24, 24, "......!-"),
    Rudiment("nine-stroke roll", "!", 36, 36, "........!---"),
    Rudiment("long roll", "!", 48, 48, "!..............."),
    Rudiment("wood", ".", 12, 24, "x"),
)

STICKINGS: Table[str] = (
    (3, "!..."),  # single paradiddles
    (2, "!.!..."),  # double paradiddles
    (2, "!....."),  # paradiddle-diddles
    (2, "F.."),  # flam accents
    (1.5, "f.f."),  # flam taps
    (2, "!..!..!."),  # three, three, two
    (1.5, "..!."),
    (1.5, ".!"),
    (1, "!!.."),
)
"""Accents laid over an even run of strokes."""

SHORTEST_RUN = 6

Vocabulary = list[tuple[Rudiment, float]]


def draw_vocabulary(dice: Dice, *, without: str = "") -> Vocabulary:
    """Return some of the rudiments, none that spell ``without``, and how readily each is played."""
    known = [rudiment for rudiment in RUDIMENTS if not set(without) & set(rudiment.spelled)]
    return [(rudiment, dice.between(0.15, 0.6)) for rudiment in known if dice.chance(0.55)]


def adorned(dice: Dice, pulses: list[Pulse], vocabulary: Vocabulary, plan: Plan) -> list[Pulse]:
    """Return the pulses with stickings over their runs and rudiments in place of plain strokes."""
    fastest = plan.ticks_in(FASTEST_S)
    played: list[Pulse] = []
    for pulse in _stuck(dice, pulses):
        played += _spelled(pulse, _chosen(dice, pulse, vocabulary, fastest))
    return played


def _chosen(dice: Dice, pulse: Pulse, vocabulary: Vocabulary, fastest: int) -> str:
    for rudiment, readiness in vocabulary:
        fits = pulse.mark == rudiment.on and rudiment.shortest <= pulse.ticks <= rudiment.longest
        if fits and pulse.ticks // len(rudiment.spelled) >= fastest and dice.chance(readiness):
            return rudiment.spelled
    return pulse.mark


def _spelled(pulse: Pulse, marks: str) -> list[Pulse]:
    """Return the marks, sharing the length of the pulse evenly; ``-`` is silent."""
    ticks = pulse.ticks // len(marks)
    return [Pulse(pulse.tick + place * ticks, ticks, mark) for place, mark in enumerate(marks) if mark != "-"]


def _stuck(dice: Dice, pulses: list[Pulse]) -> list[Pulse]:
    stuck: list[Pulse] = []
    for run in _runs(pulses):
        if len(run) >= SHORTEST_RUN and dice.chance(0.6):
            marks = dice.weighted(STICKINGS)
            run = [pulse._replace(mark=marks[place % len(marks)]) for place, pulse in enumerate(run)]
        stuck += run
    return stuck


def _runs(pulses: list[Pulse]) -> list[list[Pulse]]:
    """Return the pulses parted into stretches of equal strokes without a gap."""
    runs: list[list[Pulse]] = []
    for pulse in pulses:
        last = runs[-1][-1] if runs else None
        if last and last.ticks == pulse.ticks and last.tick + last.ticks == pulse.tick:
            runs[-1].append(pulse)
        else:
            runs.append([pulse])
    return runs
