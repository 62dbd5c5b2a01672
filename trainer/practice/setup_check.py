"""The check of a setup: quiet sounds that rise from silence in each octave band, and what hearing them tells.

For each octave band a pure tone and a band of noise rise to the level the band has in programme (IEC 60268-1),
never louder than music would be. Who hears both well below it can hear what changes there. Now and then
nothing sounds at all: who hears that as well was guessing, and the check tells nothing.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

import numpy as np
from numpy.random import Generator

from trainer.dsp.octave_bands import octave
from trainer.dsp.programme_noise import programme_noise
from trainer.practice.band_scale import OCTAVE_SCALE
from trainer.sound import RATE_HZ, Sound
from trainer.units import seconds_to_frames

RISE_S = 8.0
RISE_DB = 60.0
"""From how far below its end a sound rises, steadily in dB."""
FALL_S = 0.5
REST_S = 1.5
"""The silence before it begins again."""
MARGIN_DB = 10.0
"""How far below the band's level in programme it must be heard: then a change there can be, too."""
REACTION_S = 1.0
"""How late somebody may press (common practice, no source)."""
CATCHES = 3
"""How many of the sounds are silence."""
MOST_FALSE_ALARMS = 0

What = Literal["tone", "noise", "silence"]


@dataclass(frozen=True, slots=True)
class Trial:
    """One sound of the check; ``band_hz`` is 0 where it is silence."""

    what: What
    band_hz: float


@dataclass(frozen=True, slots=True)
class Verdict:
    """What the check tells.

    Attributes
    ----------
    usable_hz
        The bands that can be played and heard, low to high.
    false_alarms
        How often silence was heard as something.
    heard_below_db
        How far from the band's level in programme, dB (below 0), the softer of its two sounds was first heard, band by
        band from the lowest; 0 where neither was.
    """

    usable_hz: tuple[float, ...]
    false_alarms: int
    heard_below_db: tuple[float, ...]

    @property
    def is_trustworthy(self) -> bool:
        """Whether nothing was heard where nothing was."""
        return self.false_alarms <= MOST_FALSE_ALARMS


def trials(rng: Generator) -> tuple[Trial, ...]:
    """Return the sounds of a check, in an order that nothing can be told from."""
    sounds: list[Trial] = [
        Trial(what, band_hz) for band_hz in OCTAVE_SCALE.names_hz for what in ("tone", "noise")
    ]
    sounds += [Trial("silence", 0.0)] * CATCHES
    return tuple(sounds[place] for place in rng.permutation(len(sounds)))


def sound_of(trial: Trial, rng: Generator) -> Sound:
    """Return the sound of a trial as a loop: it rises, falls, rests, and begins again."""
    frames = seconds_to_frames(RISE_S + FALL_S + REST_S, RATE_HZ)
    if trial.what == "silence":
        return Sound.of(np.zeros((frames, 2)))
    carrier = _tone(trial.band_hz, frames) if trial.what == "tone" else _noise(trial.band_hz, frames, rng)
    full = 10.0 ** (level_in_programme_db(trial.band_hz) / 20.0) / np.sqrt(np.mean(np.square(carrier)))
    return Sound.of(carrier * full * _ramp(frames)[:, None])


def _tone(band_hz: float, frames: int) -> np.ndarray:
    phase = 2.0 * np.pi * octave(band_hz).centre_hz / RATE_HZ * np.arange(frames)
    return np.repeat(np.sin(phase)[:, None], 2, axis=1)


def _noise(band_hz: float, frames: int, rng: Generator) -> np.ndarray:
    """Return noise of one octave, as steep as the Fourier transform makes it."""
    band = octave(band_hz)
    spectrum = np.fft.rfft(rng.standard_normal(frames))
    frequencies_hz = np.fft.rfftfreq(frames, 1.0 / RATE_HZ)
    inside = (frequencies_hz >= band.low_hz) & (frequencies_hz < min(band.high_hz, 0.49 * RATE_HZ))
    return np.repeat(np.fft.irfft(spectrum * inside, frames)[:, None], 2, axis=1)


def _ramp(frames: int) -> np.ndarray:
    time_s = np.arange(frames) / RATE_HZ
    rising = 10.0 ** (np.minimum(below_end_db(time_s), 0.0) / 20.0) * np.clip(time_s / 0.5, 0.0, 1.0)
    falling = np.clip((RISE_S + FALL_S - time_s) / FALL_S, 0.0, 1.0)
    ramp: np.ndarray = rising * np.square(np.sin(0.5 * np.pi * falling))
    return ramp


def below_end_db(time_s: float | np.ndarray) -> np.ndarray:
    """Return how far a sound is from its end's level, dB (below 0), so long after it began to rise."""
    return np.minimum(RISE_DB * (np.asarray(time_s) / RISE_S - 1.0), 0.0)


_PROGRAMME_SEED = 0


@lru_cache
def level_in_programme_db(band_hz: float) -> float:
    """Return the level of an octave band in programme at -23 LUFS, each channel's RMS, dB re full scale."""
    sound = programme_noise(duration_s=2.0, rng=np.random.default_rng(_PROGRAMME_SEED))
    spectrum = np.abs(np.fft.rfft(sound.samples[:, 0].astype(np.float64))) ** 2
    frequencies_hz = np.fft.rfftfreq(sound.frames, 1.0 / sound.rate_hz)
    band = octave(band_hz)
    inside = (frequencies_hz >= band.low_hz) & (frequencies_hz < band.high_hz)
    return float(10.0 * math.log10(2.0 * np.sum(spectrum[inside]) / sound.frames**2))


@lru_cache
def level_among_octaves_db(band_hz: float) -> float:
    """Return the level of an octave band in programme beside that of all ten together, dB (below 0)."""
    levels_db = {name_hz: level_in_programme_db(name_hz) for name_hz in OCTAVE_SCALE.names_hz}
    whole_db = 10.0 * math.log10(sum(10.0 ** (level / 10.0) for level in levels_db.values()))
    return levels_db[band_hz] - whole_db


def verdict_of(heard: Sequence[tuple[Trial, float | None]]) -> Verdict:
    """Return what a check tells.

    Parameters
    ----------
    heard
        Each trial with the place in its loop where it was heard, in seconds; None where it was not.
    """
    by_band: Mapping[float, list[bool]] = {band_hz: [] for band_hz in OCTAVE_SCALE.names_hz}
    for trial, at_s in heard:
        if trial.what != "silence":
            by_band[trial.band_hz].append(at_s is not None and is_in_time(at_s))
    usable = tuple(band_hz for band_hz, well in by_band.items() if well and all(well))
    alarms = sum(trial.what == "silence" and at_s is not None for trial, at_s in heard)
    return Verdict(usable, alarms, tuple(_heard_below_db(band_hz, heard) for band_hz in by_band))


def _heard_below_db(band_hz: float, heard: Sequence[tuple[Trial, float | None]]) -> float:
    """Return how far below its level in programme a band was first heard; a press comes a moment after hearing."""
    here = [at_s for trial, at_s in heard if trial.band_hz == band_hz and trial.what != "silence"]
    levels_db = [
        float(below_end_db(at_s - REACTION_S)) for at_s in here if at_s is not None and at_s >= REACTION_S
    ]
    return min(levels_db, default=0.0)


def is_in_time(at_s: float) -> bool:
    """Return whether a sound that was heard there was far enough below its end.

    What is "heard" as soon as it begins was heard late, at the end of the time before.
    """
    return at_s >= REACTION_S and float(below_end_db(at_s)) <= -MARGIN_DB
