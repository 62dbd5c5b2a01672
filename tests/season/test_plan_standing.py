"""How it stands with the plan's aims, in words: what is on track, behind, too close, and too early to tell."""

from datetime import date

import pytest

from trainer.dsp.octave_bands import NOMINAL_HZ
from trainer.season.pages import Aim
from trainer.season.plan import ShowDay, usual_plan
from trainer.season.plan_standing import standing_words
from trainer.season.plan_words import aims_words, rehearsals_in, season_words, shows_in, weekdays_words

ON, BEHIND, CLOSE = 0.95, 0.04, 0.5


def words(*chances: float, early: int = 0) -> str:
    """Return the words of chances, low band to high; the last one goes on."""
    whole = [*chances, *[chances[-1]] * (10 - len(chances))]
    aims = [Aim(band_hz, 6.0, chance) for band_hz, chance in zip(NOMINAL_HZ, whole, strict=True)]
    return standing_words(aims, NOMINAL_HZ[:early])


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        (words(ON), "On track in every band."),
        (words(BEHIND), "Behind in every band."),
        (words(CLOSE), "Too close to tell in every band."),
        (
            words(*[ON] * 6, BEHIND, CLOSE),
            "On track in 6 bands, behind at 2 kHz (chance 4 %), too close to tell in 3 bands.",
        ),
        (
            words(ON, BEHIND, 0.002, CLOSE),
            (
                "On track at 31.5 Hz, behind at 63 Hz (chance 4 %) and 125 Hz (chance below 1 %), too close to tell in "
                "7 bands."
            ),
        ),
        (
            words(0.002, BEHIND, BEHIND, ON),
            "On track in 7 bands, behind at 31.5 Hz (chance below 1 %), 63 Hz (chance 4 %) and 125 Hz (chance 4 %).",
        ),
        (words(*[BEHIND] * 4, ON), "On track in 6 bands, behind in 4 bands."),
        (words(ON, early=2), "On track in 8 bands, too early to tell in 2."),
        (words(ON, early=10), "Too early to tell in any band."),
        (standing_words([], ()), ""),
    ],
)
def test_a_standing_is_said_band_by_band_where_few_are_behind(said: str, expected: str) -> None:
    assert said == expected


def test_a_plan_is_said_in_a_line_its_weeks_in_cells() -> None:
    finals = ShowDay(date(2031, 3, 29), "Finals")
    plan = usual_plan(date(2031, 1, 6), shows=[finals])
    assert season_words(plan, date(2031, 3, 24)) == (
        "6 January 2031 to 30 March 2031, week 12 of 12; next show: Finals, 29 March 2031"
    )
    assert season_words(plan, date(2030, 12, 24)).startswith(
        "6 January 2031 to 30 March 2031, 12 weeks; next"
    )
    assert season_words(plan, date(2031, 4, 1)) == "6 January 2031 to 30 March 2031, 12 weeks"
    assert (shows_in(plan, 12), shows_in(plan, 11)) == ("Finals (2031-03-29)", "")
    assert (weekdays_words((1,)), weekdays_words((1, 3, 5))) == ("Tue", "Tue, Thu and Sat")
    assert (aims_words([8.0] * 10), aims_words([4.04] * 10), aims_words([4.0, 8.0])) == (
        "8.0 dB",
        "4.0 dB",
        "4.0–8.0 dB",
    )


def test_rehearsals_are_those_days_of_the_calendar_in_a_short_last_week_too() -> None:
    """From Wednesday 8 January 2031 on, for nine days: the calendar's Tuesdays, Thursdays and Saturdays."""
    plan = usual_plan(date(2031, 1, 8), ends_on=date(2031, 1, 16))
    weeks = (range(8, 15), range(15, 17))
    counts = [sum(f"{date(2031, 1, day):%a}" in ("Tue", "Thu", "Sat") for day in days) for days in weeks]
    assert [rehearsals_in(plan, week) for week in (1, 2)] == counts == [3, 1]
