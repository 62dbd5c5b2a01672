"""Merging: the attempts and records of other stores, or of JSON Lines exports, added to one; they stay as they are.

A union: in any order and however often, the same. Every file is looked through before anything is written; then
each page of attempts goes in with its tallies in one transaction, so that what dies in the middle is whole, and
merging again completes it.
"""

import json
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TypeVar

from trainer.practice.attempt import Attempt
from trainer.progress.backup import copy_store
from trainer.progress.export import ASKED_LINE, read_lines
from trainer.progress.records import Record
from trainer.progress.store import Store, open_store
from trainer.refusal import Refused

SQLITE = b"SQLite format 3\0"
"""What every SQLite file begins with (SQLite, Database File Format, 1.3)."""
EXPORT = ".jsonl"
ASKED_START = f'{{"{ASKED_LINE}"'.encode()
"""What a line begins with that says what was on offer: it is neither an attempt nor a record."""

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Merged:
    """What was new of a file."""

    path: Path
    attempts: int
    records: int


def merge_files(
    store: Store,
    paths: Sequence[Path],
    *,
    own: Path,
    now: datetime,
    told: Callable[[int, int], object] = lambda _done, _total: None,
) -> tuple[Merged, ...]:
    """Add what is in other stores and exports, none of which is changed; return what was new of each.

    Parameters
    ----------
    own
        The file of the store itself, which is refused.
    now
        The time written beside the migrations of an older store's copy.
    told
        Hears how much is done, of how much in all.

    Raises
    ------
    Refused
        If a file is missing, is neither, is damaged, or holds another attempt under a ``uid`` that the store
        knows: nothing is written then.
    """
    heard = _Heard(told)
    with ExitStack() as stack:
        try:
            sources = [stack.enter_context(_opened(path, own=own, now=now, heard=heard)) for path in paths]
            for source in sources:
                heard.total += 2 * source.log.count()
            for path, source in zip(paths, sources, strict=True):
                _look_through(store, source, path, heard)
        except Refused as why:
            raise Refused(f"nothing was merged: {why}") from why
        return tuple(
            Merged(
                path,
                store.log.add_all(heard.passing(source.log.attempts())),
                store.records.put(source.records.all()),
            )
            for path, source in zip(paths, sources, strict=True)
        )


@contextmanager
def _opened(path: Path, *, own: Path, now: datetime, heard: "_Heard") -> Iterator[Store]:
    """Give what a file holds as a store of its own: a copy, brought up to date where it is an older one's."""
    if not path.is_file():
        raise Refused(f"{path} {'is a folder' if path.is_dir() else 'is not there'}")
    if own.exists() and path.samefile(own):
        raise Refused(f"{path} is the store itself: name the file of another one")
    is_store = _is_sqlite(path)
    with TemporaryDirectory(prefix="yardline-") as folder:
        copy = Path(folder) / "copy.sqlite"
        if is_store:
            _copy(path, copy)
        with open_store(copy, now=now, called=f"the store {path}" if is_store else str(path)) as source:
            if not is_store:
                _read_into(source, path, heard)
            source.check()
            yield source


def _copy(path: Path, copy: Path) -> None:
    try:
        copy_store(path, copy)
    except OSError as error:
        raise Refused(f"{path} cannot be copied to {copy.parent}: {error.strerror or error}") from error


def _read_into(source: Store, path: Path, heard: "_Heard") -> None:
    """Read an export into an empty store."""
    with path.open("rb") as file:
        heard.total += sum(not line.startswith(ASKED_START) for line in file)
    records: list[Record] = []

    def attempts() -> Iterator[Attempt]:
        for one in heard.passing(read_lines(path)):
            if isinstance(one, Record):
                records.append(one)
            else:
                yield one

    source.log.add_all(attempts())
    source.records.put(records)


def _is_sqlite(path: Path) -> bool:
    """Return whether a file is SQLite's; refused if it is nobody's we know."""
    try:
        with path.open("rb") as file:
            start = file.read(len(SQLITE))
    except OSError as error:
        raise Refused(f"{path} cannot be read: {error.strerror or error}") from error
    is_export = start.startswith(b"{") or (path.suffix.lower() == EXPORT and not start)
    if start != SQLITE and not is_export:
        hint = "; a CSV is for spreadsheets: export as .jsonl" if path.suffix.lower() == ".csv" else ""
        raise Refused(f"{path} is neither a store (.sqlite) nor an export as JSON Lines ({EXPORT}){hint}")
    return start == SQLITE


def _look_through(store: Store, source: Store, path: Path, heard: "_Heard") -> None:
    try:
        for record in source.records.all():
            if not isinstance(json.loads(record.body), dict):
                raise Refused(f"{path} is damaged: a record of kind {record.kind!r} holds no object")
        unlike = store.log.unlike(heard.passing(source.log.attempts()))
    except Refused:
        raise
    except (
        ValueError,
        TypeError,
        KeyError,
        AttributeError,
    ) as error:  # text that no program of ours has written
        raise Refused(f"{path} is damaged: something in it cannot be read ({error})") from error
    if unlike is not None:
        raise Refused(
            f"{path} holds another attempt than the store under {unlike.uid}, by {unlike.learner}: attempts are "
            "never changed, so one of the two files was changed by hand"
        )


@dataclass
class _Heard:
    """Counts what passes, and tells of it."""

    told: Callable[[int, int], object]
    total: int = 0
    done: int = 0

    def passing(self, things: Iterable[T]) -> Iterator[T]:
        for thing in things:
            yield thing
            self.done += 1
            self.told(self.done, self.total)
