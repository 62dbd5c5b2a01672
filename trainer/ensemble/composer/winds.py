"""The winds: brass in chords and tune, tubas on the roots, woodwinds in runs, trills and doublings."""

from trainer.ensemble.composer.dice import Dice, Table
from trainer.ensemble.composer.events import Event, Pulse, Tone, within
from trainer.ensemble.composer.music import Music, Writer
from trainer.ensemble.composer.pitches import RANGES, Range, folded, nearest
from trainer.ensemble.composer.plan import Phrase
from trainer.ensemble.composer.runs import Shape, draw_shape, run
from trainer.ensemble.composer.voicing import closer, led_through, sounded, under

STRESS = {"!": 1.0, ".": 0.72, "R": 1.2}
STAB_TICKS = 10
CHORD_RANGES = {"mellophones": Range(60, 77), "baritones": Range(48, 66)}
"""Where the middle voices sit."""

LONG_NOTE_TICKS = 24
SCOOPED = 0.12
"""How often a long accented note is scooped into."""


def _technique(dice: Dice, pulse_mark: str, ticks: int, *, slurred: bool, scoops: bool = True) -> str:
    if pulse_mark == "R":
        return "accented"
    if slurred:
        return "slurred"
    if scoops and pulse_mark == "!" and ticks >= LONG_NOTE_TICKS and dice.chance(SCOOPED):
        return "scoop"
    return "accented" if pulse_mark == "!" and ticks < LONG_NOTE_TICKS else "plain"


def _chordal(music: Music, role: str, phrase: Phrase) -> list[Pulse]:
    """Return the rhythm of a part that does not have the tune, stabs short and sustains long."""
    if role == "stabs":
        stabs = within(music.stabs, phrase.start, phrase.end)
        return [pulse._replace(ticks=min(pulse.ticks, STAB_TICKS)) for pulse in stabs]
    return within(music.sustains, phrase.start, phrase.end)


def trumpets(dice: Dice, music: Music) -> list[Event]:
    """Write two or three trumpets: the tune in close harmony, or chords that keep near it."""
    voices = dice.one_of((2, 3, 3))
    events: list[Event] = []
    top, end = music.tune[0].pitch, 0
    for phrase in music.plan.phrases:
        for tick, ticks, wanted, mark in _top_line(music, phrase):
            pitch = closer(top, wanted, widest=9)
            slurred = tick == end and 0 < abs(pitch - top) <= 2 and mark == "."
            technique = _technique(dice, mark, ticks, slurred=slurred)
            chord = under(
                pitch, music.plan.chord_at(tick).triad, voices=voices, lowest=RANGES["trumpets"].low
            )
            events += [Event(tick, ticks, voice, STRESS[mark], technique) for voice in chord]
            top, end = pitch, tick + ticks
    return events


def _top_line(music: Music, phrase: Phrase) -> list[Tone]:
    """Return the first trumpet's notes of a phrase: the tune, or the chord tones nearest to it."""
    tune = music.tune_in(phrase)
    role = music.role("trumpets", phrase)
    if role == "tune" or not tune:
        return tune
    line: list[Tone] = []
    for tick, ticks, mark in _chordal(music, role, phrase):
        beside = max((tone for tone in tune if tone.tick <= tick), default=tune[0])
        line.append(Tone(tick, ticks, nearest(beside.pitch, music.plan.chord_at(tick).triad), mark))
    return line


def _middle(part: str) -> Writer:
    """Return the writer of mellophones or baritones: the tune in one voice, or chords in two."""

    def write(dice: Dice, music: Music) -> list[Event]:
        path = led_through(music.plan, voices=2, within=CHORD_RANGES[part])
        events: list[Event] = []
        for phrase in music.plan.phrases:
            role = music.role(part, phrase)
            if role == "tune":
                events += _doubled(dice, music, phrase, RANGES[part], by=-12)
                continue
            inside = [
                (span, chord)
                for span, chord in path
                if span.start < phrase.end and span.start + span.ticks > phrase.start
            ]
            for (tick, ticks, mark), chord in sounded(_chordal(music, role, phrase), inside):
                technique = _technique(dice, mark, ticks, slurred=False)
                events += [Event(tick, ticks, voice, STRESS[mark], technique) for voice in chord]
        return events

    return write


mellophones = _middle("mellophones")
baritones = _middle("baritones")


def _doubled(dice: Dice, music: Music, phrase: Phrase, within: Range, *, by: int) -> list[Event]:
    """Return the tune of a phrase in another octave, slurred where it moves by step."""
    events: list[Event] = []
    scoops = by < 0
    for tone in music.tune_in(phrase):
        pitch = folded(tone.pitch + by, within)
        last = events[-1] if events else None
        joined = last is not None and last.tick + last.ticks == tone.tick and 0 < abs(pitch - last.pitch) <= 2
        technique = _technique(
            dice, tone.mark, tone.ticks, slurred=joined and tone.mark == ".", scoops=scoops
        )
        events.append(Event(tone.tick, tone.ticks, pitch, STRESS[tone.mark], technique))
    return events


TUBA_LINES: Table[str] = ((3, "kick"), (3, "sustains"), (2, "stabs"))


def tubas(dice: Dice, music: Music) -> list[Event]:
    """Write the tubas: roots, now and then a fifth, with the kick drum or under the chords."""
    pulses: list[Pulse] = getattr(music, dice.weighted(TUBA_LINES))
    path = [(span, (span.chord.root, span.chord.tones[2])) for span in music.plan.spans]
    events: list[Event] = []
    pitch = 41
    for (tick, ticks, mark), (root, fifth) in sounded(pulses, path):
        tone = fifth if mark == "." and dice.chance(0.35) else root
        pitch = nearest(pitch, (tone,), RANGES["tubas"])
        technique = "accented" if mark in "!R" and ticks < LONG_NOTE_TICKS else "plain"
        events.append(Event(tick, ticks, pitch, STRESS[mark], technique))
    return events


def woodwinds(dice: Dice, music: Music) -> list[Event]:
    """Write the woodwinds: the tune an octave up, scale runs, or trills over the chords."""
    shape = draw_shape(dice)
    events: list[Event] = []
    for phrase in music.plan.phrases:
        role = music.role("woodwinds", phrase)
        if role == "tune":
            doubled = _doubled(dice, music, phrase, RANGES["woodwinds"], by=12)
            events += [
                e._replace(technique=e.technique if e.technique == "slurred" else "plain") for e in doubled
            ]
        elif role == "runs":
            events += _runs(dice, music, phrase, shape)
        else:
            events += _trills(dice, music, phrase)
    return events


def _runs(dice: Dice, music: Music, phrase: Phrase, shape: Shape) -> list[Event]:
    events: list[Event] = []
    for beat in range(phrase.start, phrase.end, 24):
        if beat % 48 == 0 or dice.chance(0.6):
            start = events[-1].pitch if events else 77
            tones = run(music.plan, shape, start=start, tick=beat, ticks=24, within=RANGES["woodwinds"])
            events += [
                Event(tick, ticks, pitch, STRESS[mark], "plain" if mark == "!" else "slurred")
                for tick, ticks, pitch, mark in tones
            ]
    return events


def _trills(dice: Dice, music: Music, phrase: Phrase) -> list[Event]:
    events: list[Event] = []
    pitch = dice.one_of((74, 79, 84))
    for tick, ticks, mark in within(music.sustains, phrase.start, phrase.end):
        pitch = nearest(pitch, music.plan.chord_at(tick).triad, Range(70, 93))
        events.append(
            Event(tick, ticks, pitch, STRESS[mark], "trill" if ticks >= LONG_NOTE_TICKS else "plain")
        )
    return events
