"""A store for the tests of this room, in a folder of its own."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.progress.made_up import START
from trainer.progress.store import Store, open_store


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "folder" / "yardline.sqlite"


@pytest.fixture
def store(path: Path) -> Iterator[Store]:
    with open_store(path, now=START) as opened:
        yield opened
