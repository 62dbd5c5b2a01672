"""The stand-ins of ``tests/fakes.py``: what the tests of other rooms rely on (its contract: test_players)."""

import pytest

from tests.fakes import RecordingPlayer
from trainer.playback.player import Version
from trainer.sound import Sound

ONE_SECOND = {Version.PLAIN: Sound.silence(48_000), Version.CHANGED: Sound.silence(48_000)}


def test_the_recording_player_remembers_what_was_asked_in_order() -> None:
    player = RecordingPlayer()
    player.set_level(-30.0)
    player.load(ONE_SECOND, dip=True)
    player.play()
    player.flip(Version.CHANGED)
    player.flip(Version.PLAIN)
    player.restart()
    player.stop()
    player.close()
    assert player.calls == ["set_level", "load", "play", "flip", "flip", "restart", "stop", "close"]
    assert player.flips == [Version.CHANGED, Version.PLAIN]
    assert player.loads == [ONE_SECOND]
    assert player.dips == [True]
    assert player.levels_db == [-30.0]
    assert player.is_closed


def test_what_was_refused_is_not_remembered() -> None:
    player = RecordingPlayer()
    with pytest.raises(ValueError, match="nothing is loaded"):
        player.play()
    with pytest.raises(ValueError, match="not loaded"):
        player.flip(Version.CHANGED)
    with pytest.raises(ValueError, match="0 dB or below"):
        player.set_level(1.0)
    assert player.calls == []
    assert player.flips == []


def test_time_passes_only_when_told_and_only_while_it_plays() -> None:
    player = RecordingPlayer()
    player.load(ONE_SECOND)
    player.pass_time(0.3)
    assert player.position_s == 0.0
    player.play()
    player.pass_time(1.25)
    assert player.position_s == pytest.approx(0.25)
    assert player.listened_s == 1.25


def test_a_script_says_where_it_is_and_its_last_line_stays() -> None:
    player = RecordingPlayer(positions_s=(0.1, 0.7))
    assert [player.position_s for _ in range(4)] == [0.1, 0.7, 0.7, 0.7]


def test_a_problem_can_be_given() -> None:
    assert RecordingPlayer(problem="The device was removed.").problem == "The device was removed."


def test_what_is_asked_for_is_heard_after_the_latency() -> None:
    player = RecordingPlayer(latency_s=0.1)
    player.load(ONE_SECOND)
    player.flip(Version.CHANGED)
    assert (player.sounding, player.heard) == (Version.CHANGED, Version.PLAIN)
    player.pass_time(0.06)
    assert player.heard is Version.PLAIN
    player.pass_time(0.06)
    assert player.heard is Version.CHANGED


def test_what_is_asked_for_is_heard_at_once_without_a_latency() -> None:
    player = RecordingPlayer()
    player.load(ONE_SECOND)
    player.flip(Version.CHANGED)
    assert player.heard is Version.CHANGED
    assert player.heard_position_s == player.position_s


def test_what_was_added_is_remembered_and_can_be_flipped_to() -> None:
    player = RecordingPlayer()
    player.load(ONE_SECOND)
    sound = Sound.silence(48_000)
    player.add(Version.YOURS, sound)
    player.flip(Version.YOURS)
    assert player.adds == [(Version.YOURS, sound)]
    assert player.calls == ["load", "add", "flip"]
    with pytest.raises(ValueError, match="loaded already"):
        player.add(Version.YOURS, sound)
    assert len(player.adds) == 1


def test_its_device_can_be_lost() -> None:
    player = RecordingPlayer()
    assert not player.is_lost
    player.lose("The device was removed.")
    assert player.is_lost
    assert player.problem == "The device was removed."
