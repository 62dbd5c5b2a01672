"""The concert percussion: timpani, bass drum and cymbals."""

from trainer.ensemble.composer.dice import Dice, Table
from trainer.ensemble.composer.events import Event, within
from trainer.ensemble.composer.music import Music
from trainer.ensemble.composer.pitches import RANGES, nearest
from trainer.ensemble.composer.plan import Plan
from trainer.ensemble.composer.voicing import sounded

STRESS = {"!": 1.0, ".": 0.66, "R": 1.2}

SUSPENDED, CRASH, SPLASH = range(3)


def swelling(plan: Plan, *, start: int, end: int, soft: float, loud: float) -> list[tuple[int, float]]:
    """Return the strokes of a roll from ``start`` to ``end`` as (tick, stress), growing all the way."""
    ticks = range(max(start, 0), end, plan.roll_ticks)
    return [(tick, soft + (loud - soft) * place / len(ticks)) for place, tick in enumerate(ticks)]


TIMPANI_LINES: Table[str] = ((3, "kick"), (3, "stabs"), (2, "sustains"))


def timpani(dice: Dice, music: Music) -> list[Event]:
    """Write the timpani: roots and fifths with the kick or the chords, rolls into the ends of phrases."""
    plan, reach = music.plan, RANGES["timpani"]
    middle = dice.one_of((42, 45, 48, 52))
    ends = [phrase.end for phrase in plan.phrases if phrase.end == plan.ticks or dice.chance(0.6)]
    rolls = [(end - dice.one_of((24, 48, plan.bar_ticks)), end) for end in ends]
    path = [(span, (span.chord.root, span.chord.tones[2])) for span in plan.spans]
    events: list[Event] = []
    for (tick, ticks, mark), (root, fifth) in sounded(music.line(dice.weighted(TIMPANI_LINES)), path):
        if not any(start <= tick < end for start, end in rolls):
            tone = fifth if mark == "." and dice.chance(0.5) else root
            pitch = nearest(middle + 5 if mark == "!" else middle, (tone,), reach)
            technique = "damped" if mark == "R" and ticks <= 12 else "plain"
            events.append(Event(tick, ticks, pitch, STRESS[mark], technique))
    for start, end in rolls:
        for tick, stress in swelling(plan, start=start, end=end, soft=0.35, loud=1.0):
            root = plan.chord_at(tick).root
            events.append(Event(tick, plan.roll_ticks, nearest(middle, (root,), reach), stress))
    return events


def concert_bass_drum(dice: Dice, music: Music) -> list[Event]:
    """Write the concert bass drum: bar lines, hits, some of the kick's accents, a roll at the end."""
    plan = music.plan
    readiness = dice.between(0.2, 0.5)
    struck = {bar: 0.85 for bar in plan.bar_lines}
    struck |= {
        p.tick: 0.6 for p in music.kick if p.mark == "!" and p.tick not in struck and dice.chance(readiness)
    }
    struck |= dict.fromkeys(plan.hits, 1.2)
    damped = plan.hits[1:] if dice.chance(0.5) else ()
    events = [
        Event(tick, 24, 0, stress, "damped" if tick in damped else "plain") for tick, stress in struck.items()
    ]
    if dice.chance(0.4):
        swell = swelling(plan, start=plan.ticks - plan.bar_ticks // 2, end=plan.ticks, soft=0.2, loud=0.7)
        events += [Event(tick, plan.roll_ticks, 0, stress) for tick, stress in swell if tick not in struck]
    return events


def cymbals(dice: Dice, music: Music) -> list[Event]:
    """Write the cymbals: crashes where phrases begin and at hits, rolls that lead to them, splashes."""
    plan = music.plan
    begins = {phrase.start for phrase in plan.phrases}
    choked = dice.chance(0.3)
    events = [
        Event(tick, 48, CRASH, 1.3, "choked" if choked and tick not in begins else "plain")
        for tick in sorted(begins | set(plan.hits))
    ]
    for phrase in plan.phrases:
        ticks = dice.one_of((24, 48, plan.bar_ticks))
        swell = swelling(plan, start=phrase.end - ticks, end=phrase.end, soft=0.3, loud=1.0)
        events += [Event(tick, plan.roll_ticks, SUSPENDED, stress) for tick, stress in swell]
        accents = [
            p.tick for p in within(music.stabs, phrase.start + 24, phrase.end - ticks) if p.mark == "!"
        ]
        events += [Event(tick, 12, SPLASH, 0.8) for tick in accents if dice.chance(0.35)]
    return events
