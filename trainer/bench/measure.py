"""Measuring: rows run one after the other, and the stop watch they use."""

from collections.abc import Callable, Iterable, Iterator
from statistics import median

from trainer.bench.row import Clock, Result, Row, Scale


def run_bench(rows: Iterable[Row], *, clock: Clock, scale: Scale | None = None) -> Iterator[Result]:
    """Yield what comes of each row; one that fails says so, and the rest go on."""
    for row in rows:
        try:
            yield Result(row, row.measure(scale or Scale(), clock))
        except Exception as fault:  # a row may fail in any way: no library, no folder, no room
            yield Result(row, None, f"{type(fault).__name__}: {fault}")


def seconds_of(work: Callable[[], object], *, clock: Clock) -> float:
    """Return how long some work takes."""
    begun = clock()
    work()
    return clock() - begun


def median_s(works: Iterable[Callable[[], object]], *, clock: Clock) -> float:
    """Return the median time of some works, each done once."""
    return median(seconds_of(work, clock=clock) for work in works)
