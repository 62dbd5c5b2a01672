"""Progress in words and plain data: the figures of each octave band as a table, or for programs."""

import math
from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from rich.table import Table

from trainer.practice.attempt import Attempt
from trainer.practice.band_scale import band_label
from trainer.progress.ear_figures import EarFigures
from trainer.progress.ear_words import range_words, size_words, to_go_words
from trainer.progress.figures import BandFigure, Tally, band_figures_of
from trainer.progress.figures.improvement import Change, Improvement, TooEarly
from trainer.progress.figures.intervals import CONFIDENCE
from trainer.progress.figures.own_figures import OwnFigure
from trainer.progress.figures.smallest_changes import LARGEST_DB, SmallestChange
from trainer.progress.improvement_words import improvement_words
from trainer.progress.remarks import remarks_on

CELLS_PER_DB = 2
COLUMNS = ("octave band", "smallest change (T75)", "90 % interval", "at 6 dB", "answers", "0 to 15 dB")


def progress_data(learner: str, tallies: Sequence[Tally], ear: EarFigures) -> dict[str, Any]:
    """Return the figures for programs: shown from the first answer on, so mind the intervals.

    ``missing`` tells how many answers a band's T75 is still too early by.
    """
    counts = band_figures_of(tallies, fewest=0)
    bands = [_counted(count) | _named(change) for count, change in zip(counts, ear.bands, strict=True)]
    return {
        "learner": learner,
        "confidence": CONFIDENCE,
        "bands": bands,
        "improvement": _changed(ear.improvement),
        "own": [_own(figure) for figure in ear.own],
        "trend": [{"week": week.week, "t75_db": list(week.t75_db)} for week in ear.trend],
    }


def _own(figure: OwnFigure) -> dict[str, Any]:
    """Return the figure of a kind of question on its own: in its own unit, or a rate."""
    interval = figure.interval or (figure.rate.interval if figure.rate else None)
    return {
        "kind": figure.kind,
        "answers": figure.answers,
        "missing": figure.missing,
        "unit": figure.unit,
        "t75": figure.t75,
        "named": figure.rate.value if figure.rate else None,
        "low": interval.low if interval else None,
        "high": interval.high if interval else None,
    }


def _changed(found: Improvement | TooEarly) -> dict[str, Any]:
    """Return what changed since week 1, or why it is too early to tell."""
    if isinstance(found, TooEarly):
        why = {"too_early": improvement_words(found)} | asdict(found)
        return {"overall": why, "bands": [], "smaller_hz": [], "larger_hz": []}
    bands = [
        {"band_hz": one.band_hz, "then_db": one.then_db, "now_db": one.now_db, "is_told": one.is_told}
        | _compared(one.change)
        for one in found.bands
    ]
    told = {"smaller_hz": list(found.smaller_hz), "larger_hz": list(found.larger_hz)}
    return {"overall": _compared(found.overall), "bands": bands} | told


def _compared(change: Change) -> dict[str, float]:
    interval = change.interval
    return {"chance": change.chance, "ratio": change.ratio, "low": interval.low, "high": interval.high}


def _counted(count: BandFigure) -> dict[str, Any]:
    return {
        "band_hz": int(count.band_hz) if count.band_hz.is_integer() else count.band_hz,
        "attempts": _plain(count.asked),
        "right": _plain(count.right),
        "accuracy": count.accuracy,
        "low": count.low,
        "high": count.high,
    }


def _named(change: SmallestChange) -> dict[str, Any]:
    figures: dict[str, Any] = {
        "t75_db": change.t75_db,
        "t75_low_db": change.interval.low,
        "t75_high_db": change.interval.high,
        "week_1_db": change.week_1_db,
        "at_6_db": change.at_6_db.value,
    }
    is_new = change.answers <= 0.0
    return {"missing": change.missing} | {key: None if is_new else value for key, value in figures.items()}


def _plain(weight: float) -> float:
    """Return a sum of weights without the dust of adding: 3 for 2.9999999999999996."""
    rounded = round(weight, 6)
    return int(rounded) if float(rounded).is_integer() else rounded


def progress_table(
    learner: str, tallies: Sequence[Tally], ear: EarFigures, recent: Sequence[Attempt]
) -> Table:
    """Return the figures as a table ("too early to tell" where there is none), and below it what changed."""
    answers = math.fsum(tally.asked for tally in tallies)
    table = Table(
        *COLUMNS,
        title=f"{learner}: {answers:.0f} answers", title_justify="left", box=None, padding=(0, 2, 0, 0),
        caption="\n".join([improvement_words(ear.improvement), *remarks_on(recent, ear.holes, ear.own)]),
        caption_justify="left",
    )  # fmt: skip
    for count, change in zip(band_figures_of(tallies), ear.bands, strict=True):
        of_all = f"{count.right:.0f} of {count.asked:.0f}"
        if change.is_early:
            table.add_row(band_label(change.band_hz), size_words(change), to_go_words(change), "", of_all, "")
        else:
            at_6_db = f"{change.at_6_db.value:.0%}"
            figures = size_words(change), range_words(change), at_6_db, of_all, _bar(change)
            table.add_row(band_label(change.band_hz), *figures)
    return table


def _bar(change: SmallestChange) -> str:
    """Return a line from 0 to 15 dB with the interval as dashes, the figure as a mark, an arrow where it goes on."""
    last = round(LARGEST_DB * CELLS_PER_DB)
    low, middle, high = (
        round(size_db * CELLS_PER_DB)
        for size_db in (change.interval.low, change.t75_db, change.interval.high)
    )
    cells = ["─" if low <= cell <= high else "·" for cell in range(last + 1)]
    if middle <= last:
        cells[middle] = "┃"
    return "".join(cells) + ("→" if high > last else "")
