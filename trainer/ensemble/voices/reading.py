"""Reading a looped table with a warped clock: exact pitch, vibrato, scoops and trills without a resampler.

A clock is where in a table each moment reads, in frames of the table. It is worked out every ``STEP``
frames and drawn straight between: slower than any vibrato, far finer than an attack.
"""

import numpy as np
from numpy.typing import NDArray

from trainer.ensemble.voices.voice import Audio
from trainer.sound import RATE_HZ

Curve = NDArray[np.float64]
"""One number every ``STEP`` frames."""

Stereo = NDArray[np.complex64]
"""Two channels as one complex line, left real and right imaginary: numpy is several times quicker at it."""

STEP = 32
_TAPS = 8
_KAISER_BETA = 5.0
_PHASES = 2048
_STEPS = (np.arange(STEP) / STEP).astype(np.float32)


def moments(frames: int) -> Curve:
    """Return the moments of a curve that spans so many frames, in seconds."""
    return np.asarray(np.arange(-(-frames // STEP) + 1) * (STEP / RATE_HZ), np.float64)


def drawn(curve: Curve, frames: int) -> NDArray[np.float32]:
    """Return a curve drawn straight between its moments, one number a frame."""
    single = curve.astype(np.float32)
    line = single[:-1, None] + np.diff(single)[:, None] * _STEPS
    return line.reshape(-1)[:frames]


def drawn_exactly(curve: Curve, frames: int) -> Curve:
    """Return a curve drawn straight between its moments, in double precision: for places and phases."""
    line = curve[:-1, None] + np.diff(curve)[:, None] * (np.arange(STEP) / STEP)
    return line.reshape(-1)[:frames]


def as_audio(line: Stereo) -> Audio:
    """Return a complex line as the two channels it holds, (frames, 2)."""
    return line.view(np.float32).reshape(-1, 2)


def clock(cents: Curve, *, ratio: float, start: float) -> Curve:
    """Return the place in the table at each moment, when the pitch strays by ``cents`` from ``ratio``."""
    speed = ratio * np.exp2(cents / 1200.0) * STEP
    steps = (speed[:-1] + speed[1:]) / 2.0
    return start + np.concatenate([[0.0], np.cumsum(steps)])


def vibrato_cents(
    time_s: Curve, *, depth_cents: float, rate_hz: float, onset_s: float, phase_rad: float
) -> Curve:
    """Return a vibrato that comes in once a note has settled, in cents."""
    grown = np.clip((time_s - onset_s) / 0.3, 0.0, 1.0)
    return depth_cents * grown * np.sin(2.0 * np.pi * rate_hz * time_s + phase_rad)


def scoop_cents(time_s: Curve, *, depth_cents: float, time_constant_s: float) -> Curve:
    """Return a start from below: ``-depth_cents`` at first, gone after a few time constants."""
    return -depth_cents * np.exp(-time_s / time_constant_s)


def trill_cents(time_s: Curve, *, step_cents: float, rate_hz: float) -> Curve:
    """Return a trill between the note and its upper neighbour, the fingers taking about 8 ms."""
    swing = np.sin(2.0 * np.pi * rate_hz * time_s - np.pi / 2.0)
    return step_cents * (0.5 + 0.5 * np.tanh(swing * 3.0))


def read(table: Audio, layers: int, *, place: Curve, weights: Curve, frames: int) -> Stereo:
    """Return ``frames`` of a looped table of layers, each weighted in time, read along a clock.

    Parameters
    ----------
    table
        Layers one after the other, (layers x length, 2); the length is a power of two.
    place
        Where to read, a clock.
    weights
        How much of each layer, (layers, moments).

    Notes
    -----
    Eight neighbours, weighted by a sinc in a Kaiser window: true to 54 dB up to 8 kHz, images 70 dB down.
    """
    stacked = np.ascontiguousarray(table).view(np.complex64).reshape(layers, -1)
    first = int(place[0]) - _TAPS
    span = np.arange(first, int(place[-1]) + _TAPS)
    blended = _blend(stacked, span, place, weights)
    exact = drawn_exactly(place, frames) - first
    whole = exact.astype(np.int64)
    taps = _NEIGHBOURS.take(((exact - whole) * _PHASES).astype(np.int64), axis=1)
    whole -= _TAPS // 2 - 1
    out, neighbour = np.zeros(frames, np.complex64), np.empty(frames, np.complex64)
    for tap in taps:
        blended.take(whole, out=neighbour, mode="clip")
        neighbour *= tap
        out += neighbour
        whole += 1
    return out


def _blend(stacked: Stereo, span: NDArray[np.int64], place: Curve, weights: Curve) -> Stereo:
    """Return the layers mixed over the places of a span, each place weighted as when it is read."""
    around = span & (stacked.shape[1] - 1)
    moment = np.interp(span[::STEP], place, np.arange(len(place)))
    total = np.zeros(len(span), np.complex64)
    for layer, weight in zip(stacked, weights, strict=True):
        if weight.any():
            curve = np.interp(moment, np.arange(len(weight)), weight)
            total += layer.take(around) * drawn(np.append(curve, curve[-1]), len(span))
    return total


def _neighbours() -> NDArray[np.float32]:
    """Return the weights of the neighbours for each fraction of a frame, shape (taps, phases)."""
    fraction = np.arange(_PHASES) / _PHASES
    away = fraction - (np.arange(_TAPS) - (_TAPS // 2 - 1))[:, None]
    window = np.i0(_KAISER_BETA * np.sqrt(np.maximum(1.0 - (away / (_TAPS / 2.0)) ** 2, 0.0)))
    weights = np.sinc(away) * window
    return np.asarray(weights / weights.sum(axis=0), np.float32)


_NEIGHBOURS = _neighbours()
