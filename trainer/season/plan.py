"""The season plan: from when to when, the rehearsal days, the shows, what is aimed at week by week in each band."""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from trainer.practice.band_scale import OCTAVE_SCALE
from trainer.practice.sitting import BLOCK_MINUTES
from trainer.progress.thresholds.belief import FIRST_T75_DB
from trainer.refusal import Refused

WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
WEEK_DAYS = 7
USUAL_WEEKS = 12
MOST_WEEKS = 60
SMALLEST_AIM_DB, LARGEST_AIM_DB = 0.5, 15.0
LAST_AIM_DB = 5.5
"""What the last week aims at: simulated learners came from about 8 dB to about that in 60 days of 25 answers (no
figure from people is known)."""
LONGEST_NAME = 60


@dataclass(frozen=True, slots=True, order=True)
class ShowDay:
    """A day with a performance, and what it is called."""

    on: date
    name: str


@dataclass(frozen=True, slots=True)
class Aims:
    """What is aimed at in a week: T75 in dB, octave band by octave band, low to high."""

    week: int
    t75_db: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class SeasonPlan:
    """The plan of a season.

    Attributes
    ----------
    starts_on, ends_on
        The first and the last day.
    rehearsals
        The days of the week with rehearsal, 0 for Monday to 6.
    shows
        In their order in time.
    aims
        Of some weeks, in their order; between two of them aims fall by equal ratios, after the last they stay.
    block_minutes
        How long a day's block is to be.

    Raises
    ------
    Refused
        If it is no season; the message says why.
    """

    title: str
    starts_on: date
    ends_on: date
    rehearsals: tuple[int, ...]
    shows: tuple[ShowDay, ...]
    aims: tuple[Aims, ...]
    block_minutes: int = BLOCK_MINUTES[1]

    def __post_init__(self) -> None:
        _check_name("a season's title", self.title)
        if self.ends_on <= self.starts_on:
            raise Refused(f"a season ends after it starts, not {self.starts_on} to {self.ends_on}; swapped?")
        if self.weeks > MOST_WEEKS:
            raise Refused(
                f"a season of {self.weeks} weeks is too long: {MOST_WEEKS} at most; is the year right?"
            )
        if self.block_minutes not in BLOCK_MINUTES:
            lengths = ", ".join(map(str, BLOCK_MINUTES))
            raise Refused(f"a day's block takes {lengths} minutes, not {self.block_minutes}")
        if not self.rehearsals or not set(self.rehearsals) <= set(range(WEEK_DAYS)):
            raise Refused(f"rehearsal days are some of {', '.join(WEEKDAYS)}")
        for show in self.shows:
            _check_name("a show's name", show.name)
            if not self.starts_on <= show.on <= self.ends_on:
                raise Refused(
                    f"the show {show.name!r} on {show.on} lies outside the season, {self.starts_on} to {self.ends_on}"
                )
        _check_aims(self.aims, self.weeks)

    @property
    def weeks(self) -> int:
        """How many weeks there are, the last one begun counted whole."""
        return (self.ends_on - self.starts_on).days // WEEK_DAYS + 1

    def week_of(self, day: date) -> int | None:
        """Return which week a day lies in, from 1; None before and after the season."""
        if not self.starts_on <= day <= self.ends_on:
            return None
        return (day - self.starts_on).days // WEEK_DAYS + 1

    def first_day(self, week: int) -> date:
        """Return the first day of a week."""
        return self.starts_on + timedelta(days=WEEK_DAYS * (week - 1))

    def next_show(self, day: date) -> ShowDay | None:
        """Return the next show from a day on, today's included."""
        return next((show for show in self.shows if show.on >= day), None)

    def aims_in(self, week: int) -> tuple[float, ...]:
        """Return what is aimed at in a week, T75 in dB by octave band."""
        before = max(
            (aims for aims in self.aims if aims.week <= week), key=lambda aims: aims.week, default=None
        )
        after = min(
            (aims for aims in self.aims if aims.week >= week), key=lambda aims: aims.week, default=None
        )
        if before is None or after is None or before == after:
            known = before or after
            return known.t75_db if known is not None else ()
        share = (week - before.week) / (after.week - before.week)
        pairs = zip(before.t75_db, after.t75_db, strict=True)
        return tuple(math.exp((1.0 - share) * math.log(a) + share * math.log(b)) for a, b in pairs)

    def aims_on(self, day: date) -> tuple[float, ...]:
        """Return what is aimed at on a day: before the season as in its first week, after it as in its last."""
        week = (day - self.starts_on).days // WEEK_DAYS + 1
        return self.aims_in(min(max(week, 1), self.weeks))


def usual_plan(
    starts_on: date,
    *,
    title: str = "Season",
    ends_on: date | None = None,
    shows: Iterable[ShowDay] = (),
    rehearsals: tuple[int, ...] = (1, 3, 5),
    block_minutes: int = BLOCK_MINUTES[1],
) -> SeasonPlan:
    """Return a plan with what was left open as it is usual.

    Twelve weeks from pre-season to finals, rehearsals on three days a week (common practice, no source), and
    aims from what is believed of a newcomer down to `LAST_AIM_DB`, in all octave bands alike.
    """
    end = ends_on or _twelve_weeks_from(starts_on)
    weeks = (end - starts_on).days // WEEK_DAYS + 1
    first = Aims(1, (FIRST_T75_DB,) * len(OCTAVE_SCALE))
    last = Aims(max(weeks, 2), (LAST_AIM_DB,) * len(OCTAVE_SCALE))
    aims = (first, last) if weeks > 1 else (first,)
    return SeasonPlan(title, starts_on, end, rehearsals, tuple(sorted(shows)), aims, block_minutes)


def _twelve_weeks_from(day: date) -> date:
    try:
        return day + timedelta(days=USUAL_WEEKS * WEEK_DAYS - 1)
    except OverflowError:
        raise Refused(f"a season from {day} on has no end in the calendar; is the year right?") from None


def _check_name(what: str, name: str) -> None:
    if not name.strip() or len(name) > LONGEST_NAME or not name.isprintable():
        raise Refused(f"{what} has 1 to {LONGEST_NAME} letters in one line, not {name!r}")


def _check_aims(aims: tuple[Aims, ...], weeks: int) -> None:
    numbers = [one.week for one in aims]
    if not aims or numbers != sorted(set(numbers)) or not 1 <= numbers[0] <= numbers[-1] <= weeks:
        raise Refused(
            f"aims are of one or more weeks from 1 to {weeks}, each once and in order, not {numbers}"
        )
    for one in aims:
        if len(one.t75_db) != len(OCTAVE_SCALE):
            raise Refused(
                f"the aims of week {one.week} are {len(OCTAVE_SCALE)} sizes, one an octave band, not {len(one.t75_db)}"
            )
        for size_db in one.t75_db:
            if not SMALLEST_AIM_DB <= size_db <= LARGEST_AIM_DB:
                raise Refused(
                    f"an aim of {size_db:g} dB (week {one.week}) is out of reach of any drill: aims lie between "
                    f"{SMALLEST_AIM_DB:g} and {LARGEST_AIM_DB:g} dB"
                )
