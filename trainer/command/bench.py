"""``yardline bench``: how fast it is here, each figure beside its budget and its peer."""

import time

import click
from rich.console import Console


@click.command()
@click.option("--only", multiple=True, metavar="NAME", help="Only this row (may be repeated).")
def bench(only: tuple[str, ...]) -> None:
    """Measure how fast Yardline is on this machine, beside other programs doing the same."""
    from rich.progress import track

    from trainer.bench.measure import run_bench
    from trainer.bench.rows import chosen_rows
    from trainer.bench.table import results_table

    rows = chosen_rows(only)
    results = run_bench(rows, clock=time.perf_counter)
    measured = list(track(results, description="measuring", total=len(rows), transient=True))
    Console().print(results_table(measured))
