"""``yardline merge`` and ``yardline backup``: the memories of several laptops in one, and a safe copy of it."""

import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import click
from rich.console import Console
from rich.progress import Progress

from trainer.command.folders import into_file
from trainer.command.options import opened

FILE = click.Path(path_type=Path)
TOLD_EVERY = 100
"""Attempts from one move of the bar to the next."""


@click.command()
@click.argument("files", type=FILE, nargs=-1, required=True, metavar="FILE...")
def merge(files: tuple[Path, ...]) -> None:
    """Add the answers and the roster of other laptops to this one.

    Each FILE is another laptop's yardline.sqlite, a backup of it, or its export as .jsonl; it stays as it is.
    Merging in any order, and again, gives the same.
    """
    from trainer.progress.merging import merge_files
    from trainer.progress.places import store_path

    with opened() as (assembly, store), _bar("Merging") as told:
        own = store_path(environ=assembly.environ)
        merged = merge_files(store, files, own=own, now=assembly.now(), told=told)
    for one in merged:
        click.echo(f"{one.path}: {_new(one.attempts, 'attempt')}, {_new(one.records, 'record')}")


@click.command()
@click.argument("file", type=FILE, required=False)
def backup(file: Path | None) -> None:
    """Copy the memory to FILE, safely while others write to it, and check the copy.

    Without FILE: into the folder backups beside the memory, under the date and time. `yardline merge` takes the
    copy. To go back to it: move yardline.sqlite, and what stands beside it with -wal or -shm behind that name,
    somewhere else, and put the copy in its place.
    """
    from trainer.assembly import Assembly
    from trainer.progress.backup import back_up, backup_path
    from trainer.progress.places import store_path

    assembly = Assembly(environ=os.environ)
    place = store_path(environ=assembly.environ)
    with into_file(file or backup_path(place, now=assembly.now())) as path:
        done = back_up(place, path)
    click.echo(f"{done.path} holds {done.attempts} attempts and is whole")


def _new(count: int, what: str) -> str:
    return f"{count} new {what}{'' if count == 1 else 's'}"


@contextmanager
def _bar(title: str) -> Iterator[Callable[[int, int], object]]:
    """Give what is told how much is done of how much; on a terminal a bar shows it."""
    console = Console(stderr=True)
    with Progress(console=console, transient=True, disable=not console.is_terminal) as bar:
        task = bar.add_task(title, total=None)

        def told(done: int, total: int) -> None:
            if done % TOLD_EVERY == 0:
                bar.update(task, completed=done, total=total)

        yield told
