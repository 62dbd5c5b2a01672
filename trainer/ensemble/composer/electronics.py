"""The electronics: pad, sub and narration."""

from trainer.ensemble.composer.dice import Dice, Table
from trainer.ensemble.composer.events import Event, one_at_a_time
from trainer.ensemble.composer.music import Music
from trainer.ensemble.composer.pitches import RANGES, nearest
from trainer.ensemble.composer.plan import Plan
from trainer.ensemble.composer.voicing import led_through

DEEP = 31
"""G1, 49 Hz: up to here the sub feeds the octave band of 31.5 Hz (edges 22.4 and 44.7 Hz, IEC 61260-1)."""


def synth_pad(dice: Dice, music: Music) -> list[Event]:
    """Write the pad: four-note chords held as long as they last; half of them swell from the one before."""
    path = led_through(music.plan, voices=4, within=RANGES["synth-pad"])
    return [
        Event(span.start, span.ticks, pitch, stress)
        for span, chord in path
        for stress in (dice.between(0.8, 1.0),)
        for pitch in chord
    ]


def sub(dice: Dice, music: Music) -> list[Event]:
    """Write the sub: the root of each bar as low as it goes, and a drop under the hits."""
    plan = music.plan
    drops = [0, *(hit for hit in plan.hits if hit and dice.chance(0.4))]
    pulsing, lowest = dice.chance(0.4), dice.chance(0.5)
    events: list[Event] = []
    for span in plan.spans:
        end, pitch = span.start + span.ticks, _deep(span.chord.tones, lowest=lowest)
        step = plan.bar_ticks // 2 if pulsing else plan.bar_ticks
        events += [
            Event(tick, min(step, end - tick), pitch, 0.85 if tick % plan.bar_ticks else 0.95, "plain")
            for tick in range(span.start, end, step)
            if tick not in drops
        ]
    events += [
        Event(tick, 36, _deep(plan.chord_at(tick).tones, lowest=lowest), 1.0, "drop") for tick in drops
    ]
    return one_at_a_time(sorted(events))


def _deep(tones: tuple[int, ...], *, lowest: bool) -> int:
    """Return the root, or where the ``lowest`` notes are wanted the fifth of a root that is not deep."""
    root, fifth = (nearest(24, (tone,), RANGES["sub"]) for tone in (tones[0], tones[2]))
    return fifth if lowest and root > DEEP >= fifth else root


FEET: Table[str] = ((4, "`-"), (4, "-`"), (2, "`--"), (2, "--`"), (1, "`"))
"""Feet of speech: ````` stressed, ``-`` unstressed."""

SYLLABLE_S = {"`": (0.17, 0.26), "-": (0.11, 0.17)}
PAUSE_S = (0.22, 0.5)
FEET_IN_A_PHRASE = (2, 4)
PITCH_START, PITCH_END = 49.5, 44.5
"""A spoken phrase declines (from memory): it begins high and ends low."""


def narration(dice: Dice, music: Music) -> list[Event]:
    """Write the narration: syllables without words, in phrases that fall, with breaths between."""
    plan = music.plan
    events: list[Event] = []
    at_s, loop_s = dice.between(0.0, 0.2), plan.ticks * 60.0 / plan.tempo_bpm / 24
    while at_s < loop_s - 0.8:
        at_s = _spoken(dice, plan, events, at_s=at_s, until_s=loop_s - 0.3) + dice.between(*PAUSE_S)
    return one_at_a_time(events)


def _spoken(dice: Dice, plan: Plan, events: list[Event], *, at_s: float, until_s: float) -> float:
    """Add a phrase to the events and return the time of its end."""
    feet = FEET_IN_A_PHRASE[0] + int(dice.throw() * (FEET_IN_A_PHRASE[1] - FEET_IN_A_PHRASE[0] + 1))
    syllables = "".join(dice.weighted(FEET) for _ in range(feet))
    spoken: list[Event] = []
    for place, syllable in enumerate(syllables):
        length_s = dice.between(*SYLLABLE_S[syllable])
        if at_s + length_s > until_s:
            break
        decline = PITCH_START + (PITCH_END - PITCH_START) * place / len(syllables)
        stressed = syllable == "`"
        pitch = round(decline + dice.between(-1.0, 1.0) + (1.5 if stressed else 0.0))
        technique, stress = ("stressed", 1.0) if stressed else ("plain", 0.7)
        low, high = RANGES["narration"]
        spoken.append(
            Event(plan.ticks_in(at_s), plan.ticks_in(length_s), min(max(pitch, low), high), stress, technique)
        )
        at_s += length_s
    if spoken:
        spoken[-1] = spoken[-1]._replace(technique="falling", pitch=RANGES["narration"].low)
    events += spoken
    return at_s
