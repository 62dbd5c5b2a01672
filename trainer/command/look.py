"""``yardline exercises``, ``progress``, ``doctor`` and ``bench``: what there is and how it stands."""

import json
import os
from collections.abc import Sequence
from datetime import timedelta
from pathlib import Path
from typing import TYPE_CHECKING

import click
from rich.console import Console
from rich.table import Table

from trainer.command.folders import into_file
from trainer.command.options import LEARNER, learner_name
from trainer.refusal import Refused

if TYPE_CHECKING:
    from trainer.progress.figures import Tally

REMARKED_ON = timedelta(days=60)
"""How far back the answers go that remarks are made on."""


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
@click.option("--json", "as_json", is_flag=True, help="As JSON, for programs.")
@click.option("--chart", type=click.Path(path_type=Path), metavar="FILE", help="Draw it: .png, .svg or .pdf.")
def progress(learner: str, as_json: bool, chart: Path | None) -> None:
    """Show how often you name it right, octave band by octave band."""
    from trainer.assembly import Assembly
    from trainer.text.progress import progress_data, progress_table

    name = learner_name(learner)
    assembly = Assembly(environ=os.environ)
    with assembly.open_store() as store:
        tallies = store.tallies(learner=name)
        recent = list(store.attempts(learner=name, since=assembly.now() - REMARKED_ON))
        known = store.learners()
    if not tallies and known:
        raise Refused(f"there are no answers by {name!r} yet; there are some by {', '.join(known)}")
    if as_json:
        click.echo(json.dumps(progress_data(name, tallies), ensure_ascii=False))
    else:
        Console().print(progress_table(name, tallies, recent))
    if chart is not None:
        _draw(name, tallies, chart)
        click.echo(f"The chart is in {chart}", err=as_json)


def _draw(name: str, tallies: "Sequence[Tally]", chart: Path) -> None:
    from trainer.reports.charts import draw_progress

    with into_file(chart):
        draw_progress(name, tallies, chart)


@click.command()
def doctor() -> None:
    """Tell what Yardline runs on here: versions, the sound device, the memory, the exercises."""
    from trainer.assembly import Assembly
    from trainer.text.doctor import findings

    table = Table(box=None, show_header=False, padding=(0, 2, 0, 0))
    for finding in findings(Assembly(environ=os.environ)):
        table.add_row("ok" if finding.is_well else "look here", finding.what, finding.found)
    Console().print(table)
