"""Folders and files a user names: made and checked before any work is done for them."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from trainer.refusal import Refused


@contextmanager
def into_folder(path: Path) -> Iterator[Path]:
    """Give a folder to write into, made if need be.

    Raises
    ------
    Refused
        If it cannot be made or written to; the message says why.
    """
    probe = path / ".yardline-probe"
    try:
        path.mkdir(parents=True, exist_ok=True)
        probe.touch()
        probe.unlink()
        yield path
    except OSError as error:
        raise Refused(f"cannot write into the folder {str(path)!r}: {error.strerror or error}") from error


@contextmanager
def into_file(path: Path) -> Iterator[Path]:
    """Give a file to write, in a folder that is there and can be written to."""
    if path.is_dir():
        raise Refused(f"{str(path)!r} is a folder: name a file in it")
    with into_folder(path.parent):
        yield path
