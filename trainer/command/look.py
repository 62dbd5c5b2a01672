"""``yardline exercises``, ``progress``, ``doctor`` and ``bench``: what there is and how it stands."""

import json
import os
from pathlib import Path

import click
from rich.console import Console
from rich.table import Table

from trainer.command.drill import learner_name, this_learner
from trainer.command.folders import into_file
from trainer.refusal import Refused


@click.command()
def exercises() -> None:
    """List the exercises, and what failed to load."""
    from trainer.practice.catalogue import load

    catalogue = load()
    table = Table("exercise", "what for", "asked on", "sizes", box=None, padding=(0, 2, 0, 0))
    for exercise in catalogue.exercises.values():
        ladder = exercise.ladder
        sizes = f"{ladder.easiest:g} to {ladder.hardest:g} {ladder.unit}, {ladder.quantity}"
        table.add_row(exercise.key, exercise.purpose, ", ".join(exercise.scopes), sizes)
    Console().print(table)
    for broken in catalogue.broken:
        click.echo(f"failed to load: {broken.module} ({broken.reason})", err=True)


@click.command()
@click.option("--learner", default=this_learner, metavar="NAME", help="Whose.  [default: your login name]")
@click.option("--json", "as_json", is_flag=True, help="As JSON, for programs.")
@click.option("--chart", type=click.Path(path_type=Path), metavar="FILE", help="Draw it: .png, .svg or .pdf.")
def progress(learner: str, as_json: bool, chart: Path | None) -> None:
    """Show how often you name it right, octave band by octave band."""
    from trainer.assembly import Assembly
    from trainer.progress.figures import band_figures

    name = learner_name(learner)
    with Assembly(environ=os.environ).open_store() as store:
        attempts = list(store.attempts(learner=name))
        known = store.learners()
    if not attempts and known and name not in known:
        raise Refused(f"there are no answers by {name!r}; there are some by {', '.join(known)}")
    figures = band_figures(attempts)
    if as_json:
        click.echo(json.dumps({"learner": name, "bands": [figure_data(figure) for figure in figures]}))
    else:
        Console().print(band_table(name, figures))
    if chart is not None:
        _draw(name, attempts, chart)
