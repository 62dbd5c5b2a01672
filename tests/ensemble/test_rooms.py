"""The rooms against the definition of reverberation time and against plain linear convolution."""

import numpy as np
import pytest
from scipy import signal

from trainer.dsp.octave_bands import octave
from trainer.ensemble.rooms import (
    AS_RECORDED,
    DRY,
    GYM,
    ROOMS,
    STADIUM,
    TAIL_BANDS_HZ,
    Room,
    impulse_response,
    response_spectrum,
    reverberate,
)
from trainer.sound import RATE_HZ

REVERBERANT = [room for room in ROOMS.values() if room.adds_sound]


def decay_s(response: np.ndarray, low_hz: float, high_hz: float) -> float:
    """Return the reverberation time by Schroeder's backward integration, from -5 to -25 dB (T20)."""
    band = signal.sosfiltfilt(
        signal.butter(4, (low_hz, high_hz), "bandpass", fs=RATE_HZ, output="sos"), response, axis=0
    )
    remaining = np.cumsum(np.square(band).sum(axis=1)[::-1])[::-1]
    level_db = 10.0 * np.log10(remaining / remaining[0] + 1e-12)
    start, end = np.argmax(level_db < -5.0), np.argmax(level_db < -25.0)
    slope = np.polyfit(np.arange(start, end) / RATE_HZ, level_db[start:end], 1)[0]
    return float(-60.0 / slope)


@pytest.mark.parametrize("nominal_hz", [125.0, 500.0, 1000.0, 2000.0, 4000.0])
@pytest.mark.parametrize("room", [GYM, STADIUM, DRY], ids=lambda room: room.key)
def test_each_octave_decays_in_its_own_time(room: Room, nominal_hz: float) -> None:
    """ISO 3382: T20 by backward integration, within 15 % of the room's table.

    The stadium is measured after its last slap, the others after their taps.
    """
    band = octave(nominal_hz)
    tail = impulse_response(room)[round((max(tap.time_s for tap in room.taps) + 0.005) * RATE_HZ) :]
    wanted_s = room.t60_s[TAIL_BANDS_HZ.index(nominal_hz)]
    assert decay_s(tail, band.low_hz, band.high_hz) == pytest.approx(wanted_s, rel=0.15)


def test_the_rooms_are_as_long_as_their_names_promise() -> None:
    """A gym rings for two seconds and more, a stadium less, a studio hardly (common practice, no source)."""
    assert GYM.t60_s[4] > 2.0 > STADIUM.t60_s[4] > 1.0 > 0.5 > DRY.t60_s[4]
    for room in REVERBERANT:
        assert room.t60_s[-1] < room.t60_s[3]


@pytest.mark.parametrize("room", REVERBERANT, ids=lambda room: room.key)
def test_a_response_is_of_unit_energy_and_free_of_dc(room: Room) -> None:
    """By construction: what is sent comes back as loud as it went, whatever the room."""
    response = impulse_response(room).astype(np.float64)
    assert np.square(response).sum(axis=0) == pytest.approx([1.0, 1.0], rel=1e-4)
    assert np.abs(response.sum(axis=0)).max() < 1e-3
    assert abs(np.corrcoef(response.T)[0, 1]) < 0.6


@pytest.mark.parametrize("room", [GYM, STADIUM], ids=lambda room: room.key)
@pytest.mark.parametrize("frames", [48_000, 144_000])
def test_a_loop_wraps_like_one_that_was_always_playing(room: Room, frames: int) -> None:
    """Against linear convolution of the loop played until the room is full (``scipy.signal.oaconvolve``).

    The shorter loop is shorter than the room's response, which is folded.
    """
    rng = np.random.default_rng(3)
    loop = rng.standard_normal((frames, 2)).astype(np.float32)
    response = impulse_response(room)
    laps = -(-len(response) // frames) + 1
    endless = signal.oaconvolve(
        np.tile(loop, (laps, 1)).astype(np.float64), response.astype(np.float64), axes=0
    )
    wanted = endless[(laps - 1) * frames : laps * frames]
    error = np.square(reverberate(loop, room) - wanted).mean() / np.square(wanted).mean()
    assert 10.0 * np.log10(error) < -110.0


def test_a_recording_brings_its_own_room() -> None:
    """Nothing is added to what was recorded somewhere already."""
    assert not AS_RECORDED.adds_sound
    assert not reverberate(np.ones((1000, 2), np.float32), AS_RECORDED).any()


def test_a_rooms_spectrum_is_worked_out_once_a_length() -> None:
    """The cache holds the same array for the same room and length."""
    assert response_spectrum(DRY, 48_000) is response_spectrum(DRY, 48_000)
    assert response_spectrum(DRY, 48_000).shape == (2, 24_001)
