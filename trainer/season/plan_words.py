"""The season plan in words: one line of it, its weeks as a table's cells, and as plain data for programs."""

from collections.abc import Sequence
from datetime import date
from typing import Any

from trainer.practice.band_scale import OCTAVE_SCALE
from trainer.progress.improvement_words import listed
from trainer.season.plan import WEEK_DAYS, WEEKDAYS, SeasonPlan


def season_words(plan: SeasonPlan | None, today: date) -> str:
    """Return the plan in a line: from when to when, which week this is, the next show."""
    if plan is None:
        return "No season plan yet."
    week, show = plan.week_of(today), plan.next_show(today)
    span = f"{day_words(plan.starts_on)} to {day_words(plan.ends_on)}"
    here = f"week {week} of {plan.weeks}" if week is not None else f"{plan.weeks} weeks"
    coming = f"; next show: {show.name}, {day_words(show.on)}" if show is not None else ""
    return f"{span}, {here}{coming}"


def day_words(day: date) -> str:
    """Return a day as it is said: "6 January 2031"."""
    return f"{day.day} {day:%B %Y}"


def weekdays_words(days: Sequence[int]) -> str:
    """Return days of the week: "Tue, Thu and Sat"."""
    return listed([WEEKDAYS[day].capitalize() for day in days])


def aims_words(sizes_db: Sequence[float]) -> str:
    """Return a week's aims in short: "6.8 dB", or from the smallest to the largest."""
    low, high = f"{min(sizes_db):.1f}", f"{max(sizes_db):.1f}"
    return f"{low} dB" if low == high else f"{low}–{high} dB"


def shows_in(plan: SeasonPlan, week: int) -> str:
    """Return the shows of a week with their days, in words; empty where there is none."""
    shows = [show for show in plan.shows if plan.week_of(show.on) == week]
    return ", ".join(f"{show.name} ({show.on.isoformat()})" for show in shows)


def plan_data(plan: SeasonPlan, today: date) -> dict[str, Any]:
    """Return a plan for programs; ``week`` is null outside the season."""
    return {
        "title": plan.title,
        "starts": plan.starts_on.isoformat(),
        "ends": plan.ends_on.isoformat(),
        "week": plan.week_of(today),
        "rehearsals": [WEEKDAYS[day] for day in plan.rehearsals],
        "block_minutes": plan.block_minutes,
        "shows": [{"date": show.on.isoformat(), "name": show.name} for show in plan.shows],
        "bands_hz": list(OCTAVE_SCALE.names_hz),
        "weeks": [
            {
                "week": week,
                "starts": plan.first_day(week).isoformat(),
                "rehearsals": rehearsals_in(plan, week),
                "aims_db": [round(size_db, 3) for size_db in plan.aims_in(week)],
            }
            for week in range(1, plan.weeks + 1)
        ],
    }


def rehearsals_in(plan: SeasonPlan, week: int) -> int:
    """Return how many rehearsals a week holds; the last week may be cut short."""
    days = min(WEEK_DAYS, (plan.ends_on - plan.first_day(week)).days + 1)
    first = plan.first_day(week).weekday()
    return sum((first + day) % WEEK_DAYS in plan.rehearsals for day in range(days))
