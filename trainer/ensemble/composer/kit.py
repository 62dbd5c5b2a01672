"""The kit and the bass: grooves from a table, kick and bass guitar in step, fills round the toms."""

from typing import NamedTuple

from trainer.ensemble.composer.dice import Dice, Table
from trainer.ensemble.composer.events import Event, Pulse, one_at_a_time
from trainer.ensemble.composer.grammars import STICKS
from trainer.ensemble.composer.music import Music
from trainer.ensemble.composer.pitches import RANGES, nearest, stepped
from trainer.ensemble.composer.plan import Plan
from trainer.ensemble.composer.rhythm import divided, sounding
from trainer.ensemble.composer.voicing import sounded

KICK, FLOOR_TOM, RACK_TOM, SNARE, CLOSED_HAT, OPEN_HAT, RIDE, CRASH = range(8)


class Groove(NamedTuple):
    """A bar of the hands, evenly divided: ``X`` loud, ``x`` soft, ``o`` open, ``c`` cross-stick."""

    name: str
    cymbal: int
    cymbals: str
    snare: str


GROOVES: dict[int, Table[Groove]] = {
    4: (
        (3, Groove("straight eighths", CLOSED_HAT, "XxXxXxXx", ".X.X")),
        (2, Groove("sixteenths", CLOSED_HAT, "XxxxXxxxXxxxXxxx", ".X.X")),
        (2, Groove("offbeat open", CLOSED_HAT, "xoxoxoxo", ".X.X")),
        (2, Groove("half time", RIDE, "XxxxXxxx", "..X.")),
        (2, Groove("ghosted", CLOSED_HAT, "XxXxXxXo", "....X..x.x..X..x")),
        (2, Groove("shuffle", RIDE, "X.xX.xX.xX.x", ".X.X")),
        (1, Groove("three over", RIDE, "X..X..X.X..X..X.", "....X.......X...")),
        (1, Groove("cross-stick", CLOSED_HAT, "XxXxXxXx", "c.....c...c.c...")),
        (1, Groove("driving", RIDE, "XXXX", "..x.X..x..x.X.xx")),
    ),
    3: (
        (3, Groove("waltz eighths", CLOSED_HAT, "XxXxXx", "..X")),
        (2, Groove("six feel", RIDE, "XxxXxx", "...X..")),
        (1, Groove("cross-stick three", CLOSED_HAT, "Xxxxxx", ".cc")),
        (1, Groove("sixteenth three", CLOSED_HAT, "XxxxXxxxXxxx", "....X..x..x.")),
    ),
}
LOUDNESS = {"X": 0.9, "x": 0.5, "o": 0.85, "c": 0.8}
KICK_STRESS = {"!": 1.0, ".": 0.75, "R": 1.15}
FILL_STRESS = {"!": 1.0, ".": 0.6}
FILL_WAY = (SNARE, SNARE, RACK_TOM, RACK_TOM, FLOOR_TOM, FLOOR_TOM)


def drum_set(dice: Dice, music: Music) -> list[Event]:
    """Write the drum set: a groove for each kind of phrase, a fill where a phrase ends, crashes with hits."""
    plan = music.plan
    grooves = {phrase.label: dice.weighted(GROOVES[plan.beats_per_bar]) for phrase in plan.phrases}
    events = [Event(tick, 12, KICK, KICK_STRESS[mark]) for tick, _, mark in music.kick]
    for phrase in plan.phrases:
        filled = phrase.end - (24 if phrase.ticks == plan.bar_ticks else dice.one_of((24, 48)))
        for bar in range(phrase.start, phrase.end, plan.bar_ticks):
            events += [event for event in _bar(grooves[phrase.label], bar, plan) if event.tick < filled]
        events += _fill(dice, start=filled, end=phrase.end)
    return events + [Event(tick, 48, CRASH, 1.1) for tick in sorted({0, *plan.hits})]


def _bar(groove: Groove, start: int, plan: Plan) -> list[Event]:
    events: list[Event] = []
    for drum, row in ((groove.cymbal, groove.cymbals), (SNARE, groove.snare)):
        ticks = plan.bar_ticks // len(row)
        for place, letter in enumerate(row):
            if letter != ".":
                struck = OPEN_HAT if letter == "o" else drum
                technique = "cross-stick" if letter == "c" else "plain"
                events.append(Event(start + place * ticks, ticks, struck, LOUDNESS[letter], technique))
    return events


def _fill(dice: Dice, *, start: int, end: int) -> list[Event]:
    """Return a fill that goes down the drums as it nears the bar line."""
    pulses = sounding(divided(dice, STICKS, "beat" if end - start == 24 else "half", start))
    return [
        Event(tick, ticks, FILL_WAY[(tick - start) * len(FILL_WAY) // (end - start)], FILL_STRESS[mark])
        for tick, ticks, mark in pulses
    ]


WALKS: Table[tuple[str, ...]] = (
    (4, ("root",)), (2, ("root", "octave")), (2, ("root", "root", "fifth", "octave")), (2, ("root", "fifth")),
    (1, ("root", "third", "fifth", "third")),
)  # fmt: skip
"""What a bass line plays, note by note, until the chord changes."""


def bass_guitar(dice: Dice, music: Music) -> list[Event]:
    """Write the bass guitar: with the kick drum, a step into the next chord, muted notes between."""
    plan, reach = music.plan, RANGES["bass-guitar"]
    walk, mutes, busy = dice.weighted(WALKS), dice.between(0.0, 0.25), dice.chance(0.4)
    path = [(span, (span.chord.root,)) for span in plan.spans]
    pulses = music.kick if not busy else _with_eighths(music, plan)
    events: list[Event] = []
    chord_root, place = -1, 0
    for (tick, ticks, mark), (root_class,) in sounded(pulses, path):
        place = 0 if root_class != chord_root else place + 1
        chord_root = root_class
        chord, root = plan.chord_at(tick), nearest(36, (root_class,), reach)
        intervals = {"root": 0, "octave": 1, "third": 2, "fifth": 3}[walk[place % len(walk)]]
        pitch = (root, root + 12, nearest(root + 4, (chord.tones[1],)), nearest(root + 7, (chord.tones[2],)))[
            intervals
        ]
        following = plan.chord_at(tick + ticks)
        if following.root != root_class and mark == "." and ticks <= 24:
            pitch = stepped(nearest(36, (following.root,), reach), 1, following.scale)
        technique = "muted" if mark == "." and ticks <= 12 and dice.chance(mutes) else "plain"
        events.append(
            Event(
                tick, ticks, pitch if reach.low <= pitch <= reach.high else root, KICK_STRESS[mark], technique
            )
        )
    return one_at_a_time(events)


def _with_eighths(music: Music, plan: Plan) -> list[Pulse]:
    taken = {pulse.tick for pulse in music.kick}
    between = [Pulse(tick, 12, ".") for tick in range(0, plan.ticks, 12) if tick not in taken]
    return sorted([*music.kick, *between])
