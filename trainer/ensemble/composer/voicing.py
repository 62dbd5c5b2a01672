"""Voicing: from chord to chord by the shortest way, and close harmony under a tune."""

from collections.abc import Sequence
from functools import lru_cache
from itertools import permutations
from operator import sub

from trainer.ensemble.composer.events import Pulse, Tone
from trainer.ensemble.composer.pitches import PitchClasses, Range, folded, nearest, stepped
from trainer.ensemble.composer.plan import Plan, Span

Voicing = tuple[int, ...]
"""Pitches from the lowest up, no two alike."""


@lru_cache(maxsize=4096)
def led(previous: Voicing, tones: PitchClasses, within: Range) -> Voicing:
    """Return the chord with every voice as near as can be to where it was.

    Each voice takes a tone of its own, so ``tones`` has at least as many as there are voices. A voice moves
    by a tritone at the most, or an octave where the range ends.
    """
    nearby = [[nearest(voice, (tone,), within) for tone in tones] for voice in previous]
    ways = permutations(range(len(tones)), len(previous))
    voicings = ([row[tone] for row, tone in zip(nearby, way, strict=True)] for way in ways)
    best = min(voicings, key=lambda voicing: sum(map(abs, map(sub, voicing, previous))))
    return tuple(sorted(best))


def led_through(plan: Plan, *, voices: int, within: Range) -> list[tuple[Span, Voicing]]:
    """Return every chord of the loop in so many voices; between chords they lean back to the middle."""
    centre, spread = (within.low + within.high) / 2, (within.high - within.low) / (voices + 1)
    home = [centre + (voice - (voices - 1) / 2) * spread for voice in range(voices)]
    voicing = tuple(map(round, home))
    path: list[tuple[Span, Voicing]] = []
    for span in plan.spans:
        leaning = tuple(round(at + (rest - at) / 3) for at, rest in zip(voicing, home, strict=True))
        voicing = led(leaning, span.chord.tones, within)
        path.append((span, voicing))
    return path


def under(pitch: int, tones: PitchClasses, *, voices: int, lowest: int) -> Voicing:
    """Return a tune's note with the next chord tones below it, a minor third apart or more."""
    found = [pitch]
    while len(found) < voices:
        below = stepped(found[-1] - 2, -1, tones)
        found.append(below if below >= lowest else found[-1] + 12)
    return tuple(sorted(set(found)))


def sounded(pulses: list[Pulse], path: Sequence[tuple[Span, Voicing]]) -> list[tuple[Pulse, Voicing]]:
    """Return each pulse with the chord it sounds; no pulse outlasts its chord, and no chord goes unheard."""
    heard: list[tuple[Pulse, Voicing]] = []
    for span, voicing in path:
        end = span.start + span.ticks
        inside = [pulse for pulse in pulses if span.start <= pulse.tick < end] or [
            Pulse(span.start, span.ticks, ".")
        ]
        heard += [(Pulse(tick, min(ticks, end - tick), mark), voicing) for tick, ticks, mark in inside]
    return heard


OCTAVE = 12


def transposed(tones: list[Tone], octaves: tuple[int, ...], within: Range, *, beside: int) -> list[Tone]:
    """Return a tune moved by one of the octaves: one that fits the range, and near the note ``beside``."""

    def fitness(by: int) -> tuple[int, int]:
        outside = sum(not within.low <= tone.pitch + by <= within.high for tone in tones)
        return outside, abs(tones[0].pitch + by - beside)

    by = min(octaves, key=fitness)
    return [Tone(tick, ticks, folded(pitch + by, within), mark) for tick, ticks, pitch, mark in tones]


def singable(line: list[Tone]) -> list[Tone]:
    """Return a line without leaps over an octave, not even where its end meets its beginning.

    A note that leaps too far moves by octaves towards its neighbour, so it stays between two notes of the
    line and inside any range that held them.
    """
    sung = list(line)
    for place in range(1, len(sung)):
        sung[place] = _closer(sung[place - 1], sung[place])
    following = sung[0]
    for place in range(len(sung) - 1, 0, -1):
        closer = _closer(following, sung[place])
        if closer is sung[place]:
            break
        sung[place] = following = closer
    return sung


def _closer(neighbour: Tone, tone: Tone) -> Tone:
    leap = tone.pitch - neighbour.pitch
    if abs(leap) <= OCTAVE:
        return tone
    octaves = (abs(leap) - 1) // OCTAVE * OCTAVE
    return tone._replace(pitch=tone.pitch - octaves if leap > 0 else tone.pitch + octaves)
