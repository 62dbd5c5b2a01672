"""A command run as a user runs it, its memory in a folder of the test's own."""

from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

import pytest

from trainer.command.main import main


class Ended(NamedTuple):
    """How a command ended."""

    code: int
    out: str
    err: str


Run = Callable[..., Ended]


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return the folder the memory lives in, not yet made."""
    folder = tmp_path / "home"
    monkeypatch.setenv("YARDLINE_HOME", str(folder))
    monkeypatch.setenv("COLUMNS", "200")
    return folder


@pytest.fixture
def run(home: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Run:
    """Return what runs a command; ``typed`` are the lines typed into it."""

    def run(*arguments: str, typed: tuple[str, ...] = ()) -> Ended:
        assert home.parent.is_dir()
        lines = iter(typed)

        def line(prompt: str) -> str:
            print(prompt, end="")  # noqa: T201 - as input does
            try:
                return next(lines)
            except StopIteration:
                raise EOFError from None

        monkeypatch.setattr("builtins.input", line)
        code = main(list(arguments))
        return Ended(code, *capsys.readouterr())

    return run
