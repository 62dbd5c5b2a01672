"""Notes to listen to and how: a plain shelf, pitch curves, harmonic levels, wobble."""

import zlib
from collections.abc import Callable, Hashable

import numpy as np
from numpy.typing import NDArray
from scipy import fft

from trainer.ensemble.loop import let_go
from trainer.ensemble.voices.voice import Audio, Stroke, Voice, as_audio, line_of
from trainer.sound import RATE_HZ
from trainer.units import midi_to_hz

Floats = NDArray[np.float64]


class PlainShelf(dict[Hashable, Audio]):
    """A shelf that keeps everything."""

    def keep(self, key: Hashable, make: Callable[[], Audio]) -> Audio:
        if key not in self:
            self[key] = make()
        return self[key]


SHELF = PlainShelf()
"""Shared between the tests: what is on it depends on its key only (and a test says so)."""


def played(
    voice: Voice,
    pitch: int,
    *,
    level: float = 0.7,
    length_s: float = 2.0,
    technique: str = "plain",
    variant: int = 0,
    shelf: PlainShelf = SHELF,
) -> Audio:
    """Return a note as the part would play it; one without an end is let go after its length."""
    stroke = Stroke(voice.part, pitch, level, length_s + voice.release_s, technique, variant)
    note = voice.make(stroke, np.random.default_rng(zlib.crc32(repr(stroke).encode())), shelf)
    if not voice.release_s:
        return note
    line = let_go(line_of(note), stop=len(note), fade=round(voice.release_s * RATE_HZ))
    return as_audio(line.astype(np.complex64))


def between(note: Audio, start_s: float, end_s: float) -> Audio:
    return note[round(start_s * RATE_HZ) : round(end_s * RATE_HZ)]


def power_db(note: Audio) -> float:
    return float(10.0 * np.log10(np.square(note.astype(np.float64)).mean() + 1e-30))


def pitch_curve_cents(note: Audio, pitch: float, *, reach_hz: float, hop_s: float = 0.005) -> Floats:
    """Return how far the fundamental strays from a pitch: the phase slope of the band around it."""
    target_hz = midi_to_hz(pitch)
    mono = note.astype(np.float64).sum(axis=1)
    spectrum = fft.fft(mono)
    frequency_hz = fft.fftfreq(len(mono), 1.0 / RATE_HZ)
    distance = np.abs(frequency_hz - target_hz) / reach_hz
    analytic = fft.ifft(
        spectrum * np.where(distance < 1.0, np.cos(0.5 * np.pi * np.minimum(distance, 1.0)) ** 2, 0.0)
    )
    hop = round(hop_s * RATE_HZ)
    phase = np.unwrap(np.angle(analytic))[::hop]
    return np.asarray(1200.0 * np.log2(np.maximum(np.diff(phase) / (2.0 * np.pi * hop_s), 1.0) / target_hz))


def harmonic_levels_db(note: Audio, pitch: int, *, count: int) -> Floats:
    """Return the power around each harmonic (within a fifth of the fundamental), dB."""
    f0_hz = midi_to_hz(pitch)
    window = np.hanning(len(note))[:, None]
    power = np.square(np.abs(fft.rfft(note * window, axis=0))).sum(axis=1)
    frequency_hz = fft.rfftfreq(len(note), 1.0 / RATE_HZ)
    near = [np.abs(frequency_hz - k * f0_hz) < 0.2 * f0_hz for k in range(1, count + 1)]
    return np.array([10.0 * np.log10(power[mask].sum() + 1e-30) for mask in near])


def wobble_db(note: Audio) -> float:
    """Return the standard deviation of the level over stretches of 100 ms, dB."""
    hop = RATE_HZ // 10
    stretches = note[: len(note) // hop * hop].reshape(-1, hop, 2).astype(np.float64)
    return float(np.std(10.0 * np.log10(np.square(stretches).mean(axis=(1, 2)))))


def dc_db(note: Audio) -> float:
    """Return the mean beside the rms, dB."""
    exact = note.astype(np.float64)
    return float(20.0 * np.log10(np.abs(exact.mean(axis=0)).max() / np.sqrt(np.square(exact).mean()) + 1e-15))


def power_above(note: Audio, corner_hz: float) -> Floats:
    """Return the instantaneous power of what lies above a corner."""
    spectrum = fft.rfft(note.astype(np.float64), axis=0)
    spectrum[fft.rfftfreq(len(note), 1.0 / RATE_HZ) < corner_hz] = 0.0
    return np.asarray(np.square(fft.irfft(spectrum, n=len(note), axis=0)).sum(axis=1))
