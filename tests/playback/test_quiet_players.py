"""The players without a device: the silent one, and the one that writes wave files."""

from pathlib import Path

import numpy as np
import pytest

from tests.playback.music import VERSIONS, music
from trainer.playback.player import Version
from trainer.playback.silent import SilentPlayer
from trainer.playback.wave_files import WaveFilePlayer
from trainer.sound_files import SoundFileError, read_sound


def test_the_silent_player_is_where_its_clock_says() -> None:
    now_s = [7.0]
    player = SilentPlayer(clock=lambda: now_s[0])
    player.load({Version.PLAIN: music(frames=48_000)})
    now_s[0] += 1.0
    player.play()
    now_s[0] += 3_600.25
    assert player.position_s == pytest.approx(0.25, abs=1e-4)
    now_s[0] += 0.5
    assert player.position_s == pytest.approx(0.75, abs=1e-4)


def test_the_silent_player_says_that_nothing_is_heard() -> None:
    now_s = [0.0]
    player = SilentPlayer(clock=lambda: now_s[0])
    player.load(VERSIONS)
    player.play()
    now_s[0] += 10.0
    assert "no sound" in player.problem
    assert player.listened_s == 0.0


def test_the_wave_files_are_the_versions_bit_for_bit(tmp_path: Path) -> None:
    player = WaveFilePlayer(tmp_path / "new" / "folder")
    player.load(VERSIONS)
    assert sorted(path.name for path in (tmp_path / "new" / "folder").iterdir()) == [
        "alone-changed.wav",
        "alone-plain.wav",
        "changed.wav",
        "plain.wav",
        "your-answer.wav",
    ]
    for version, path in player.files.items():
        written = read_sound(path)
        assert written.rate_hz == VERSIONS[version].rate_hz
        assert (written.samples == VERSIONS[version].samples).all()


def test_the_wave_file_player_says_where_to_listen(tmp_path: Path) -> None:
    player = WaveFilePlayer(tmp_path)
    assert player.where == ""
    player.load({Version.PLAIN: music(), Version.CHANGED: music(boosted=1)})
    assert player.where == f"Listen to plain.wav and changed.wav in {tmp_path.resolve()}."
    assert player.problem == ""


def test_the_next_load_leaves_no_stale_file_and_touches_no_other(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("mine", encoding="utf-8")
    player = WaveFilePlayer(tmp_path)
    player.load(VERSIONS)
    player.load({Version.PLAIN: music(gain=0.5)})
    assert sorted(path.name for path in tmp_path.iterdir()) == ["notes.txt", "plain.wav"]
    assert (read_sound(tmp_path / "plain.wav").samples == np.float32(0.5) * music().samples).all()


def test_a_folder_that_cannot_be_made_is_refused(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"")
    with pytest.raises(SoundFileError, match="cannot make the folder"):
        WaveFilePlayer(tmp_path / "file" / "folder")


def test_a_folder_that_vanishes_becomes_a_problem_and_no_crash(tmp_path: Path) -> None:
    player = WaveFilePlayer(tmp_path / "gone")
    (tmp_path / "gone").rmdir()
    player.load(VERSIONS)
    assert player.problem.startswith("The sound could not be written: cannot write")
    assert player.where == ""
    (tmp_path / "gone").mkdir()
    player.load(VERSIONS)
    assert player.problem == ""


def test_a_version_added_becomes_one_more_file(tmp_path: Path) -> None:
    player = WaveFilePlayer(tmp_path)
    player.load({Version.PLAIN: music(), Version.CHANGED: music(boosted=1)})
    player.add(Version.YOURS, music(boosted=2))
    assert sorted(path.name for path in tmp_path.iterdir()) == ["changed.wav", "plain.wav", "your-answer.wav"]
    assert (read_sound(player.files[Version.YOURS]).samples == music(boosted=2).samples).all()
    assert player.where.startswith("Listen to plain.wav, changed.wav and your-answer.wav in ")
    player.load({Version.PLAIN: music()})
    assert [path.name for path in tmp_path.iterdir()] == ["plain.wav"]


def test_a_version_that_cannot_be_written_becomes_a_problem(tmp_path: Path) -> None:
    player = WaveFilePlayer(tmp_path / "gone")
    player.load({Version.PLAIN: music()})
    (tmp_path / "gone" / "plain.wav").unlink()
    (tmp_path / "gone").rmdir()
    player.add(Version.CHANGED, music(boosted=1))
    assert player.problem.startswith("The sound could not be written: cannot write")


@pytest.mark.parametrize("kind", ["silent", "wave files"])
def test_without_a_device_nothing_is_delayed_and_nothing_can_be_lost(kind: str, tmp_path: Path) -> None:
    now_s = [3.0]

    def clock() -> float:
        return now_s[0]

    player = SilentPlayer(clock=clock) if kind == "silent" else WaveFilePlayer(tmp_path, clock=clock)
    player.load(VERSIONS)
    player.play()
    player.flip(Version.CHANGED)
    now_s[0] += 0.3
    assert player.heard is player.sounding is Version.CHANGED
    assert player.heard_position_s == player.position_s == pytest.approx(0.3)
    now_s[0] += 3_600.0
    assert not player.is_lost
