"""``yardline bench``: how fast it is here, each figure beside its budget and its peer."""

import time

import click
from rich.console import Console
from rich.progress import track


@click.command()
@click.option("--only", multiple=True, metavar="NAME", help="Only this row (may be repeated).")
def bench(only: tuple[str, ...]) -> None:
    """Measure how fast Yardline is on this machine, beside other programs doing the same."""
    from trainer.bench.measure import run_bench
    from trainer.bench.rows import chosen_rows
    from trainer.bench.table import CAPTION, result_lines

    rows = chosen_rows(only)
    console = Console()
    results = run_bench(rows, clock=time.perf_counter)
    for result in track(results, "measuring", total=len(rows), console=console, transient=True):
        console.print("\n".join(result_lines(result)), highlight=False, markup=False)
    console.print(CAPTION)
