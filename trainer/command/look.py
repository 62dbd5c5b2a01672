"""``yardline exercises``, ``progress``, ``doctor`` and ``bench``: what there is and how it stands."""

import json
import os
from pathlib import Path
from typing import TYPE_CHECKING

import click
from rich.console import Console
from rich.table import Table

from trainer.command.folders import into_file
from trainer.command.options import LEARNER, opened

if TYPE_CHECKING:
    from trainer.command.figures import Figures


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
@LEARNER
@click.option("--setup", default="", metavar="KEY", help="Only what was answered on one listening setup.")
@click.option("--json", "as_json", is_flag=True, help="As JSON, for programs.")
@click.option("--chart", type=click.Path(path_type=Path), metavar="FILE", help="Draw it: .png, .svg or .pdf.")
def progress(learner: str, setup: str, as_json: bool, chart: Path | None) -> None:
    """Show the smallest change you name (right 3 times in 4), octave band by octave band."""
    from trainer.command.figures import figures_read
    from trainer.season.roster import roster_of
    from trainer.text.progress import progress_data, progress_table

    with opened() as (assembly, store):
        roster = roster_of(store)
    kept_name = roster.learner_of(learner)
    name = roster.shown(kept_name)
    figures = figures_read(assembly, kept_name, setup=setup)
    if as_json:
        data = progress_data(name, figures.tallies, figures.ear)
        click.echo(json.dumps(data, ensure_ascii=False))
    else:
        Console().print(progress_table(name, figures.tallies, figures.ear, figures.recent))
    if chart is not None:
        _draw(name, figures, chart)
        click.echo(f"The chart is in {chart}", err=as_json)


def _draw(name: str, figures: "Figures", chart: Path) -> None:
    from trainer.reports.charts import progress_chart

    with into_file(chart):
        progress_chart(figures.ear, chart, learner=name, answers=figures.answers, since=figures.since)


@click.command()
def doctor() -> None:
    """Tell what Yardline runs on here: versions, the sound device, the memory, the exercises."""
    from trainer.assembly import Assembly
    from trainer.text.doctor import findings

    table = Table(box=None, show_header=False, padding=(0, 2, 0, 0))
    for finding in findings(Assembly(environ=os.environ)):
        table.add_row("ok" if finding.is_well else "look here", finding.what, finding.found)
    Console().print(table)
