"""The ten lanes on paper: T75 in each octave band as a chalk line, its interval, week 1, the weeks, the aim."""

from collections.abc import Mapping, Sequence

from trainer.progress.ear_figures import EarFigures, WeekTrend
from trainer.progress.ear_words import TOO_EARLY, range_words, size_words, to_go_words, weeks_shown
from trainer.progress.figures.smallest_changes import LARGEST_DB, SmallestChange
from trainer.reports.lanes import label_of
from trainer.reports.print.surface import (
    AIM,
    BODY,
    DIM,
    HEADING,
    INK,
    LANE,
    LINE,
    PAPER,
    SMALL,
    Surface,
    fitted,
)
from trainer.season.pages import Aim

SCALE_DB = (0.0, 3.0, 6.0, 9.0, 12.0, LARGEST_DB)
LANE_PT = 46.0
SLICES = 10
"""In so many steps the shade of an interval thins out to either side."""
LEGEND = (
    "line: the smallest boost or cut named right 3 times in 4 · shade: its 90 % interval · dashes: week 1 · "
    "dots: week by week · triangle: this week's aim"
)


def draw_lanes(
    surface: Surface, ear: EarFigures, aims: Sequence[Aim], *, left: float, top: float, height: float
) -> None:
    """Draw the lanes with their scale, and their figures in words below."""
    zero, by_band = top + height, {aim.band_hz: aim for aim in aims}

    def at(size_db: float) -> float:
        return zero - height * min(size_db, LARGEST_DB) / LARGEST_DB

    _field(surface, len(ear.bands), left=left, top=top, zero=zero)
    for size_db in SCALE_DB:
        y = at(size_db)
        surface.line((left, y), (left + LANE_PT * len(ear.bands), y), dashes=(1.0, 3.0))
        surface.words((left - 6, y + 2.6), f"{size_db:g} dB", size=SMALL, colour=DIM, anchor="end")
    heights = {size_db: at(size_db) for change in ear.bands for size_db in _sizes(change)}
    for place, change in enumerate(ear.bands):
        x = left + place * LANE_PT
        if not change.is_early:
            _interval(
                surface, x, heights[change.interval.low], at(change.t75_db), heights[change.interval.high]
            )
            _dots(
                surface,
                x,
                [(week.week, at(week.t75_db[place])) for week in _shown(ear.trend, place)],
                ear.trend,
            )
            _lines(surface, x, change, at_t75=at(change.t75_db), at_week_1=_week_1(change, heights))
        if change.band_hz in by_band:
            _aim(surface, x, at(by_band[change.band_hz].aim_db))
        _foot(surface, x + LANE_PT / 2, zero, change)


def _sizes(change: SmallestChange) -> list[float]:
    return [
        change.interval.low,
        change.interval.high,
        *([] if change.week_1_db is None else [change.week_1_db]),
    ]


def _week_1(change: SmallestChange, heights: Mapping[float, float]) -> float | None:
    if change.week_1_db is None or change.week_1_db > LARGEST_DB:
        return None
    return heights[change.week_1_db]


def _shown(trend: Sequence[WeekTrend], place: int) -> list[WeekTrend]:
    shown = set(weeks_shown([week.week for week in trend]))
    return [week for week in trend if week.week in shown and week.t75_db[place] <= LARGEST_DB]


def _field(surface: Surface, count: int, *, left: float, top: float, zero: float) -> None:
    for place in range(1, count, 2):
        surface.rect((left + place * LANE_PT, top - 8), (LANE_PT, zero - top + 52), fill=LANE)
    surface.rect((left, top - 8), (count * LANE_PT, zero - top + 52), stroke=LINE)
    surface.line((left, zero), (left + count * LANE_PT, zero), colour=DIM)


def _interval(surface: Surface, x: float, low: float, now: float, high: float) -> None:
    """Draw the interval: darkest at the line, thinner towards its ends, where it stops."""
    wide = 0.5 * LANE_PT
    for end in (low, high):
        step = (end - now) / SLICES
        for number in range(SLICES):
            near, far = now + step * number, now + step * (number + 1)
            grey = round(178 + 60 * number / SLICES)
            fill = f"#{grey:02x}{grey:02x}{grey - 8:02x}"
            surface.rect(
                (x + (LANE_PT - wide) / 2, min(near, far)), (wide, abs(far - near) + 0.05), fill=fill
            )
        surface.line((x + (LANE_PT - wide) / 2, end), (x + (LANE_PT + wide) / 2, end), colour=DIM, width=0.5)


def _dots(surface: Surface, x: float, weeks: list[tuple[int, float]], trend: Sequence[WeekTrend]) -> None:
    last = max((week.week for week in trend), default=1)
    for week, y in weeks:
        surface.dot((x + 5 + (LANE_PT - 10) * (week - 0.5) / last, y), 1.6, fill=PAPER, stroke=INK)


def _lines(
    surface: Surface, x: float, change: SmallestChange, *, at_t75: float, at_week_1: float | None
) -> None:
    if at_week_1 is not None:
        surface.line(
            (x + 4, at_week_1), (x + LANE_PT - 4, at_week_1), colour=DIM, width=1.2, dashes=(3.0, 2.0)
        )
    if not change.is_beyond:
        surface.line((x + 8, at_t75), (x + LANE_PT - 8, at_t75), colour=INK, width=2.4)


def _aim(surface: Surface, x: float, y: float) -> None:
    right = x + LANE_PT
    surface.polygon([(right - 1, y - 3.2), (right - 1, y + 3.2), (right - 7, y)], fill=AIM)


def _foot(surface: Surface, middle: float, zero: float, change: SmallestChange) -> None:
    if change.is_early:
        surface.words((middle, zero + 13), "–", size=BODY, colour=DIM, anchor="middle")
        surface.words((middle, zero + 24), to_go_words(change), size=SMALL, colour=DIM, anchor="middle")
    else:
        surface.words((middle, zero + 13), size_words(change), bold=True, anchor="middle")
        basis = fitted(range_words(change, unit=""), LANE_PT, size=SMALL)
        surface.words((middle, zero + 24), basis, size=SMALL, colour=DIM, anchor="middle")
    surface.words((middle, zero + 39), label_of(change.band_hz), size=HEADING, bold=True, anchor="middle")


def early_words(ear: EarFigures) -> str:
    """Return what a dash in a lane means, where there is one."""
    is_early = any(change.is_early for change in ear.bands)
    return f"A dash: {TOO_EARLY}, so many answers to go." if is_early else ""
