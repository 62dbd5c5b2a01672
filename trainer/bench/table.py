"""The results as a table for the terminal."""

from collections.abc import Iterable

from rich.table import Table

from trainer.bench.row import Measured, Result, Row

WORDS = {True: "kept", False: "missed", None: "no budget"}


def results_table(results: Iterable[Result]) -> Table:
    """Return what was measured, what must be reached, and the peer measured beside it."""
    table = Table(
        "what", "measured", "must reach", "beside", "times better", "budget",
        box=None, padding=(0, 2, 0, 0), title_justify="left", caption_justify="left",
        caption="Figures of one run on this machine; other programs running here make them worse.",
    )  # fmt: skip
    for result in results:
        table.add_row(*_cells(result))
    return table


def _cells(result: Result) -> tuple[str, ...]:
    row, measured = result.row, result.measured
    what = f"{row.what} \\[{row.name}]"
    if measured is None:
        return what, "failed", _budget(row), "", "", result.trouble
    ratio = row.ratio(measured)
    return (
        f"{what}\n  {measured.note}" if measured.note else what,
        amount(measured.value, row.unit),
        _budget(row),
        _beside(measured, row.unit),
        "" if ratio is None else f"{ratio:.3g}",
        WORDS[row.is_met(measured)],
    )


def _budget(row: Row) -> str:
    sign = "≥" if row.more_is_better else "≤"
    parts = [] if row.limit is None else [f"{sign} {amount(row.limit, row.unit)}"]
    if row.ratio_limit is not None:
        parts.append(f"≥ {row.ratio_limit:g} times the peer")
    return ", ".join(parts)


def _beside(measured: Measured, unit: str) -> str:
    if measured.peer is None:
        return measured.beside
    return f"{amount(measured.peer, unit)}: {measured.beside}"


def amount(value: float, unit: str) -> str:
    """Return a figure with three digits and its unit."""
    return f"{value:.0f} {unit}" if abs(value) >= 1000.0 else f"{value:.3g} {unit}"
