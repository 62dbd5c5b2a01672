"""Places: where the memory is kept."""

from pathlib import Path

from trainer.progress.places import data_folder, store_path


def test_the_variable_overrides_the_platforms_folder(tmp_path: Path) -> None:
    assert store_path(environ={"YARDLINE_HOME": str(tmp_path)}) == tmp_path / "yardline.sqlite"


def test_without_the_variable_or_with_it_empty_the_platform_chooses() -> None:
    chosen = data_folder(environ={})
    assert chosen == data_folder(environ={"YARDLINE_HOME": ""})
    assert chosen.name == "yardline"
    assert chosen.is_absolute()


def test_a_tilde_is_the_users_home() -> None:
    assert data_folder(environ={"YARDLINE_HOME": "~/tides"}) == Path.home() / "tides"
