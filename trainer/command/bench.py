"""``yardline bench``: how fast it is here, each figure beside its budget and its peer."""

import time

import click
from rich.console import Console


@click.command()
@click.option("--only", multiple=True, metavar="NAME", help="Only this row (may be repeated).")
def bench(only: tuple[str, ...]) -> None:
    """Measure how fast Yardline is on this machine, beside other programs doing the same."""
    from trainer.bench.measure import run_bench
    from trainer.bench.rows import ROWS, chosen_rows
    from trainer.bench.table import results_table

    console = Console()
    with console.status("measuring"):
        results = run_bench(chosen_rows(only, among=ROWS), clock=time.perf_counter)
    console.print(results_table(results))
