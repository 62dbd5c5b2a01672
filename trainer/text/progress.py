"""Progress in words and plain data: the figures of each octave band as a table, or for programs."""

import math
from collections.abc import Sequence
from typing import Any

from rich.table import Table

from trainer.practice.attempt import Attempt
from trainer.practice.fields import band_label
from trainer.progress.figures import BandFigure, Tally, band_figures_of
from trainer.progress.figures.intervals import CONFIDENCE
from trainer.progress.remarks import remarks_on

BAR_CELLS = 20


def progress_data(learner: str, tallies: Sequence[Tally]) -> dict[str, Any]:
    """Return the figures for programs: shown from the first answer on, so mind the intervals."""
    bands = [
        {
            "band_hz": int(figure.band_hz) if figure.band_hz.is_integer() else figure.band_hz,
            "attempts": _plain(figure.asked),
            "right": _plain(figure.right),
            "accuracy": figure.accuracy,
            "low": figure.low,
            "high": figure.high,
        }
        for figure in band_figures_of(tallies, fewest=0)
    ]
    return {"learner": learner, "confidence": CONFIDENCE, "bands": bands}


def _plain(weight: float) -> float:
    """Return a sum of weights without the dust of adding: 3 for 2.9999999999999996."""
    rounded = round(weight, 6)
    return int(rounded) if float(rounded).is_integer() else rounded


def progress_table(learner: str, tallies: Sequence[Tally], recent: Sequence[Attempt]) -> Table:
    """Return the figures as a table ("too few yet" where there is none), with remarks on the recent answers."""
    answers = math.fsum(tally.asked for tally in tallies)
    table = Table(
        "octave band", "answers", "named right", "90 % interval", "",
        title=f"{learner}: {answers:.0f} answers", title_justify="left", box=None, padding=(0, 2, 0, 0),
        caption="\n".join(remarks_on(recent)), caption_justify="left",
    )  # fmt: skip
    for figure in band_figures_of(tallies):
        table.add_row(band_label(figure.band_hz), f"{figure.asked:.3g}", *_cells(figure))
    return table


def _cells(figure: BandFigure) -> tuple[str, str, str]:
    if figure.accuracy is None or figure.interval is None:
        return f"too few yet ({figure.missing} more)", "", ""
    low, high = figure.interval.low, figure.interval.high
    return f"{figure.accuracy:.0%}", f"{low:.0%} to {high:.0%}", _bar(low, figure.accuracy, high)


def _bar(low: float, accuracy: float, high: float) -> str:
    """Return a line from 0 to 1 with the interval as dashes and the figure as a mark."""
    cells = ["·"] * (BAR_CELLS + 1)
    for cell in range(round(low * BAR_CELLS), round(high * BAR_CELLS) + 1):
        cells[cell] = "─"
    cells[round(accuracy * BAR_CELLS)] = "┃"
    return "".join(cells)
