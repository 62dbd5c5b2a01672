"""The handover from one player to the next: what was loaded, how loud, which version, and whether it played."""

import json
from pathlib import Path
from typing import cast

import numpy as np
import pytest

from tests.fakes import RecordingPlayer
from tests.playback.in_process import run
from tests.playback.music import VERSIONS, expected, rendered
from trainer.playback.handover import hand_over
from trainer.playback.loop import Loop
from trainer.playback.player import Player, Version

TWO = {key: VERSIONS[key] for key in (Version.PLAIN, Version.CHANGED)}


def had_something(*, playing: bool = True, closed: bool = True) -> RecordingPlayer:
    old = RecordingPlayer()
    old.set_level(-6.0)
    old.load(TWO, dip=True)
    for version in VERSIONS.keys() - TWO.keys():
        old.add(version, VERSIONS[version])
    old.flip(Version.YOURS)
    if playing:
        old.play()
    if closed:
        old.close()
    return old


@pytest.mark.parametrize("closed", [True, False])
def test_the_new_player_is_asked_for_what_the_old_one_had(closed: bool) -> None:
    new = RecordingPlayer()
    hand_over(had_something(closed=closed), new)
    assert new.calls == ["set_level", "load", "flip", "play"]
    assert new.levels_db == [-6.0]
    assert new.dips == [True]
    assert new.sounding is Version.YOURS
    assert new.loads[0].keys() == VERSIONS.keys()
    for version, sound in new.loads[0].items():
        assert (sound.samples == VERSIONS[version].samples).all()


def test_what_stood_still_stands_still() -> None:
    new = RecordingPlayer()
    hand_over(had_something(playing=False), new)
    assert new.calls == ["set_level", "load", "flip"]
    assert not new.is_playing


def test_from_a_player_with_nothing_loaded_comes_only_the_level() -> None:
    old, new = RecordingPlayer(), RecordingPlayer()
    old.set_level(float("-inf"))
    hand_over(old, new)
    assert new.calls == ["set_level"]
    assert new.levels_db == [float("-inf")]


def test_a_loop_goes_on_with_the_same_music_at_the_same_level() -> None:
    """-6 dB is 10 ** (-6 / 20) of the amplitude (the definition of the decibel, ISO 80000-3)."""
    new = Loop()
    hand_over(had_something(), cast("Player", new))
    heard = rendered(new, 1.5)[60_000:]
    assert heard == pytest.approx(
        10.0 ** (-6.0 / 20.0) * expected(Version.YOURS, 60_000, len(heard)), abs=1e-6
    )
    between = RecordingPlayer()
    hand_over(cast("Player", new), between)
    assert between.asked.versions.keys() == VERSIONS.keys()
    assert between.asked.is_playing


def test_a_lost_device_is_closed_and_the_drill_goes_on_at_the_next_one(tmp_path: Path) -> None:
    """SDL's disk driver, in a process of its own: the second file begins where a first start begins."""
    first, second = tmp_path / "first.raw", tmp_path / "second.raw"
    ended = run("lost_session", first, second, environ={"SDL_AUDIODRIVER": "disk"})
    assert ended.returncode == 0, ended.stderr
    log = json.loads(ended.stdout)
    assert log["lost"] == [False, True, False]
    assert log["sounding"] == Version.CHANGED.value
    assert log["closing_polls"] == 0, "it waits for no fade"
    heard = np.fromfile(second, np.float32).reshape(-1, 2)
    heard = heard[len(heard) - log["rendered"] :]
    heard = heard[int(heard.any(axis=1).argmax()) :]
    full, ratio = heard[50_000:55_000], 10.0 ** (-12.0 / 20.0)
    assert full == pytest.approx(ratio * expected(Version.CHANGED, 50_000, len(full)), abs=1e-6)
    assert np.abs(heard[:12_000]).max() < 0.2 * np.abs(full).max(), "a slow first start"
