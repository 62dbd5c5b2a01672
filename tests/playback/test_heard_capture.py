"""What the device player says is heard, against what SDL's disk driver received, frame by frame.

The device is taken to play as SDL's audio thread works (``SDL_RunAudio``, SDL 2.28): what it asks for in a call
it plays when the buffer before is over, so frame ``f`` of a call at ``t`` is heard at ``t`` + a buffer + ``f``.
"""

import json
from dataclasses import dataclass

import numpy as np
import pytest

from tests.playback.in_process import run
from tests.playback.music import LOOP_FRAMES, VERSIONS, expected
from trainer.playback.player import Version
from trainer.sound import RATE_HZ, Samples

CHUNK_FRAMES = 2_048
CHUNK_S = CHUNK_FRAMES / RATE_HZ
GAIN = np.float32(0.1)
"""Nobody sets a level in the session: -20 dB."""
PICTURE_S = 1.0 / 60.0
FADE_FRAMES = 720
FIRST_START_FRAMES = 48_000
FLIPS = 16


@dataclass(frozen=True)
class Watched:
    """What the device received, when it asked, and what was said to be heard from when to when at a look."""

    received: Samples
    calls_s: list[float]
    looks: list[tuple[float, float, Version, float]]

    def plays_at_s(self, frame: int) -> float:
        """Return when a frame is played."""
        call, place = divmod(frame, CHUNK_FRAMES)
        return self.calls_s[call] + CHUNK_S + place / RATE_HZ


@pytest.fixture(scope="module")
def watched(tmp_path_factory: pytest.TempPathFactory) -> Watched:
    file = tmp_path_factory.mktemp("watched") / "heard.raw"
    environ = {"SDL_AUDIODRIVER": "disk", "SDL_DISKAUDIOFILE": str(file)}
    ended = run("heard_session", CHUNK_FRAMES, "even", environ=environ)
    assert ended.returncode == 0, ended.stderr
    log = json.loads(ended.stdout)
    received = np.fromfile(file, np.float32).reshape(-1, 2)
    looks = [(before_s, after_s, Version(name), at_s) for before_s, after_s, name, at_s in log["looks"]]
    return Watched(received[len(received) - log["rendered"] :], log["calls_s"], looks)


def changes(watched: Watched) -> list[tuple[int, Version]]:
    """Return where in what the device received each version begins, told by the music alone."""
    start = int(watched.received.any(axis=1).argmax())
    frames = np.arange(len(watched.received))
    music = {version: expected(version, -start, len(frames)) * GAIN for version in VERSIONS}
    found: list[tuple[int, Version]] = []
    now, frame = Version.PLAIN, start + FIRST_START_FRAMES
    while True:
        left = (watched.received[frame:] != music[now][frame:]).any(axis=1)
        if not left.any():
            return found
        frame += int(left.argmax())
        settled = frame + FADE_FRAMES
        fitting = [
            key
            for key in music
            if (watched.received[settled : settled + 500] == music[key][settled : settled + 500]).all()
        ]
        if not fitting:  # the fade to silence at the end
            return found
        now = fitting[0]
        found.append((frame, now))
        frame = settled


def test_the_version_heard_changes_within_a_picture_of_when_the_device_plays_it(watched: Watched) -> None:
    """Each look knows the times before and after it, so no scheduling has to be allowed for."""
    told = changes(watched)
    assert len(told) == FLIPS
    times_s = [watched.plays_at_s(frame) for frame, _ in told]
    checked = 0
    for before_s, after_s, said, _ in watched.looks:
        possible = {
            version
            for version, from_s, to_s in zip(
                [Version.PLAIN, *(version for _, version in told)],
                [-np.inf, *times_s],
                [*times_s, np.inf],
                strict=True,
            )
            if from_s - PICTURE_S <= after_s and before_s <= to_s + PICTURE_S
        }
        assert said in possible
        checked += len(possible) == 1
    assert checked > 10 * FLIPS, "most looks lie where only one version can be right"


def test_the_playhead_is_within_a_picture_of_what_the_device_plays(watched: Watched) -> None:
    start = int(watched.received.any(axis=1).argmax())
    starts_s = watched.plays_at_s(start)
    loop_s = LOOP_FRAMES / RATE_HZ
    for before_s, after_s, _, place_s in watched.looks:
        if before_s > starts_s:
            behind_s = (after_s - starts_s - place_s) % loop_s
            ahead_s = (place_s - (before_s - starts_s)) % loop_s
            assert min(behind_s, ahead_s) < PICTURE_S


def test_the_playhead_never_jumps_back_but_at_the_seam(watched: Watched) -> None:
    places_s = np.array([place_s for *_, place_s in watched.looks])
    back = np.diff(places_s) < 0.0
    seams = len(watched.received) // LOOP_FRAMES
    assert 3 <= back.sum() <= seams
    assert (places_s[:-1][back] > 0.9 * LOOP_FRAMES / RATE_HZ).all()
    assert (places_s[1:][back] < 0.1 * LOOP_FRAMES / RATE_HZ).all()
    assert np.diff(places_s).max() < 1.5 * CHUNK_S
