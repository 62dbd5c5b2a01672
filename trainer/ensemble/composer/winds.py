"""The winds: brass in tune and chords, tubas on the roots, woodwinds in runs, trills and doublings."""

from typing import NamedTuple

from trainer.ensemble.composer.dice import Dice, Table
from trainer.ensemble.composer.events import Event, Pulse, Tone, within
from trainer.ensemble.composer.music import Music, Writer
from trainer.ensemble.composer.pitches import RANGES, Range, nearest
from trainer.ensemble.composer.plan import Phrase
from trainer.ensemble.composer.runs import Shape, draw_shape, run
from trainer.ensemble.composer.voicing import singable, sounded, transposed, under

STRESS = {"!": 1.0, ".": 0.72, "R": 1.2}
STAB_TICKS = 10
LONG_NOTE_TICKS = 24
SCOOPED = 0.12
"""How often a long accented note is scooped into."""


class Seat(NamedTuple):
    """How a choir of brass sits: the octaves it may take the tune in, its middle, how many voices."""

    octaves: tuple[int, ...]
    middle: int
    voices: tuple[int, ...]


SEATS = {
    "trumpets": Seat(octaves=(0,), middle=74, voices=(2, 3)),
    "mellophones": Seat(octaves=(-12, 0), middle=69, voices=(2,)),
    "baritones": Seat(octaves=(-12, -24), middle=60, voices=(2,)),
}


def _brass(part: str) -> Writer:
    """Return the writer of a choir: a top line with or without the tune, and close harmony under it."""
    seat, reach = SEATS[part], RANGES[part]

    def write(dice: Dice, music: Music) -> list[Event]:
        voices = dice.one_of(seat.voices)
        line: list[Tone] = []
        for phrase in music.plan.phrases:
            top = line[-1].pitch if line else seat.middle
            tune = music.tune_in(phrase)
            if music.role(part, phrase) == "tune" and tune:
                line += transposed(tune, seat.octaves, reach, beside=top)
            else:
                line += _chord_tops(music, _chordal(music, part, phrase), top, seat.middle, reach)
        return _harmonised(music, _articulated(dice, singable(line)), voices=voices, lowest=reach.low)

    return write


trumpets = _brass("trumpets")
mellophones = _brass("mellophones")
baritones = _brass("baritones")


def _harmonised(music: Music, line: list[Event], *, voices: int, lowest: int) -> list[Event]:
    """Return a top line with chord tones below; where the line hangs over into a new chord, they let go."""
    events: list[Event] = []
    for tick, ticks, top, stress, technique in line:
        held = min(ticks, music.plan.chord_ticks_left(tick))
        chord = under(top, music.plan.chord_at(tick).triad, voices=voices, lowest=lowest)
        events += [Event(tick, ticks if p == top else held, p, stress, technique) for p in chord]
    return events


def _chordal(music: Music, part: str, phrase: Phrase) -> list[Pulse]:
    """Return the rhythm of a part that does not have the tune, stabs short and sustains long."""
    name, longest = (
        ("stabs", STAB_TICKS) if music.role(part, phrase) == "stabs" else ("sustains", phrase.ticks)
    )
    return [
        Pulse(tick, min(ticks, longest, music.plan.chord_ticks_left(tick)), mark)
        for tick, ticks, mark in within(music.line(name), phrase.start, phrase.end)
    ]


def _chord_tops(music: Music, pulses: list[Pulse], top: int, middle: int, reach: Range) -> list[Tone]:
    """Return the top notes of chords, each the chord tone nearest to the one before, drawn to the middle."""
    tops: list[Tone] = []
    for tick, ticks, mark in pulses:
        top = nearest(top + (middle - top) // 3, music.plan.chord_at(tick).triad, reach)
        tops.append(Tone(tick, ticks, top, mark))
    return tops


def _articulated(dice: Dice, line: list[Tone], *, scooped: float = SCOOPED) -> list[Event]:
    """Return a line with accents, scoops, and slurs where plain notes follow by step without a gap."""
    events: list[Event] = []
    for tick, ticks, pitch, mark in line:
        last = events[-1] if events else None
        joined = last is not None and last.tick + last.ticks == tick and 0 < abs(pitch - last.pitch) <= 2
        events.append(
            Event(
                tick,
                ticks,
                pitch,
                STRESS[mark],
                _technique(dice, mark, ticks, joined=joined, scooped=scooped),
            )
        )
    return events


def _technique(dice: Dice, mark: str, ticks: int, *, joined: bool, scooped: float) -> str:
    if mark == "R" or (mark == "!" and ticks < LONG_NOTE_TICKS):
        return "accented"
    if mark == "." and joined:
        return "slurred"
    return "scoop" if mark == "!" and dice.chance(scooped) else "plain"


TUBA_LINES: Table[str] = ((3, "kick"), (3, "sustains"), (2, "stabs"))
TUBA_MIDDLE = 41


def tubas(dice: Dice, music: Music) -> list[Event]:
    """Write the tubas: roots, now and then a fifth, with the kick drum or under the chords."""
    path = [(span, (span.chord.root, span.chord.tones[2])) for span in music.plan.spans]
    line: list[Tone] = []
    for (tick, ticks, mark), (root, fifth) in sounded(music.line(dice.weighted(TUBA_LINES)), path):
        tone = fifth if mark == "." and dice.chance(0.35) else root
        line.append(Tone(tick, ticks, nearest(TUBA_MIDDLE, (tone,), RANGES["tubas"]), mark))
    return _articulated(dice, line, scooped=0.0)


RUN_RANGE = Range(69, 93)
"""A4-A6, where the woodwinds run and trill."""


def woodwinds(dice: Dice, music: Music) -> list[Event]:
    """Write the woodwinds: the tune an octave up, scale runs, or trills over the chords."""
    shape = draw_shape(dice)
    line: list[Tone] = []
    trilled: set[int] = set()
    for phrase in music.plan.phrases:
        beside = line[-1].pitch if line else dice.one_of((77, 81, 84))
        role, tune = music.role("woodwinds", phrase), music.tune_in(phrase)
        if role == "tune" and tune:
            line += transposed(tune, (12, 0), RANGES["woodwinds"], beside=beside)
        elif role == "runs":
            line += _runs(dice, music, phrase, shape, beside)
        else:
            trills = _chord_tops(music, _chordal(music, "woodwinds", phrase), beside, 81, RUN_RANGE)
            trilled |= {tone.tick for tone in trills if tone.ticks >= LONG_NOTE_TICKS}
            line += trills
    return [_breathed(event, trilled) for event in _articulated(dice, singable(line))]


def _breathed(event: Event, trilled: set[int]) -> Event:
    """Return a brass-like event as a woodwind plays it: trilled, slurred or plain."""
    technique = "trill" if event.tick in trilled else "slurred" if event.technique == "slurred" else "plain"
    return Event(event.tick, event.ticks, event.pitch, event.stress, technique)


def _runs(dice: Dice, music: Music, phrase: Phrase, shape: Shape, beside: int) -> list[Tone]:
    tones: list[Tone] = []
    for beat in range(phrase.start, phrase.end, 24):
        if beat % 48 == 0 or dice.chance(0.6):
            start = tones[-1].pitch if tones else beside
            tones += run(music.plan, shape, start=start, tick=beat, ticks=24, within=RUN_RANGE)
    return tones
