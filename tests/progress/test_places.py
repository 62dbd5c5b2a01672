"""Places: where the memory is kept."""

from pathlib import Path

import pytest

from trainer.progress.places import data_folder, place_for_store, store_path
from trainer.refusal import Refused


def test_the_variable_overrides_the_platforms_folder(tmp_path: Path) -> None:
    assert store_path(environ={"YARDLINE_HOME": str(tmp_path)}) == tmp_path / "yardline.sqlite"


def test_without_the_variable_or_with_it_empty_the_platform_chooses() -> None:
    chosen = data_folder(environ={})
    assert chosen == data_folder(environ={"YARDLINE_HOME": ""})
    assert chosen.name == "yardline"
    assert chosen.is_absolute()


def test_a_tilde_is_the_users_home() -> None:
    assert data_folder(environ={"YARDLINE_HOME": "~/tides"}) == Path.home() / "tides"


def test_the_folder_for_the_store_is_made_with_all_above_it(tmp_path: Path) -> None:
    path = place_for_store(environ={"YARDLINE_HOME": str(tmp_path / "a" / "b")})
    assert path == tmp_path / "a" / "b" / "yardline.sqlite"
    assert path.parent.is_dir()
    assert not path.exists()


def test_a_folder_that_cannot_be_made_is_refused_with_the_way_on(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way", encoding="utf-8")
    with pytest.raises(
        Refused, match=r"the folder .*file.b cannot be made .*: set YARDLINE_HOME to one that can"
    ):
        place_for_store(environ={"YARDLINE_HOME": str(tmp_path / "file" / "b")})
