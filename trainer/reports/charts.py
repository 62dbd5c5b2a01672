"""The progress chart: the smallest change named, in ten lanes, now, in week 1 and week by week."""

from datetime import date
from pathlib import Path

from trainer.progress.ear_figures import EarFigures
from trainer.progress.ear_words import REVISED, range_words, size_words, to_go_words, weeks_shown
from trainer.progress.figures.smallest_changes import LARGEST_DB, SmallestChange
from trainer.progress.improvement_words import improvement_words
from trainer.reports.lanes import LEFT_PX, Lane, draw_lanes, label_of
from trainer.reports.paper import DIM, SMALL, TITLE, page, shortened, words

SCALE_DB = (0.0, 3.0, 6.0, 9.0, 12.0, LARGEST_DB)
HERE = (
    "chalk line: the change named right 3 times in 4 · blur: its 90 % interval · dashes: week 1 · "
    "dots: the weeks, left to right"
)
HOW_SURE = f"A wide blur means few answers so far: it narrows as you go on. The weeks are {REVISED}."


def progress_chart(
    ear: EarFigures, path: Path, *, learner: str, answers: float = 0.0, since: date | None = None
) -> None:
    """Draw the smallest change named, ten lanes side by side; lower is better.

    Parameters
    ----------
    ear
        The figures.
    path
        Where to: ``.png``, ``.svg`` or ``.pdf``.
    learner, answers, since
        Whose, from how many answers, and since which day.

    Raises
    ------
    Refused
        If the file's name ends otherwise, or it cannot be written.
    """
    basis = f"{_count(answers)} answers" + (f", since {since.day} {since:%B %Y}" if since else "")
    title = f"{shortened(learner)}: the smallest change named"
    with page(path) as axes:
        words(axes, LEFT_PX, 52, title, size_px=TITLE, weight="bold")
        words(axes, 1256, 52, basis, ha="right", color=DIM)
        words(axes, LEFT_PX, 92, HERE, color=DIM)
        draw_lanes(axes, lanes_of(ear), scale=[(_height(size_db), f"{size_db:g} dB") for size_db in SCALE_DB])
        words(axes, LEFT_PX - 12, 626, "Hz", size_px=SMALL, color=DIM, ha="right")
        words(axes, LEFT_PX, 664, improvement_words(ear.improvement))
        words(axes, LEFT_PX, 692, HOW_SURE, color=DIM)


def lanes_of(ear: EarFigures) -> list[Lane]:
    """Return what the lanes show; nothing of a band of which it is too early to tell."""
    return [_lane(change, _past(place, ear)) for place, change in enumerate(ear.bands)]


def _past(place: int, ear: EarFigures) -> tuple[tuple[float, float], ...]:
    """Return how far along, and how high, each week stands that is shown."""
    sizes = {week.week: week.t75_db[place] for week in ear.trend}
    shown = [week for week in weeks_shown(list(sizes)) if sizes[week] <= LARGEST_DB]
    return tuple(((week - 0.5) / max(sizes), _height(sizes[week])) for week in shown)


def _lane(change: SmallestChange, past: tuple[tuple[float, float], ...]) -> Lane:
    name = label_of(change.band_hz)
    if change.is_early:
        return Lane(name, figure="too early", basis=to_go_words(change))
    week_1_db = change.week_1_db
    return Lane(
        name,
        now=None if change.is_beyond else _height(change.t75_db),
        blur=(_height(change.interval.low), _height(change.t75_db), _height(change.interval.high)),
        goes_on=change.interval.high > LARGEST_DB,
        first=None if week_1_db is None or week_1_db > LARGEST_DB else _height(week_1_db),
        past=past,
        figure=size_words(change),
        basis=range_words(change, unit=""),
    )


def _height(size_db: float) -> float:
    return min(size_db, LARGEST_DB) / LARGEST_DB


def _count(answers: float) -> str:
    """Return a count in words; sums of weights are rounded to whole answers."""
    return f"{answers:,.0f}".replace(",", "\u202f")
