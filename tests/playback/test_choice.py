"""The choice of a player: files where they are wanted, files where there is no device, and a sentence for both."""

from pathlib import Path

import pytest

from trainer.playback import device
from trainer.playback.choice import chosen_player
from trainer.playback.player import NoDevice, Player
from trainer.playback.silent import SilentPlayer
from trainer.playback.wave_files import WaveFilePlayer


def test_files_that_are_wanted_are_written_to_their_folder(tmp_path: Path) -> None:
    player, said = chosen_player(tmp_path / "wanted", fallback=tmp_path / "other", environ={})
    assert isinstance(player, WaveFilePlayer)
    assert said == f"The sounds are written to {tmp_path / 'wanted'}."


def test_without_a_device_files_are_written_and_the_reason_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def none(**_: object) -> Player:
        raise NoDevice("There is no sound device.")

    monkeypatch.setattr(device, "open_player", none)
    player, said = chosen_player(None, fallback=tmp_path / "other", environ={})
    assert isinstance(player, WaveFilePlayer)
    assert said == f"There is no sound device. The sounds are written to {tmp_path / 'other'} instead."


@pytest.mark.parametrize("is_quick", [False, True])
def test_the_device_is_opened_as_it_is_wished_for_and_nothing_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, is_quick: bool
) -> None:
    """Stands in for the device itself, which `test_device.py` opens."""
    opened, prepared = [], []

    def open_player(**wished: object) -> Player:
        opened.append(wished)
        return SilentPlayer()

    monkeypatch.setattr(device, "open_player", open_player)
    monkeypatch.setattr(device, "prepare_process", lambda: prepared.append(True))
    environ = {"YARDLINE_HOME": "here"}
    player, said = chosen_player(
        None, fallback=tmp_path, environ=environ, device_name="Left desk", is_quick=is_quick
    )
    chunk_frames = device.FAST_CHUNK_FRAMES if is_quick else device.CHUNK_FRAMES
    assert opened == [{"environ": environ, "device_name": "Left desk", "chunk_frames": chunk_frames}]
    assert (isinstance(player, SilentPlayer), said, prepared) == (True, "", [True])
