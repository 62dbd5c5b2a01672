"""The mallets: marimba ostinati, vibraphone chords, xylophone runs, glockenspiel glints."""

from collections.abc import Callable

from trainer.ensemble.composer.dice import Dice, Table
from trainer.ensemble.composer.events import Event, within
from trainer.ensemble.composer.music import Music
from trainer.ensemble.composer.pitches import RANGES, Range, folded, nearest, stepped
from trainer.ensemble.composer.plan import Phrase
from trainer.ensemble.composer.runs import draw_shape, run
from trainer.ensemble.composer.voicing import led_through, sounded

STRESS = {"!": 1.0, ".": 0.66, "R": 1.15}

Texture = Callable[[Dice, Music, Phrase], list[Event]]

FIGURES: Table[tuple[int, ...]] = (
    (3, (0, 2, 4, 2)), (2, (0, 3, 1, 4)), (2, (4, 2, 3, 1)), (2, (0, 1, 2, 3, 4, 3, 2, 1)),
    (1.5, (0, 4, 2, 4, 1, 4)),
    (1.5, (0, 2, 3)), (1.5, (0, 3, 2, 5, 3)), (1, (0, 0, 3, 3)),
)  # fmt: skip
"""Ostinati as rungs of the chord over its lowest note."""

FIGURE_ACCENTS: Table[str] = ((3, "!..."), (2, "!.."), (2, "!..!..!."), (1, "!.!..."), (1, "!....."))
FIGURE_TICKS: Table[int] = ((5, 6), (1.5, 8), (1, 12))


def _arpeggio(dice: Dice, music: Music, phrase: Phrase) -> list[Event]:
    """Play a broken-chord ostinato, with a root far below it on every bar."""
    figure, accents, step = dice.weighted(FIGURES), dice.weighted(FIGURE_ACCENTS), dice.weighted(FIGURE_TICKS)
    foot = dice.one_of((48, 55, 62, 69, 76))
    events: list[Event] = []
    for place, tick in enumerate(range(phrase.start, phrase.end, step)):
        chord = music.plan.chord_at(tick)
        lowest = nearest(foot, chord.triad)
        pitch = stepped(lowest, figure[place % len(figure)], chord.tones)
        events.append(Event(tick, step, pitch, STRESS[accents[place % len(accents)]]))
        if tick % music.plan.bar_ticks == 0:
            events.append(Event(tick, 24, nearest(40, (chord.root,), RANGES["marimba"]), STRESS["!"]))
    return events


def _dotted(dice: Dice, music: Music, phrase: Phrase) -> list[Event]:
    """Play two-note chords three sixteenths apart across the beat, set right at every bar."""
    figure, foot = dice.weighted(FIGURES), dice.one_of((48, 55, 62))
    events: list[Event] = []
    for bar in range(phrase.start, phrase.end, music.plan.bar_ticks):
        for place, tick in enumerate(range(bar, bar + music.plan.bar_ticks, 18)):
            chord = music.plan.chord_at(tick)
            low = stepped(nearest(foot, chord.triad), figure[place % len(figure)], chord.tones)
            high = stepped(low, 3, chord.tones)
            stress = STRESS["." if place % 2 else "!"]
            events += [Event(tick, 9, low, stress), Event(tick, 9, high, stress)]
            events.append(Event(tick + 12, 6, stepped(low, 1, chord.tones), STRESS["."] * 0.8))
    return [event for event in events if event.tick < phrase.end]


def _rolls(dice: Dice, music: Music, phrase: Phrase) -> list[Event]:
    """Roll four-note chords, one mallet after another, hand after hand."""
    path = led_through(music.plan, voices=4, within=dice.one_of((Range(43, 67), Range(50, 76))))
    step = music.plan.roll_ticks
    events: list[Event] = []
    for span, (bass, tenor, alto, soprano) in path:
        start, end = max(span.start, phrase.start), min(span.start + span.ticks, phrase.end)
        for place, tick in enumerate(range(start, end, step)):
            swell = 0.5 + 0.5 * (tick - start) / (end - start)
            pitch = (bass, alto, tenor, soprano)[place % 4]
            events.append(Event(tick, step, pitch, 1.0 if place == 0 else swell))
    return events


def _blocks(dice: Dice, music: Music, phrase: Phrase) -> list[Event]:
    """Play four-note chords with the brass's stabs, and the root of the bar below."""
    path = led_through(music.plan, voices=4, within=dice.one_of((Range(48, 70), Range(55, 79))))
    events = [
        Event(tick, ticks, pitch, STRESS[mark])
        for (tick, ticks, mark), chord in sounded(music.stabs, path)
        if phrase.start <= tick < phrase.end
        for pitch in chord
    ]
    return events + [
        Event(bar, 24, nearest(40, (music.plan.chord_at(bar).root,), RANGES["marimba"]), STRESS["!"])
        for bar in music.plan.bar_lines
        if phrase.start <= bar < phrase.end
    ]


MARIMBA: Table[Texture] = ((5, _arpeggio), (2, _dotted), (1.5, _rolls), (2, _blocks))


def marimba(dice: Dice, music: Music) -> list[Event]:
    """Write the marimbas: one texture for each kind of phrase."""
    return _by_phrase(dice, music, MARIMBA)


def _by_phrase(dice: Dice, music: Music, textures: Table[Texture]) -> list[Event]:
    chosen = {phrase.label: dice.weighted(textures) for phrase in music.plan.phrases}
    return [event for phrase in music.plan.phrases for event in chosen[phrase.label](dice, music, phrase)]


def _comping(dice: Dice, music: Music, phrase: Phrase) -> list[Event]:
    """Play four-note voicings; short ones are damped."""
    path = led_through(music.plan, voices=4, within=Range(58, 82))
    pulses = dice.one_of((music.stabs, music.sustains, music.sustains))
    return [
        Event(tick, ticks, pitch, STRESS[mark], "damped" if ticks <= 12 and mark == "R" else "plain")
        for (tick, ticks, mark), chord in sounded(pulses, path)
        if phrase.start <= tick < phrase.end
        for pitch in chord
    ]


def _doubling(part: str, *, by: int, thirds: bool = False, shortest: int = 0) -> Texture:
    """Return a texture that plays the tune in another octave, with or without chord tones below."""

    def texture(dice: Dice, music: Music, phrase: Phrase) -> list[Event]:  # noqa: ARG001
        events: list[Event] = []
        for tick, ticks, pitch, mark in music.tune_in(phrase):
            if ticks < shortest and tick % 24:
                continue
            sounding = folded(pitch + by, RANGES[part])
            events.append(Event(tick, ticks, sounding, STRESS[mark]))
            below = stepped(sounding - 2, -1, music.plan.chord_at(tick).triad)
            if thirds and below >= RANGES[part].low:
                events.append(Event(tick, ticks, below, STRESS[mark] * 0.85))
        return events

    return texture


def vibraphone(dice: Dice, music: Music) -> list[Event]:
    """Write the vibraphones: chords, or the tune in thirds."""
    return _by_phrase(dice, music, ((3, _comping), (1, _doubling("vibraphone", by=0, thirds=True))))


def _scales(dice: Dice, music: Music, phrase: Phrase) -> list[Event]:
    """Run for a beat or two out of each half bar."""
    shape, events = draw_shape(dice), []
    pitch = dice.one_of((79, 84, 88))
    for beat in range(phrase.start, phrase.end, 24):
        if beat % 48 == 0 or dice.chance(0.5):
            tones = run(music.plan, shape, start=pitch, tick=beat, ticks=24, within=Range(72, 100))
            events += [Event(tick, ticks, at, STRESS[mark]) for tick, ticks, at, mark in tones]
            pitch = tones[-1].pitch
    return events


def _with_the_snares(dice: Dice, music: Music, phrase: Phrase) -> list[Event]:
    """Give the accents of the snares a pitch."""
    pitch = dice.one_of((77, 82, 89))
    figure = dice.weighted(FIGURES)
    events: list[Event] = []
    for place, (tick, ticks, mark) in enumerate(within(music.book["snare-line"], phrase.start, phrase.end)):
        chord = music.plan.chord_at(tick)
        at = stepped(nearest(pitch, chord.triad), figure[place % len(figure)], chord.tones)
        if mark in "!R" or tick % 12 == 0:
            events.append(Event(tick, ticks, at, STRESS[mark]))
    return events


def xylophone(dice: Dice, music: Music) -> list[Event]:
    """Write the xylophone: scale runs, the snares' accents, or the tune an octave or two up."""
    octaves = dice.one_of((12, 24))
    doubling = _doubling("xylophone", by=octaves)
    return _by_phrase(dice, music, ((2, doubling), (3, _scales), (2, _with_the_snares)))


def _glints(dice: Dice, music: Music, phrase: Phrase) -> list[Event]:
    """Play chord tones high up, a few to the bar."""
    step, figure = dice.one_of((12, 24, 18)), dice.weighted(FIGURES)
    events: list[Event] = []
    for bar in range(phrase.start, phrase.end, music.plan.bar_ticks):
        for place, tick in enumerate(range(bar, bar + music.plan.bar_ticks, step)):
            chord = music.plan.chord_at(tick)
            pitch = stepped(nearest(84, chord.triad), figure[place % len(figure)], chord.triad)
            events.append(Event(tick, step, pitch, STRESS["." if place % 3 else "!"]))
    return events


def glockenspiel(dice: Dice, music: Music) -> list[Event]:
    """Write the glockenspiel: the longer notes of the tune two octaves up, or glints over the chords."""
    doubling = _doubling("glockenspiel", by=24, shortest=12)
    return _by_phrase(dice, music, ((3, doubling), (2, _glints)))
