"""The demo's command line: what it says, where it writes, how it ends."""

from pathlib import Path

import pytest

from audio_demo.command import main


@pytest.fixture(autouse=True)
def _no_device(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("SDL_AUDIODRIVER", "dummy")
    monkeypatch.setenv("YARDLINE_HOME", str(tmp_path / "own"))


def test_a_season_fills_the_named_home_and_says_what_to_do_next(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    home = tmp_path / "home"
    assert main(["season", "--home", str(home), "--weeks", "1"]) == 0
    said = capsys.readouterr().out
    assert f"YARDLINE_HOME={home} yardline progress --learner Heron --chart heron.png" in said
    assert (home / "yardline.sqlite").exists()
    assert not (tmp_path / "own").exists()
    assert main(["season", "--home", str(home), "--weeks", "1"]) == 2
    assert "answers by Heron" in capsys.readouterr().err


def test_play_without_a_device_is_refused_in_one_sentence(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--play"]) == 2
    said = capsys.readouterr().err
    assert said.startswith("audio_demo: ")
    assert "leave --play out" in said
    assert len(said.splitlines()) == 1


def test_a_folder_that_cannot_be_made_is_refused_before_any_work(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "file").write_text("in the way")
    assert main(["--out", str(tmp_path / "file" / "sounds")]) == 2
    assert "cannot write into the folder" in capsys.readouterr().err


@pytest.mark.parametrize("wrong", [["--level", "3"], ["season", "--weeks", "0"], ["frob"]])
def test_what_does_not_fit_is_refused(wrong: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(wrong) == 2
    assert capsys.readouterr().err.startswith("audio_demo: ")
