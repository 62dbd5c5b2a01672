"""``yardline bench``: how fast it is here, each figure beside its budget; and how well ears are measured."""

import time
from collections.abc import Callable

import click
from rich.console import Console
from rich.progress import Progress, track

from trainer.refusal import Refused

QUICK_LEARNERS, LEARNERS = 40, 150


@click.command()
@click.argument("study", required=False, metavar="[thresholds]")
@click.option("--only", multiple=True, metavar="NAME", help="Only this row (may be repeated).")
@click.option(
    "--quick", is_flag=True, help="The study with fewer learners: rougher, in a quarter of the time."
)
def bench(study: str | None, only: tuple[str, ...], quick: bool) -> None:
    """Measure how fast Yardline is on this machine, beside other programs doing the same.

    With THRESHOLDS: how well it measures ears, tried on simulated learners, beside other ways to measure them.
    """
    if study is None:
        _speed(only)
    elif study in STUDIES:
        STUDIES[study](QUICK_LEARNERS if quick else LEARNERS)
    else:
        raise Refused(f"there is no study {study!r}, only {', '.join(STUDIES)}; a row is named with --only")


def _speed(only: tuple[str, ...]) -> None:
    from trainer.bench.measure import run_bench
    from trainer.bench.rows import chosen_rows
    from trainer.bench.table import CAPTION, result_lines

    rows = chosen_rows(only)
    console = Console()
    results = run_bench(rows, clock=time.perf_counter)
    for result in track(results, "measuring", total=len(rows), console=console, transient=True):
        console.print("\n".join(result_lines(result)), highlight=False, markup=False)
    console.print(CAPTION)


def _thresholds(learners: int) -> None:
    from trainer.bench.thresholds.study import days_of, parts_of, run_study
    from trainer.bench.thresholds.words import caption, reached_line

    console, parts = Console(), parts_of(learners)
    console.print(caption(learners), highlight=False, markup=False)
    with Progress(console=console, transient=True) as progress:
        task = progress.add_task("simulating", total=days_of(parts))
        for reached in run_study(parts, told=lambda: progress.advance(task)):
            console.print(reached_line(reached), highlight=False, markup=False, soft_wrap=True)


STUDIES: dict[str, Callable[[int], None]] = {"thresholds": _thresholds}
"""What is simulated, by name."""
