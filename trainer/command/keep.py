"""``yardline export``: the memory as files for other programs."""

from pathlib import Path

import click

from trainer.command.folders import into_file
from trainer.command.options import opened


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--learner", metavar="NAME", help="Only this learner's attempts.")
def export(file: Path, learner: str | None) -> None:
    """Write every attempt to FILE: .csv for a spreadsheet, .jsonl for a program."""
    from trainer.progress.export import export_attempts
    from trainer.season.roster import roster_of

    with opened() as (_, store), into_file(file):
        chosen = None if learner is None else roster_of(store).named(learner).learner
        written = export_attempts(store.attempts(learner=chosen), file)
    click.echo(f"{written} attempts are in {file}")
