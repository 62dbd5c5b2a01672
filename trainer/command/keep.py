"""``yardline export``: the memory as files for other programs."""

from pathlib import Path

import click

from trainer.command.folders import into_file
from trainer.command.options import opened
from trainer.refusal import Refused


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--learner", metavar="NAME", help="Only this learner's attempts.")
@click.option(
    "--records", "with_records", is_flag=True, help="The roster, too, and all that staff keep (.jsonl)."
)
def export(file: Path, learner: str | None, with_records: bool) -> None:
    """Write every attempt to FILE: .csv for a spreadsheet, .jsonl for a program."""
    from trainer.progress.export import export_attempts, write_jsonl
    from trainer.season.roster import roster_of

    if with_records:
        _check_records_wanted(file, learner)
    with opened() as (_, store), into_file(file):
        if with_records:
            records = store.records.all()
            written = write_jsonl(store.log.attempts(), file, records)
            click.echo(f"{written} attempts and {len(records)} records are in {file}")
            return
        chosen = None if learner is None else roster_of(store).named(learner).learner
        written = export_attempts(store.log.attempts(learner=chosen), file)
    click.echo(f"{written} attempts are in {file}")


def _check_records_wanted(file: Path, learner: str | None) -> None:
    if file.suffix.lower() != ".jsonl":
        raise Refused(
            f"--records are for a .jsonl file, not {file.name!r}: a spreadsheet's table holds attempts"
        )
    if learner is not None:
        raise Refused("--records are everybody's, --learner asks for one's: give one of them")
