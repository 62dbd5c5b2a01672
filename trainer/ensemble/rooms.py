"""The rooms a mix is heard in: early reflections and a tail, made by formula, turning with the loop.

A loop goes round for ever, so its reverberation is the *circular* convolution with the room's impulse
response at exactly the loop's length: the tail of the end is already there at the start. A response longer
than the loop is folded into it.
"""

import zlib
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from trainer.ensemble.voices.voice import Audio
from trainer.sound import RATE_HZ
from trainer.units import db_to_ratio

TAIL_BANDS_HZ = (63.0, 125.0, 250.0, 500.0, 1000.0, 2000.0, 4000.0, 8000.0)
"""The octave bands the tail decays in, each at its own pace; the outer two reach to the ends."""

LN_1000 = 6.907755
"""The natural logarithm of 60 dB as an amplitude ratio: a decay is exp(-LN_1000 t / T60)."""

Spectrum = NDArray[np.complex64]


@dataclass(frozen=True, slots=True)
class Tap:
    """One early reflection: when it comes, how loud beside the tail's start, and from where (-1 to 1)."""

    time_s: float
    level_db: float
    pan: float


@dataclass(frozen=True, slots=True)
class Room:
    """A place to hear the ensemble in.

    ``t60_s`` holds the reverberation time of each of ``TAIL_BANDS_HZ``; none means the room adds nothing
    (a recording brings its own). ``tail_db`` is the tail's level beside a tap of 0 dB.
    """

    key: str
    title: str
    pre_delay_s: float = 0.0
    t60_s: tuple[float, ...] = ()
    tail_db: float = 0.0
    taps: tuple[Tap, ...] = ()

    @property
    def adds_sound(self) -> bool:
        """Whether anything comes back from the walls."""
        return bool(self.t60_s)


GYM = Room(
    "gym", "gym",
    pre_delay_s=0.016,
    t60_s=(2.1, 2.3, 2.4, 2.3, 2.2, 1.9, 1.5, 1.0),
    tail_db=0.0,
    taps=(
        Tap(0.009, -3.0, -0.4), Tap(0.014, -3.5, 0.5), Tap(0.021, -5.0, 0.8), Tap(0.027, -5.5, -0.8),
        Tap(0.036, -7.0, 0.1), Tap(0.045, -8.0, -0.6), Tap(0.058, -9.5, 0.7), Tap(0.071, -11.0, -0.2),
    ),
)  # fmt: skip

STADIUM = Room(
    "stadium", "stadium",
    pre_delay_s=0.045,
    t60_s=(1.7, 1.7, 1.6, 1.5, 1.5, 1.3, 1.0, 0.6),
    tail_db=-6.0,
    taps=(
        Tap(0.012, -6.0, 0.3), Tap(0.031, -9.0, -0.5), Tap(0.165, -9.0, -0.7), Tap(0.205, -11.0, 0.8),
        Tap(0.262, -13.0, 0.2), Tap(0.340, -16.0, -0.4),
    ),
)  # fmt: skip

DRY = Room(
    "dry", "dry studio",
    pre_delay_s=0.004,
    t60_s=(0.40, 0.38, 0.36, 0.35, 0.35, 0.33, 0.30, 0.25),
    tail_db=-4.0,
    taps=(Tap(0.005, -8.0, -0.5), Tap(0.008, -9.0, 0.6), Tap(0.013, -12.0, 0.1)),
)  # fmt: skip

AS_RECORDED = Room("as-recorded", "as recorded")
"""For stems that bring the room they were recorded in."""

ROOMS: dict[str, Room] = {room.key: room for room in (GYM, STADIUM, DRY, AS_RECORDED)}


def reverberate(send: Audio, room: Room) -> Audio:
    """Return what comes back from the room when a loop is sent into it: same length, wrapped around."""
    from scipy import fft

    if not room.adds_sound:
        return np.zeros_like(send)
    frames = len(send)
    spectrum = fft.rfft(np.ascontiguousarray(send.T), axis=1)
    spectrum *= response_spectrum(room, frames)
    wet = fft.irfft(spectrum, n=frames, axis=1, overwrite_x=True)
    return np.asarray(wet.T, np.float32)


@lru_cache(maxsize=2)
def response_spectrum(room: Room, frames: int) -> Spectrum:
    """Return the spectrum of the room's response folded into a loop of so many frames, shape (2, bins)."""
    from scipy import fft

    response = impulse_response(room)
    laps = -(-len(response) // frames)
    padded = np.zeros((laps * frames, 2), np.float32)
    padded[: len(response)] = response
    folded = padded.reshape(laps, frames, 2).sum(axis=0)
    return np.asarray(fft.rfft(np.ascontiguousarray(folded.T), axis=1), np.complex64)


@lru_cache(maxsize=6)
def impulse_response(room: Room) -> Audio:
    """Return the room's impulse response, (frames, 2), of unit energy a channel and free of DC."""
    rng = np.random.default_rng(zlib.crc32(room.key.encode()))
    response = _tail(room, rng) * db_to_ratio(room.tail_db)
    for tap in room.taps:
        _add_tap(response, tap)
    response -= response.mean(axis=0)
    response /= np.sqrt(np.square(response).sum(axis=0))
    return response.astype(np.float32)


def _tail(room: Room, rng: np.random.Generator) -> NDArray[np.float64]:
    """Return noise that decays in every octave band at the band's own pace, unit energy a channel."""
    from scipy import fft

    frames = fft.next_fast_len(round((room.pre_delay_s + max(room.t60_s)) * RATE_HZ), real=True)
    time_s = np.arange(frames)[:, None] / RATE_HZ - room.pre_delay_s
    noise = fft.rfft(rng.standard_normal((frames, 2)), axis=0)
    shares = _band_shares(fft.rfftfreq(frames, 1.0 / RATE_HZ))
    tail = np.zeros((frames, 2))
    for share, t60_s in zip(shares, room.t60_s, strict=True):
        band = fft.irfft(noise * share[:, None], n=frames, axis=0)
        tail += band * np.exp(-LN_1000 * np.maximum(time_s, 0.0) / t60_s)
    tail *= np.clip(time_s / 0.004, 0.0, 1.0)
    tail /= np.sqrt(np.square(tail).sum(axis=0))
    return tail


def _band_shares(frequency_hz: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return how much of each frequency belongs to each tail band: triangles over octaves, summing to 1."""
    octave = np.log2(np.maximum(frequency_hz, 1.0) / TAIL_BANDS_HZ[0])
    place = np.clip(octave, 0.0, len(TAIL_BANDS_HZ) - 1.0)
    share = np.maximum(1.0 - np.abs(place - np.arange(len(TAIL_BANDS_HZ))[:, None]), 0.0)
    return np.asarray(share)


def _add_tap(response: NDArray[np.float64], tap: Tap) -> None:
    """Add one reflection, a little dulled by the air and the wall (three samples wide)."""
    at = round(tap.time_s * RATE_HZ)
    angle = (tap.pan + 1.0) * np.pi / 4.0
    sides = np.array([np.cos(angle), np.sin(angle)]) * db_to_ratio(tap.level_db)
    response[at - 1 : at + 2] += np.array([0.25, 0.5, 0.25])[:, None] * sides
