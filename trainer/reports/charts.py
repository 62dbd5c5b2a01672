"""The progress chart: accuracy by octave band, in ten lanes, now, in week 1 and week by week."""

from collections.abc import Sequence
from pathlib import Path

from trainer.progress.figures import BandFigure, Tally, WeekFigures, accuracy_by_week_of, band_figures_of
from trainer.reports.lanes import LEFT_PX, Lane, draw_lanes, label_of
from trainer.reports.paper import DIM, SMALL, TITLE, page, shortened, words

SCALE = ((0.0, "0 %"), (0.25, "25 %"), (0.5, "50 %"), (0.75, "75 %"), (1.0, "100 %"))
HERE = (
    "chalk line: share named right, all weeks · blur: its 90 % interval · dashes: week 1 · "
    "dots: the weeks since, left to right"
)
HOW_SURE = "A wide blur means few answers so far: it narrows as you go on."


def progress_chart(
    now: Sequence[BandFigure], weeks: Sequence[WeekFigures], path: Path, *, learner: str, since: str = ""
) -> None:
    """Draw accuracy by octave band, ten lanes side by side.

    Parameters
    ----------
    now
        The figures over all weeks.
    weeks
        The figures week by week; week 1 gives the dashes, where it had enough answers.
    path
        Where to: ``.png``, ``.svg`` or ``.pdf``.
    learner, since
        Whose, and from when, in words.

    Raises
    ------
    Refused
        If the file's name ends otherwise, or it cannot be written.
    """
    last_week = max((week.week for week in weeks), default=1)
    lanes = [_lane(figure, _history(place, weeks), last_week) for place, figure in enumerate(now)]
    answers = sum(figure.asked for figure in now)
    with page(path) as axes:
        words(
            axes,
            LEFT_PX,
            52,
            f"{shortened(learner)}: named right, by octave band",
            size_px=TITLE,
            weight="bold",
        )
        words(axes, 1256, 52, f"{_count(answers)} answers{since and ', ' + since}", ha="right", color=DIM)
        words(axes, LEFT_PX, 92, HERE, color=DIM)
        draw_lanes(axes, lanes, scale=SCALE)
        words(axes, LEFT_PX - 12, 626, "Hz", size_px=SMALL, color=DIM, ha="right")
        words(axes, LEFT_PX, 672, HOW_SURE, color=DIM)


def draw_progress(learner: str, tallies: Sequence[Tally], path: Path) -> None:
    """Draw a learner's progress from their tallies; week 1 begins with the first of them."""
    first = min((tally.day for tally in tallies), default=None)
    weeks = accuracy_by_week_of(tallies, start=first) if first else ()
    since = f"since {first.day} {first:%B %Y}" if first else ""
    progress_chart(band_figures_of(tallies), weeks, path, learner=learner, since=since)


def _history(place: int, weeks: Sequence[WeekFigures]) -> list[tuple[int, float]]:
    """Return the weeks in which this band had enough answers, and its accuracy there."""
    found = ((week.week, week.bands[place].accuracy) for week in weeks)
    return [(week, accuracy) for week, accuracy in found if accuracy is not None]


def _lane(figure: BandFigure, history: Sequence[tuple[int, float]], last_week: int) -> Lane:
    first = next((accuracy for week, accuracy in history if week == 1 < last_week), None)
    ready = figure.accuracy is not None
    return Lane(
        name=label_of(figure.band_hz),
        now=figure.accuracy,
        low=figure.low,
        high=figure.high,
        first=first,
        past=tuple(((week - 0.5) / last_week, accuracy) for week, accuracy in history if week > 1),
        figure=f"{100 * (figure.accuracy or 0.0):.0f} %" if ready else "too few yet",
        basis=f"{_count(figure.right)} of {_count(figure.asked)}"
        if ready
        else f"{figure.missing} more to go",
    )


def _count(answers: float) -> str:
    """Return a count in words; sums of weights are rounded to whole answers."""
    return f"{answers:,.0f}".replace(",", "\u202f")
