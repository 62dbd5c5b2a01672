"""Places: the folder this program keeps its memory in, and the store's file in it."""

from collections.abc import Mapping
from pathlib import Path

from platformdirs import user_data_dir

from trainer.refusal import Refused

HOME_VARIABLE = "YARDLINE_HOME"
STORE_NAME = "yardline.sqlite"


def data_folder(*, environ: Mapping[str, str]) -> Path:
    """Return the folder the store lives in: ``YARDLINE_HOME`` where it is set, else the platform's own."""
    chosen = environ.get(HOME_VARIABLE, "")
    return Path(chosen).expanduser() if chosen else Path(user_data_dir("yardline", appauthor=False))


def store_path(*, environ: Mapping[str, str]) -> Path:
    """Return where the store's file is; neither it nor its folder need exist yet."""
    return data_folder(environ=environ) / STORE_NAME


def place_for_store(*, environ: Mapping[str, str]) -> Path:
    """Return where the store's file is or will be, its folder made if need be.

    Raises
    ------
    Refused
        If the folder cannot be made.
    """
    path = store_path(environ=environ)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise Refused(
            f"the folder {path.parent} cannot be made ({error.strerror}): set {HOME_VARIABLE} to one that can"
        ) from error
    return path
