"""The tune: motifs that walk a scale, land on chord tones, and come back with their phrase."""

from trainer.ensemble.composer.dice import Dice, Table
from trainer.ensemble.composer.events import TICKS_PER_BEAT, Pulse, Tone
from trainer.ensemble.composer.grammars import TUNE
from trainer.ensemble.composer.pitches import Range, nearest, stepped
from trainer.ensemble.composer.plan import Plan
from trainer.ensemble.composer.rhythm import loop_rhythm

STEPS: Table[int] = ((4, 1), (4, -1), (1.5, 2), (1.5, -2), (1.2, 0), (0.7, 3), (0.6, -3), (0.5, 4), (0.3, -4))
"""How a tune goes on, in steps of the scale."""

WIDEST_LEAP = 9
"""In semitones; a wider step is taken the other way."""

RISE: Table[tuple[int, ...]] = (
    (3, (0, 3, 5, 2)),
    (2, (4, 2, 0, 1)),
    (2, (0, 1, 3, 5)),
    (2, (0, 4, 1, 4)),
    (1, (2, 2, 2, 2)),
)
"""Where a phrase lies, quarter by quarter, in scale steps over its lowest point."""

HOME = Range(65, 83)
"""F4-B5, where the tune lives before it is moved to an instrument."""


def draw_tune(dice: Dice, plan: Plan) -> list[Tone]:
    """Return the tune of a loop; equal phrases share rhythm and steps, and each fits its own chords."""
    rhythm = loop_rhythm(dice, TUNE, plan)
    floor = dice.one_of((65, 67, 69))
    motifs: dict[str, list[int]] = {}
    rises: dict[str, tuple[int, ...]] = {}
    tune: list[Tone] = []
    pitch = floor + 5
    for phrase in plan.phrases:
        pulses = [pulse for pulse in rhythm if phrase.start <= pulse.tick < phrase.end]
        motif = motifs.setdefault(phrase.label, [])
        motif += [dice.weighted(STEPS) for _ in range(len(pulses) - len(motif))]
        rise = rises.setdefault(phrase.label, dice.weighted(RISE))
        for pulse, step in zip(pulses, motif, strict=False):
            quarter = (pulse.tick - phrase.start) * 4 // phrase.ticks
            aim = floor + 2 * rise[quarter]
            pitch = _next(pitch, step, pulse, plan, aim=aim)
            tune.append(Tone(pulse.tick, pulse.ticks, pitch, pulse.mark))
    return _led_back(tune, plan)


def _next(pitch: int, step: int, pulse: Pulse, plan: Plan, *, aim: int) -> int:
    """Return the pitch after ``pitch``: a step of the scale towards ``aim``, a chord tone if strong."""
    chord = plan.chord_at(pulse.tick)
    if abs(pitch - aim) > 4 and (step > 0) == (pitch > aim):
        step = -step
    wanted = stepped(nearest(pitch, chord.scale), step, chord.scale)
    if abs(wanted - pitch) > WIDEST_LEAP:
        wanted = stepped(pitch, -1 if step < 0 else 1, chord.scale)
    low, high = max(pitch - WIDEST_LEAP, HOME.low), min(pitch + WIDEST_LEAP, HOME.high)
    strong = pulse.tick % TICKS_PER_BEAT == 0 or pulse.ticks >= TICKS_PER_BEAT
    return nearest(min(max(wanted, low), high), chord.triad if strong else chord.scale, HOME)


def _led_back(tune: list[Tone], plan: Plan) -> list[Tone]:
    """Let the last note lie next to the first, from the side it came from, so that the loop goes round."""
    if len(tune) < 3:
        return tune
    first, before, last = tune[0].pitch, tune[-2].pitch, tune[-1]
    scale = plan.chord_at(last.tick).scale
    side = 1 if before > first else -1
    leading = nearest(first + 2 * side, scale, HOME)
    if abs(leading - before) > WIDEST_LEAP:
        leading = nearest((first + before) // 2, scale, HOME)
    return [*tune[:-1], last._replace(pitch=leading)]
