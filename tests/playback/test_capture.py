"""What the device received: sessions in processes of their own, written to disk by SDL's disk driver."""

import json
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest

from tests.playback.in_process import run
from tests.playback.music import LOOP_FRAMES, VERSIONS, expected, largest_steps, steps_of_loop
from trainer.playback.player import Version
from trainer.sound import Samples

CHUNK_FRAMES = 2_048
FADE_FRAMES = 720
GAIN = np.float32(0.1)
"""Nobody sets a level in the session: -20 dB."""


@dataclass(frozen=True)
class Capture:
    """What was heard, frame for frame as rendered, and what was asked when."""

    heard: Samples
    flips: list[tuple[int, Version]]
    playing_until: int
    late: int
    clipped: int


@pytest.fixture(scope="module")
def capture(tmp_path_factory: pytest.TempPathFactory) -> Capture:
    file = tmp_path_factory.mktemp("capture") / "heard.raw"
    environ = {"SDL_AUDIODRIVER": "disk", "SDL_DISKAUDIOFILE": str(file)}
    ended = run("flip_session", CHUNK_FRAMES, environ=environ)
    assert ended.returncode == 0, ended.stderr
    log = json.loads(ended.stdout)
    heard = np.fromfile(file, np.float32).reshape(-1, 2)
    assert len(heard) >= log["rendered"]
    # The device writes silence until the first call: the last frame rendered is the last one written.
    heard = heard[len(heard) - log["rendered"] :]
    flips = [(frame, Version(name)) for frame, name in log["flips"]]
    return Capture(heard, flips, log["playing_until"], log["late"], log["clipped"])


def start_of_loop(capture: Capture) -> int:
    """Return the frame at which the loop started: counted back from the place just before the first flip."""
    heard, frame = capture.heard, capture.flips[0][0] - 64
    plain = expected(Version.PLAIN, 0, LOOP_FRAMES + 64) * GAIN
    fits = [
        place
        for place in np.flatnonzero((plain[:LOOP_FRAMES] == heard[frame]).all(axis=1))
        if (plain[place : place + 64] == heard[frame : frame + 64]).all()
    ]
    assert len(fits) == 1, "the music tells its place"
    return (frame - int(fits[0])) % LOOP_FRAMES


def stretches(capture: Capture) -> list[tuple[int, int, Version]]:
    """Return from where, to where and which version is asked for, in frames rendered."""
    ends = [frame for frame, _ in capture.flips[1:]] + [capture.playing_until]
    return [(frame, end, version) for (frame, version), end in zip(capture.flips, ends, strict=True)]


def test_each_flip_is_over_within_two_buffers_and_the_fade_and_then_bit_identical(capture: Capture) -> None:
    start = start_of_loop(capture)
    assert len(capture.flips) == 16
    assert capture.playing_until - start > 3 * LOOP_FRAMES, "three seams and more"
    for frame, end, version in stretches(capture):
        there = frame + 2 * CHUNK_FRAMES + FADE_FRAMES
        wanted = expected(version, there - start, end - there) * GAIN
        assert end - there > 1_000
        assert (capture.heard[there:end] == wanted).all()


def test_no_flip_is_heard_before_it_was_asked_for(capture: Capture) -> None:
    start = start_of_loop(capture)
    before = Version.PLAIN
    for frame, _, version in stretches(capture):
        wanted = expected(before, frame - 64 - start, 64) * GAIN
        assert (capture.heard[frame - 64 : frame] == wanted).all()
        before = version


def test_nothing_in_the_whole_session_steps_further_than_the_music_itself(capture: Capture) -> None:
    """First and second differences, from the first frame to the last one after closing."""
    own = steps_of_loop(*VERSIONS.values()) * float(GAIN)
    assert (largest_steps(capture.heard) <= own * 1.001).all()


def test_it_begins_and_ends_in_silence(capture: Capture) -> None:
    assert np.abs(capture.heard[:10]).max() < 1e-6
    assert not capture.heard[-CHUNK_FRAMES:].any()
    assert np.abs(capture.heard[:12_000]).max() < 0.2 * np.abs(capture.heard[50_000:]).max(), (
        "a slow first start"
    )


def test_nothing_was_clipped(capture: Capture) -> None:
    assert capture.clipped == 0
    assert np.abs(capture.heard).max() < 0.1


def test_opening_and_closing_fifty_times_beside_a_busy_thread_does_not_hang(tmp_path: Path) -> None:
    environ = {
        "SDL_AUDIODRIVER": "disk",
        "SDL_DISKAUDIOFILE": str(tmp_path / "heard.raw"),
        "SDL_DISKAUDIODELAY": "0",
    }
    ended = run("open_and_close", 50, environ=environ)
    assert ended.returncode == 0, ended.stderr
    assert ended.stdout.split() == [str(number) for number in range(1, 51)]
