"""The ear against a device that is played through: two buffers, one that plays and one that is filled.

SDL 2.28, src/audio/SDL_audio.c, ``SDL_RunAudio``: fill a buffer, queue it, wait until there is room for the
next. Here the device starts with one buffer of silence and plays without a gap.
"""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer.playback.ear import Ear

RATE_HZ = 48_000
CHUNK = 2_048
CHUNK_S = CHUNK / RATE_HZ
PICTURE_S = 1.0 / 60.0
OPENED_S = 7.0


def heard(ear: Ear, times_s: np.ndarray) -> np.ndarray:
    return np.array([ear.frame_at(float(at_s)) for at_s in times_s])


def listen(calls_s: np.ndarray, *, looks: int = 20) -> tuple[np.ndarray, np.ndarray]:
    """Return when was looked, and the frame said to be heard, between calls and after the last one."""
    ear, times_s, frames = Ear(rate_hz=RATE_HZ), [], []
    for number, called_s in enumerate(calls_s):
        ear.called(at_s=float(called_s), start=number * CHUNK, frames=CHUNK)
        until_s = calls_s[number + 1] if number + 1 < len(calls_s) else called_s + 3.0 * CHUNK_S
        times_s.append(np.linspace(called_s, until_s, looks))
        frames.append(heard(ear, times_s[-1]))
    return np.concatenate(times_s), np.concatenate(frames)


def evenly(calls: int, *, pace_s: float = CHUNK_S) -> np.ndarray:
    return OPENED_S + pace_s * np.arange(calls)


def test_nothing_is_heard_before_the_device_has_called() -> None:
    assert Ear(rate_hz=RATE_HZ).frame_at(OPENED_S) == 0.0


def test_a_frame_is_heard_one_buffer_after_its_call_and_its_place_in_the_buffer() -> None:
    times_s, frames = listen(evenly(40))
    played = (times_s - OPENED_S - CHUNK_S) * RATE_HZ
    assert frames == pytest.approx(np.clip(played, 0.0, 40 * CHUNK), abs=1e-3)


def test_calls_held_up_by_other_threads_do_not_move_what_is_heard_by_a_picture() -> None:
    """A call up to 12 ms late, the longest wait for Python's lock seen: the device plays on evenly."""
    lateness_s = np.random.default_rng(1).uniform(0.0, 0.012, 400)
    times_s, frames = listen(evenly(400) + lateness_s)
    played = (times_s - OPENED_S - CHUNK_S) * RATE_HZ
    within = times_s < OPENED_S + 399 * CHUNK_S
    assert np.abs(frames - np.clip(played, 0.0, None))[within].max() < PICTURE_S * RATE_HZ


@pytest.mark.parametrize("share", [0.995, 1.005])
def test_a_device_that_is_slow_or_fast_is_followed(share: float) -> None:
    """Half a per cent off (no crystal is; common practice, no source), 1000 calls on: within a picture."""
    times_s, frames = listen(evenly(1_000, pace_s=CHUNK_S / share))
    played = (times_s - OPENED_S - CHUNK_S / share) * RATE_HZ * share
    within = (times_s < OPENED_S + 999 * CHUNK_S / share) & (played > 0.0)
    assert np.abs(frames - played)[within].max() < PICTURE_S * RATE_HZ


def test_after_a_gap_the_pace_begins_anew() -> None:
    calls_s = np.concatenate([evenly(10), evenly(10) + 10 * CHUNK_S + 0.5])
    times_s, frames = listen(calls_s)
    played = (times_s - calls_s[10] - CHUNK_S) * RATE_HZ + 10 * CHUNK
    after = times_s > calls_s[10] + CHUNK_S
    assert frames[after] == pytest.approx(np.minimum(played[after], 20 * CHUNK), abs=1e-3)
    assert frames[~after].max() == 10 * CHUNK, "it stands at the end of what the device had"


@settings(derandomize=True, max_examples=60, deadline=None)
@given(gaps_s=st.lists(st.floats(0.0, 0.3), min_size=1, max_size=60))
def test_however_a_device_calls_it_never_goes_back_nor_past_what_was_asked_for(gaps_s: list[float]) -> None:
    """A law, bursts of calls at one moment included."""
    calls_s = OPENED_S + np.cumsum(gaps_s)
    times_s, frames = listen(calls_s, looks=7)
    asked_for = CHUNK * np.searchsorted(calls_s, times_s, side="right")
    assert (np.diff(frames) >= -1e-6).all()
    assert (frames <= asked_for + 1e-6).all()


def test_a_burst_of_calls_is_played_one_buffer_after_the_other() -> None:
    ear = Ear(rate_hz=RATE_HZ)
    for number in range(2):
        ear.called(at_s=OPENED_S, start=number * CHUNK, frames=CHUNK)
    assert ear.frame_at(OPENED_S + CHUNK_S) == 0.0
    assert ear.frame_at(OPENED_S + 1.5 * CHUNK_S) == pytest.approx(CHUNK / 2.0)
    assert ear.frame_at(OPENED_S + 3.0 * CHUNK_S) == 2 * CHUNK
