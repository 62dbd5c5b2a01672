"""Voicing: from chord to chord by the shortest way, and close harmony under a tune."""

from collections.abc import Sequence
from itertools import permutations

from trainer.ensemble.composer.events import Pulse
from trainer.ensemble.composer.pitches import PitchClasses, Range, nearest, stepped
from trainer.ensemble.composer.plan import Plan, Span

Voicing = tuple[int, ...]
"""Pitches from the lowest up, no two alike."""


def led(previous: Voicing, tones: PitchClasses, within: Range) -> Voicing:
    """Return the chord with every voice as near as can be to where it was.

    Each voice takes a tone of its own, so ``tones`` has at least as many as there are voices. A voice moves
    by a tritone at the most, or an octave where the range ends.
    """
    best: tuple[int, Voicing] | None = None
    for chosen in permutations(tones, len(previous)):
        pitches = tuple(nearest(old, (tone,), within) for old, tone in zip(previous, chosen, strict=True))
        way = sum(abs(new - old) for new, old in zip(pitches, previous, strict=True))
        if best is None or way < best[0]:
            best = way, pitches
    assert best is not None
    return tuple(sorted(best[1]))


def led_through(
    plan: Plan, *, voices: int, within: Range, colour: bool = False
) -> list[tuple[Span, Voicing]]:
    """Return every chord of the loop in so many voices, from the middle of a range on."""
    middle, reach = (within.low + within.high) // 2, within.high - within.low
    voicing = tuple(
        middle + round((index - (voices - 1) / 2) * reach / (voices + 1)) for index in range(voices)
    )
    path: list[tuple[Span, Voicing]] = []
    for span in plan.spans:
        tones = span.chord.tones if colour or voices > 3 else span.chord.triad
        voicing = led(voicing, tones, within)
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
        heard += [(pulse._replace(ticks=min(pulse.ticks, end - pulse.tick)), voicing) for pulse in inside]
    return heard


def closer(previous: int, pitch: int, *, widest: int = 12) -> int:
    """Return the pitch in the octave that is no further than ``widest`` from the note before."""
    while pitch - previous > widest:
        pitch -= 12
    while previous - pitch > widest:
        pitch += 12
    return pitch
