"""``yardline export``: the memory as files for other programs."""

import os
from pathlib import Path

import click

from trainer.command.folders import into_file


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--learner", metavar="NAME", help="Only this learner's attempts.")
def export(file: Path, learner: str | None) -> None:
    """Write every attempt to FILE: .csv for a spreadsheet, .jsonl for a program."""
    from trainer.assembly import Assembly
    from trainer.progress.export import export_attempts

    with Assembly(environ=os.environ).open_store() as store, into_file(file):
        written = export_attempts(store.attempts(learner=learner), file)
    click.echo(f"{written} attempts are in {file}")
