"""The contract of a player, kept by all of them: device, wave files, silent, and the recording fake."""

import faulthandler
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest

from tests.fakes import RecordingPlayer
from trainer.playback.device import DevicePlayer, open_player
from trainer.playback.player import Player, Version
from trainer.playback.silent import SilentPlayer
from trainer.playback.wave_files import WaveFilePlayer
from trainer.sound import Sound

LOOP_S = 0.5


class Clock:
    """A clock that a test moves."""

    def __init__(self) -> None:
        self.now_s = 100.0

    def __call__(self) -> float:
        return self.now_s

    def pass_time(self, duration_s: float) -> None:
        self.now_s += duration_s


@dataclass
class Case:
    """A player, and how time passes for it."""

    player: Player
    pass_time: Callable[[float], None]


def silent_case(_folder: Path, _monkeypatch: pytest.MonkeyPatch) -> Case:
    clock = Clock()
    return Case(SilentPlayer(clock=clock), clock.pass_time)


def wave_file_case(folder: Path, _monkeypatch: pytest.MonkeyPatch) -> Case:
    clock = Clock()
    return Case(WaveFilePlayer(folder / "sounds", clock=clock), clock.pass_time)


def recording_case(_folder: Path, _monkeypatch: pytest.MonkeyPatch) -> Case:
    player = RecordingPlayer()
    return Case(player, player.pass_time)


def device_case(folder: Path, monkeypatch: pytest.MonkeyPatch) -> Case:
    """Return a device whose sound SDL writes to disk, in real time."""
    monkeypatch.setenv("SDL_AUDIODRIVER", "disk")
    monkeypatch.setenv("SDL_DISKAUDIOFILE", str(folder / "heard.raw"))
    player = open_player(chunk_frames=512)
    return Case(player, lambda duration_s: wait_for_frames(player, round(duration_s * 48_000)))


def wait_for_frames(player: DevicePlayer, frames: int) -> None:
    until, deadline_s = player.rendered_frames + frames, time.monotonic() + 10.0
    while player.rendered_frames < until:
        assert time.monotonic() < deadline_s, "the device does not ask for sound"
        time.sleep(0.001)


CASES = {
    "device": device_case,
    "wave files": wave_file_case,
    "silent": silent_case,
    "recording": recording_case,
}


@pytest.fixture(params=CASES)
def case(request: pytest.FixtureRequest, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Case]:
    faulthandler.dump_traceback_later(30, exit=True)
    made = CASES[request.param](tmp_path, monkeypatch)
    yield made
    made.player.close()
    faulthandler.cancel_dump_traceback_later()


def loop(value: float, *, duration_s: float = LOOP_S) -> Sound:
    return Sound.of(np.full((round(duration_s * 48_000), 2), value))


TWO = {Version.PLAIN: loop(0.1), Version.CHANGED: loop(0.2)}


def test_it_stands_at_the_start_until_it_plays(case: Case) -> None:
    case.player.load(TWO)
    case.pass_time(0.05)
    assert case.player.position_s == 0.0
    assert case.player.sounding is Version.PLAIN


def test_it_goes_round_the_loop(case: Case) -> None:
    case.player.load(TWO)
    case.player.play()
    places_s = []
    for _ in range(10):
        case.pass_time(0.1)
        places_s.append(case.player.position_s)
    moves_s = np.diff(places_s)
    assert all(0.0 <= place_s < LOOP_S for place_s in places_s)
    assert (moves_s != 0.0).all()
    assert (moves_s < 0.0).sum() in (1, 2), "one second is two rounds"


def test_a_flip_keeps_the_place_and_names_the_version(case: Case) -> None:
    case.player.load({Version.PLAIN: loop(0.1, duration_s=20.0), Version.CHANGED: loop(0.2, duration_s=20.0)})
    case.player.play()
    case.pass_time(0.3)
    before_s = case.player.position_s
    case.player.flip(Version.CHANGED)
    assert case.player.sounding is Version.CHANGED
    case.pass_time(0.1)
    assert before_s <= case.player.position_s < before_s + 5.0
    case.player.flip(Version.PLAIN)
    assert case.player.sounding is Version.PLAIN


def test_stopping_keeps_the_place(case: Case) -> None:
    case.player.load(TWO)
    case.player.play()
    case.pass_time(0.2)
    case.player.stop()
    case.pass_time(0.1)
    place_s = case.player.position_s
    case.pass_time(0.1)
    assert case.player.position_s == place_s > 0.0
    case.player.play()
    case.pass_time(0.05)
    assert case.player.position_s != place_s


def test_restarting_goes_back_to_the_start(case: Case) -> None:
    case.player.load({Version.PLAIN: loop(0.1, duration_s=20.0)})
    case.player.play()
    case.pass_time(0.4)
    case.player.stop()
    case.pass_time(0.1)
    assert case.player.position_s >= 0.4
    case.player.restart()
    case.pass_time(0.05)
    assert case.player.position_s == 0.0


def test_loading_while_it_plays_stops_at_the_new_start(case: Case) -> None:
    case.player.load(TWO)
    case.player.play()
    case.player.flip(Version.CHANGED)
    case.pass_time(0.1)
    case.player.load({Version.PLAIN: loop(0.3), Version.YOURS: loop(0.2)}, dip=True)
    case.pass_time(0.1)
    assert case.player.position_s == 0.0
    assert case.player.sounding is Version.PLAIN
    case.player.flip(Version.YOURS)
    assert case.player.sounding is Version.YOURS


def test_a_level_may_be_anything_up_to_full(case: Case) -> None:
    for level_db in (-60.0, -20.0, 0.0, float("-inf")):
        case.player.set_level(level_db)


@pytest.mark.parametrize("level_db", [0.5, float("nan")])
def test_a_level_above_full_is_refused(case: Case, level_db: float) -> None:
    with pytest.raises(ValueError, match="0 dB or below"):
        case.player.set_level(level_db)


def test_playing_or_flipping_before_anything_is_loaded_is_refused(case: Case) -> None:
    with pytest.raises(ValueError, match="nothing is loaded"):
        case.player.play()
    with pytest.raises(ValueError, match="'plain' is not loaded"):
        case.player.flip(Version.PLAIN)


def test_flipping_to_a_version_that_is_not_loaded_is_refused(case: Case) -> None:
    case.player.load(TWO)
    with pytest.raises(ValueError, match="'your answer' is not loaded"):
        case.player.flip(Version.YOURS)
    assert case.player.sounding is Version.PLAIN


def test_versions_that_cannot_loop_together_are_refused(case: Case) -> None:
    with pytest.raises(ValueError, match="one length"):
        case.player.load({Version.PLAIN: loop(0.1), Version.CHANGED: loop(0.1, duration_s=0.6)})
    with pytest.raises(ValueError, match="at least one"):
        case.player.load({})


def test_a_problem_is_a_sentence_or_nothing(case: Case) -> None:
    case.player.load(TWO)
    case.player.play()
    case.pass_time(0.05)
    assert case.player.problem == "" or case.player.problem.endswith(".")


def test_where_to_listen_is_a_sentence_or_nothing(case: Case) -> None:
    assert case.player.where == ""
    case.player.load(TWO)
    assert case.player.where == "" or case.player.where.endswith(".")


def test_closing_twice_is_closing_once(case: Case) -> None:
    case.player.load(TWO)
    case.player.play()
    case.pass_time(0.05)
    case.player.close()
    case.player.close()


def wait_until_heard(case: Case, version: Version) -> None:
    deadline_s = time.monotonic() + 10.0
    while case.player.heard is not version:
        assert time.monotonic() < deadline_s, f"{version} is never heard"
        case.pass_time(0.02)


def test_what_was_asked_for_is_heard_in_the_end(case: Case) -> None:
    case.player.load(TWO)
    case.player.play()
    for version in (Version.CHANGED, Version.PLAIN):
        case.player.flip(version)
        wait_until_heard(case, version)
        assert case.player.sounding is version


def test_the_place_heard_lies_at_most_two_buffers_behind(case: Case) -> None:
    """Two buffers of 512 frames at the device; nothing at the players without one."""
    case.player.load({Version.PLAIN: loop(0.1, duration_s=20.0)})
    case.player.play()
    case.pass_time(0.3)
    for _ in range(20):
        heard_s = case.player.heard_position_s
        assert 0.0 <= heard_s <= case.player.position_s
        case.pass_time(0.01)
    case.player.stop()
    case.pass_time(0.2)
    assert case.player.heard_position_s == pytest.approx(case.player.position_s, abs=1e-3)
    assert heard_s > 0.2


def test_one_more_version_comes_without_any_interruption(case: Case) -> None:
    case.player.load({version: loop(0.1, duration_s=20.0) for version in TWO})
    case.player.play()
    case.player.flip(Version.CHANGED)
    case.pass_time(0.3)
    before_s = case.player.position_s
    case.player.add(Version.YOURS, loop(0.2, duration_s=20.0))
    assert case.player.is_playing
    assert case.player.sounding is Version.CHANGED
    case.pass_time(0.05)
    assert before_s <= case.player.position_s < before_s + 5.0
    case.player.flip(Version.YOURS)
    wait_until_heard(case, Version.YOURS)


def test_a_version_that_does_not_fit_is_not_added(case: Case) -> None:
    with pytest.raises(ValueError, match="nothing is loaded to add"):
        case.player.add(Version.YOURS, loop(0.1))
    case.player.load(TWO)
    with pytest.raises(ValueError, match="like the others, not 28800"):
        case.player.add(Version.YOURS, loop(0.1, duration_s=0.6))
    with pytest.raises(ValueError, match="'plain' is loaded already"):
        case.player.add(Version.PLAIN, loop(0.1))
    with pytest.raises(ValueError, match="'your answer' is not loaded"):
        case.player.flip(Version.YOURS)


def test_it_says_whether_it_was_asked_to_play(case: Case) -> None:
    said = [case.player.is_playing]
    case.player.load(TWO)
    said.append(case.player.is_playing)
    for ask in (case.player.play, case.player.stop, case.player.play):
        ask()
        said.append(case.player.is_playing)
    case.player.load(TWO)
    said.append(case.player.is_playing)
    case.player.play()
    case.player.close()
    said.append(case.player.is_playing)
    assert said == [False, False, True, False, True, False, False]


def test_it_is_not_lost_as_long_as_nobody_takes_it_away(case: Case) -> None:
    case.player.load(TWO)
    case.player.play()
    case.pass_time(0.05)
    assert not case.player.is_lost


def test_what_was_asked_is_known_before_and_after_closing(case: Case) -> None:
    case.player.set_level(-33.0)
    assert dict(case.player.asked.versions) == {}
    case.player.load(TWO, dip=True)
    case.player.flip(Version.CHANGED)
    case.player.play()
    for _ in range(3):
        asked = case.player.asked
        assert (asked.is_dip, asked.version, asked.level_db, asked.is_playing) == (
            True,
            Version.CHANGED,
            -33.0,
            True,
        )
        for version, sound in TWO.items():
            assert (asked.versions[version].samples == sound.samples).all()
        assert asked.versions.keys() == TWO.keys()
        case.player.close()
    case.player.stop()
    assert not case.player.asked.is_playing
