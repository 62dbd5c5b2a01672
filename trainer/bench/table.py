"""The results in words for the terminal: a figure, what it must reach, and the peer measured beside it."""

from collections.abc import Iterator

from trainer.bench.row import Measured, Result, Row

WORDS = {True: "kept", False: "missed", None: "no budget"}
CAPTION = "Figures of one run on this machine; other programs running here make them worse."


def result_lines(result: Result) -> Iterator[str]:
    """Yield what was measured in one row: the figure against its budget, then its peer, then remarks."""
    row, measured = result.row, result.measured
    yield f"{row.name}: {row.what}"
    if measured is None:
        yield f"    failed: {result.trouble}"
        return
    budget = _budget(row)
    against = f", must be {budget}: {WORDS[row.is_met(measured)]}" if budget else ""
    yield f"    {amount(measured.value, row.unit)}{against}"
    if measured.beside:
        yield f"    beside {_beside(row, measured)}"
    if measured.note:
        yield f"    ({measured.note})"


def _budget(row: Row) -> str:
    sign = "≥" if row.more_is_better else "≤"
    parts = [] if row.limit is None else [f"{sign} {amount(row.limit, row.unit)}"]
    if row.ratio_limit is not None:
        parts.append(f"≥ {row.ratio_limit:g} times better than the peer")
    return " and ".join(parts)


def _beside(row: Row, measured: Measured) -> str:
    if measured.peer is None:
        return measured.beside
    ratio = row.ratio(measured)
    times = "" if ratio is None else f", {ratio:.3g} times better"
    return f"{amount(measured.peer, row.unit)} of {measured.beside}{times}"


def amount(value: float, unit: str) -> str:
    """Return a figure with three digits and its unit."""
    return f"{value:.0f} {unit}" if abs(value) >= 1000.0 else f"{value:.3g} {unit}"
