"""What can go wrong with a store, each told in one clear sentence that says how to go on."""

from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy.exc import ArgumentError, DBAPIError, NoSuchModuleError

from trainer.refusal import Refused

CORRUPT = (
    "{where} is damaged or is not a store ({said}); it was kept as it is: "
    "move it aside to start afresh, or put a copy of it in its place"
)
SENTENCES: tuple[tuple[str, str], ...] = (
    ("is locked", "{where} is in use by another program that does not let go; close it and try again"),
    ("is full", "the disk holding {where} is full; make room and try again, nothing half-written was kept"),
    ("not a database", CORRUPT),
    ("malformed", CORRUPT),
    ("unsupported file format", CORRUPT),
    ("readonly", "{where} cannot be written; allow writing to it and its folder, or choose another folder"),
    ("unable to open", "{where} cannot be opened; its folder is missing, or may not be read or written"),
    ("no such table", "{where} lacks a table it should have ({said}); put a copy of it in its place"),
)
"""What the database's message holds, and what we say then."""


class StoreError(Refused):
    """The store cannot do what was asked; the message is one sentence for the person at the screen."""


def sentence_for(said: str, *, where: str) -> str:
    """Return our sentence for what the database said."""
    for fragment, sentence in SENTENCES:
        if fragment in said:
            return sentence.format(where=where, said=said)
    return f"{where} could not be used: {said}"


@contextmanager
def told_clearly(where: str) -> Iterator[None]:
    """Turn whatever the database raises inside into a `StoreError`."""
    try:
        yield
    except DBAPIError as error:
        raise StoreError(sentence_for(str(error.orig), where=where)) from error
    except (ArgumentError, NoSuchModuleError) as error:
        raise StoreError(f"{where} is no database address: {error}") from error
    except ModuleNotFoundError as error:
        raise StoreError(f"{where} needs the Python package {error.name}, which is not installed") from error
