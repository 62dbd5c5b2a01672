"""A quiz as sound: each item's number in pips, then plain and changed in turn, with room to write."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.random import Generator

from trainer.dsp.fades import fade_in, fade_out
from trainer.dsp.programme_noise import programme_noise
from trainer.practice.deal import Rep
from trainer.sound import RATE_HZ, Sound
from trainer.units import db_to_ratio, seconds_to_frames

TEN_S, ONE_S, BETWEEN_S = 0.45, 0.12, 0.16
TEN_HZ, ONE_HZ = 440.0, 880.0
PIP_DBFS = -26.0
PIP_FADE_S = 0.02
"""A long low pip is a ten, a short high one is a one; they are softer than the music."""
AFTER_PIPS_S, GAP_S = 1.0, 0.8
EDGE_S = 0.03
"""How long a loop that is cut out of its round rises before it, and falls after it."""
LEVEL_S, LEVEL_RISE_S = 12.0, 6.0
"""The noise that a room's level is set with, before the first item: how long, and how long it rises."""

PIPS_WORDS = "long low pips count tens, short high pips count ones"


@dataclass(frozen=True, slots=True, eq=False)
class ItemSound:
    """An item as sound, and where in it each version lies: name, first frame, frames."""

    sound: Sound
    cues: tuple[tuple[str, int, int], ...]


def item_sound(rep: Rep, number: int, *, rounds: int = 2) -> ItemSound:
    """Return an item as it is heard: its number, then plain and changed, so many rounds."""
    pieces: list[Sound] = [pips(number), _silence(AFTER_PIPS_S)]
    cues: list[tuple[str, int, int]] = []
    for _ in range(rounds):
        for name, version in (("plain", rep.plain), ("changed", rep.changed)):
            before, after = _edges(version)
            cues.append((name, sum(piece.frames for piece in [*pieces, before]), version.frames))
            pieces += [before, version, after, _silence(GAP_S)]
    return ItemSound(joined(pieces[:-1]), tuple(cues))


def _edges(loop: Sound) -> tuple[Sound, Sound]:
    """Return how a loop rises before its start and falls after its end.

    The loop itself stays whole: what was made alike in loudness and peak lies in the file as it was.
    """
    frames = seconds_to_frames(EDGE_S, loop.rate_hz)
    rise = Sound(loop.samples[-frames:].copy(), loop.rate_hz)
    fall = Sound(loop.samples[:frames].copy(), loop.rate_hz)
    return fade_in(rise, duration_s=EDGE_S), fade_out(fall, duration_s=EDGE_S)


def pips(number: int) -> Sound:
    """Return a number as pips: tens, then ones."""
    tens, ones = divmod(number, 10)
    tones = [_pip(TEN_HZ, TEN_S)] * tens + [_pip(ONE_HZ, ONE_S)] * ones
    spaced = [piece for tone in tones for piece in (tone, _silence(BETWEEN_S))]
    return joined(spaced[:-1])


def level_noise(rng: Generator) -> Sound:
    """Return the noise to set a room's level with: it rises from silence, and is as loud as the items are."""
    noise = programme_noise(duration_s=LEVEL_S, rng=rng)
    return fade_out(fade_in(noise, duration_s=LEVEL_RISE_S), duration_s=1.0)


def class_sounds(items: Iterator[ItemSound], *, pause_s: float, rng: Generator) -> Iterator[Sound]:
    """Yield what a class hears: noise to set the level, then the items, each with a pause to write in."""
    yield level_noise(rng)
    yield _silence(3.0)
    for item in items:
        yield item.sound
        yield _silence(pause_s)


def dithered(sound: Sound, *, bits: int, rng: Generator) -> Sound:
    """Return a sound with triangular dither of two steps of ``bits`` from edge to edge, to be rounded to them."""
    step = 2.0 ** (1 - bits)
    noise = rng.random(sound.samples.shape, np.float32) - rng.random(sound.samples.shape, np.float32)
    return Sound(sound.samples + np.float32(step) * noise, sound.rate_hz)


def joined(sounds: list[Sound]) -> Sound:
    """Return sounds one after the other."""
    return Sound(np.concatenate([sound.samples for sound in sounds]), sounds[0].rate_hz)


def _pip(frequency_hz: float, duration_s: float) -> Sound:
    times_s = np.arange(seconds_to_frames(duration_s, RATE_HZ)) / RATE_HZ
    wave = db_to_ratio(PIP_DBFS) * np.sqrt(2.0) * np.sin(2.0 * np.pi * frequency_hz * times_s)
    tone = Sound.of(np.repeat(wave[:, None], 2, axis=1))
    return fade_out(fade_in(tone, duration_s=PIP_FADE_S), duration_s=PIP_FADE_S)


def _silence(duration_s: float) -> Sound:
    return Sound.silence(seconds_to_frames(duration_s, RATE_HZ))
