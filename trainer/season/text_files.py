"""The text of a file that somebody made: UTF-8, with or without the mark spreadsheets put first."""

from pathlib import Path

from trainer.refusal import Refused


def text_of(path: Path) -> str:
    """Return a file's text.

    Raises
    ------
    Refused
        If it cannot be read, or is not UTF-8.
    """
    try:
        return path.read_text(encoding="utf-8-sig")
    except OSError as error:
        raise Refused(f"{path} cannot be read: {error.strerror or error}") from error
    except UnicodeDecodeError as error:
        raise Refused(f"{path} is not UTF-8 text: save it as CSV UTF-8 (or as JSON) again") from error
