"""Whole files: written beside their place first and put there in one step, so that none is half there."""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from uuid import uuid4

from trainer.refusal import Refused


@contextmanager
def replacing(path: Path) -> Iterator[Path]:
    """Give a file to write that replaces ``path`` at the end; after an error ``path`` is as it was.

    Raises
    ------
    Refused
        If the folder is missing, may not be written, or is on a full disk.
    """
    beside = path.with_name(f".{uuid4().hex}{path.suffix}")
    try:
        yield beside
        with beside.open("rb+") as written:
            os.fsync(written.fileno())
        beside.replace(path)
    except OSError as error:
        raise Refused(f"{path} cannot be written: {error.strerror or error}") from error
    finally:
        beside.unlink(missing_ok=True)
