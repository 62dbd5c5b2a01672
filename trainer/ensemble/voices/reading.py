"""Reading a looped table with a warped clock: exact pitch, vibrato, scoops and trills without a resampler.

A clock is where in a table each moment reads, in frames of the table. It is worked out every ``STEP``
frames and drawn straight between: slower than any vibrato, far finer than an attack.
"""

import numpy as np
from numpy.typing import NDArray

from trainer.ensemble.voices.voice import CHUNK
from trainer.sound import RATE_HZ

Curve = NDArray[np.float64]
"""One number every ``STEP`` frames."""

Stereo = NDArray[np.complex64]
"""Two channels as one complex line, left real and right imaginary: numpy is several times quicker at it."""

Planes = NDArray[np.float32]
"""Left and right apart, (..., 2, frames)."""

STEP = 32
_TAPS = 4
_BETWEEN_EXACTLY = np.stack([1.0 - np.arange(STEP) / STEP, np.arange(STEP) / STEP])
_BETWEEN = _BETWEEN_EXACTLY.astype(np.float32)
"""How much of the moment before and of the moment after each frame between two is."""

_LAGRANGE = np.array([[0, -2, 3, -1], [6, -3, -6, 3], [0, 6, 3, -3], [0, -1, 0, 1]], np.float32) / np.float32(
    6.0
)
"""The weights of four neighbours, by powers of how far beyond the second a place is."""


def moments(frames: int) -> Curve:
    """Return the moments of a curve that spans so many frames, in seconds."""
    return np.asarray(np.arange(-(-frames // STEP) + 1) * (STEP / RATE_HZ), np.float64)


def drawn(curve: Curve, frames: int) -> NDArray[np.float32]:
    """Return a curve drawn straight between its moments, one number a frame."""
    ends = np.empty((len(curve) - 1, 2), np.float32)
    ends[:, 0], ends[:, 1] = curve[:-1], curve[1:]
    return (ends @ _BETWEEN).reshape(-1)[:frames]


def drawn_exactly(curve: Curve, frames: int) -> Curve:
    """Return a curve drawn straight between its moments, in double precision: for places and phases."""
    ends = np.stack([curve[:-1], curve[1:]], axis=1)
    return (ends @ _BETWEEN_EXACTLY).reshape(-1)[:frames]


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


def read(table: Planes, *, place: Curve, weights: Curve, frames: int) -> Stereo:
    """Return ``frames`` of a looped table of layers, each weighted in time, read along a clock.

    Parameters
    ----------
    table
        (layers, 2, length); the length is a power of two.
    place
        Where to read, a clock.
    weights
        How much of each layer, (layers, moments).

    Notes
    -----
    Tables are made at twice the rate, so that four neighbours and the cubic through them (Lagrange's) are
    enough: true to 54 dB up to 8 kHz, images 70 dB down.
    """
    note = np.empty(frames, np.complex64)
    for first in range(0, frames, CHUNK):
        moments_of_piece = slice(first // STEP, (first + CHUNK) // STEP + 1)
        piece = note[first : first + CHUNK]
        left, right = _read_piece(table, place[moments_of_piece], weights[:, moments_of_piece], len(piece))
        piece.real, piece.imag = left, right
    return note


def _read_piece(table: Planes, place: Curve, weights: Curve, frames: int) -> Planes:
    first = int(place[0]) - _TAPS
    span = np.arange(first, int(place[-1]) + _TAPS)
    blended = _blend(table, span, place, weights)
    exact = drawn_exactly(place - first, frames)
    whole = exact.astype(np.intp)
    taps = _LAGRANGE @ _powers((exact - whole).astype(np.float32))
    whole -= 1
    out, neighbour = np.zeros((2, frames), np.float32), np.empty((2, frames), np.float32)
    for tap in taps:
        for plane, near in zip(blended, neighbour, strict=True):
            plane.take(whole, out=near, mode="clip")
        neighbour *= tap
        out += neighbour
        whole += 1
    return out


def _powers(fraction: NDArray[np.float32]) -> NDArray[np.float32]:
    powers = np.ones((4, len(fraction)), np.float32)
    powers[1] = fraction
    np.multiply(fraction, fraction, out=powers[2])
    np.multiply(powers[2], fraction, out=powers[3])
    return powers


def _blend(table: Planes, span: NDArray[np.intp], place: Curve, weights: Curve) -> Planes:
    """Return the layers mixed over the places of a span, each place weighted as when it is read."""
    start, length = int(span[0]) & (table.shape[2] - 1), table.shape[2]
    moment = np.interp(span[::STEP], place, np.arange(len(place)))
    total = np.zeros((2, len(span)), np.float32)
    for layer, weight in zip(table, weights, strict=True):
        if weight.any():
            curve = np.interp(moment, np.arange(len(weight)), weight)
            shape = drawn(np.append(curve, curve[-1]), len(span))
            for at in range(0, len(span), length):
                _add_around(total[:, at : at + length], layer, start, shape[at : at + length])
    return total


def _add_around(total: Planes, layer: Planes, start: int, shape: NDArray[np.float32]) -> None:
    """Add a loop, from a place in it on and around, times a shape no longer than it."""
    first = min(layer.shape[1] - start, len(shape))
    total[:, :first] += layer[:, start : start + first] * shape[:first]
    total[:, first:] += layer[:, : len(shape) - first] * shape[first:]
