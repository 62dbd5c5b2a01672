"""The drum line: how snares, tenors and bass drums play their book, stroke by stroke."""

from trainer.ensemble.composer.dice import Dice, Table
from trainer.ensemble.composer.events import Event, Pulse
from trainer.ensemble.composer.music import Music
from trainer.ensemble.composer.rudiments import adorned, draw_vocabulary

Marks = dict[str, tuple[float, str]]
"""The stress and the technique of each mark."""

SNARE_MARKS: Marks = {
    "!": (1.0, "plain"), ".": (0.36, "plain"), "F": (1.0, "flam"), "f": (0.5, "flam"),
    "z": (0.5, "buzz"), "R": (1.15, "rim-shot"), "x": (0.7, "cross-stick"),
}  # fmt: skip
TENOR_MARKS: Marks = {
    "!": (1.0, "plain"), ".": (0.42, "plain"), "F": (1.0, "flam"), "f": (0.55, "flam"),
    "R": (1.15, "rim-shot"),
}  # fmt: skip
BASS_MARKS: Marks = {
    "!": (1.0, "unison"), ".": (0.6, "plain"), "R": (1.1, "unison"), "x": (0.55, "rim-click"),
}  # fmt: skip

SWEEPS: Table[tuple[int, ...]] = (
    (3, (3, 2, 1, 0)), (2, (0, 1, 2, 3)), (2, (2, 3)), (2, (3, 3, 2, 2, 1, 1, 0, 0)), (2, (2, 1, 3, 0)),
    (1.5, (3, 1, 2, 0)), (1, (3, 4, 2, 4)), (2, (3,)), (1.5, (2,)), (1.5, (2, 2, 3, 3)),
)  # fmt: skip
"""Ways around the tenors, from drum 4 (0) to drum 1 (3) and the spock (4)."""

SPLITS: Table[tuple[int, ...]] = (
    (3, (4, 3, 2, 1, 0)), (3, (0, 1, 2, 3, 4)), (2, (4, 2, 3, 1, 2, 0)), (1.5, (0, 2, 4)),
    (1.5, (4, 0, 3, 1, 2)),
    (2, (4, 3, 4, 3, 2, 1, 2, 1)), (1.5, (3, 3, 2, 2, 1, 1)), (1, (0,)),
)  # fmt: skip
"""Ways down and up the bass line, from drum 5 (0) to drum 1 (4)."""


def snare_line(dice: Dice, music: Music) -> list[Event]:
    """Write the snares."""
    played = adorned(dice, music.book["snare-line"], draw_vocabulary(dice), music.plan)
    return [Event(tick, ticks, 0, *SNARE_MARKS[mark]) for tick, ticks, mark in played]


def tenor_line(dice: Dice, music: Music) -> list[Event]:
    """Write the tenors: a new way around the drums every beat or two; accents may jump to drum 1."""
    played = adorned(dice, music.book["tenor-line"], draw_vocabulary(dice, without="zx"), music.plan)
    return _around(dice, played, SWEEPS, TENOR_MARKS)


def bass_drum_line(dice: Dice, music: Music) -> list[Event]:
    """Write the bass drums: splits, one drum after another, and unisons on the accents."""
    played = adorned(dice, music.book["bass-drum-line"], draw_vocabulary(dice, without="Ffz!"), music.plan)
    unison_readiness = dice.between(0.3, 0.9)
    split = [
        p._replace(mark=".") if p.mark == "!" and not dice.chance(unison_readiness) else p for p in played
    ]
    return _around(dice, split, SPLITS, BASS_MARKS)


def _around(dice: Dice, pulses: list[Pulse], ways: Table[tuple[int, ...]], marks: Marks) -> list[Event]:
    events: list[Event] = []
    way, place, changes_at = dice.weighted(ways), 0, 0
    for tick, ticks, mark in pulses:
        if tick >= changes_at:
            way, place, changes_at = dice.weighted(ways), 0, tick - tick % 24 + 24 * dice.one_of((1, 1, 2))
        stress, technique = marks.get(mark, marks["!"])
        events.append(Event(tick, ticks, way[place % len(way)], stress, technique))
        place += 1
    return events
