"""The season plan: weeks, aims between the weeks named, what is refused, and there and back through TOML."""

import itertools
import math
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer.dsp.octave_bands import NOMINAL_HZ
from trainer.progress.records import record_of
from trainer.progress.store import open_store
from trainer.refusal import Refused
from trainer.season.plan import Aims, SeasonPlan, ShowDay, usual_plan
from trainer.season.plan_text import (
    from_toml,
    keep_plan,
    plan_of,
    read_plan,
    show_of,
    to_toml,
    weekdays_of,
    write_plan,
)

STARTS = date(2031, 1, 6)
NOW = datetime(2031, 1, 1, tzinfo=UTC)
FINALS = ShowDay(date(2031, 3, 29), "Finals")


def test_the_usual_plan_is_twelve_weeks_of_falling_aims() -> None:
    plan = usual_plan(STARTS)
    assert (plan.weeks, plan.ends_on) == (12, date(2031, 3, 30))
    weekly = [plan.aims_in(week)[4] for week in range(1, 13)]
    assert weekly[0] == 8.0
    assert weekly[-1] == 5.5
    ratios = [later / sooner for sooner, later in itertools.pairwise(weekly)]
    assert ratios == pytest.approx([(5.5 / 8.0) ** (1 / 11)] * 11)


def test_days_lie_in_their_weeks_and_shows_come_in_turn() -> None:
    plan = usual_plan(STARTS, shows=[FINALS, ShowDay(date(2031, 2, 8), "Premiere")])
    assert [plan.week_of(STARTS + timedelta(days=day)) for day in (-1, 0, 6, 7, 83, 84)] == [
        None,
        1,
        1,
        2,
        12,
        None,
    ]
    assert plan.first_day(3) == date(2031, 1, 20)
    assert plan.next_show(STARTS) == ShowDay(date(2031, 2, 8), "Premiere")
    assert plan.next_show(date(2031, 2, 9)) == plan.next_show(FINALS.on) == FINALS
    assert plan.next_show(date(2031, 3, 30)) is None
    assert plan.aims_on(STARTS - timedelta(days=30)) == plan.aims_in(1)
    assert plan.aims_on(date(2031, 6, 1)) == plan.aims_in(12)


def test_aims_of_weeks_that_are_named_hold_and_those_between_fall_by_equal_ratios() -> None:
    aims = (Aims(2, (9.0,) * 10), Aims(4, (4.0,) * 10))
    plan = SeasonPlan("x", STARTS, date(2031, 2, 16), (1,), (), aims)
    assert [plan.aims_in(week)[0] for week in range(1, 7)] == pytest.approx([9, 9, 6, 4, 4, 4])


@settings(max_examples=30, deadline=None)
@given(
    weeks=st.integers(2, 60),
    size_db=st.floats(0.5, 15.0),
    title=st.text(st.characters(codec="utf-8", exclude_categories=("C", "Z")), min_size=1, max_size=30),
    minutes=st.sampled_from((3, 8, 15)),
    rehearsals=st.sets(st.integers(0, 6), min_size=1),
)
def test_a_plan_survives_toml(
    weeks: int, size_db: float, title: str, minutes: int, rehearsals: set[int]
) -> None:
    end = STARTS + timedelta(days=7 * weeks - 1)
    aims = (Aims(1, (8.0,) * 10), Aims(weeks, (size_db,) * 10))
    shows = (ShowDay(STARTS, title), ShowDay(end, "Finals"))
    plan = SeasonPlan(title, STARTS, end, tuple(sorted(rehearsals)), shows, aims, minutes)
    assert from_toml(to_toml(plan)) == plan


def test_a_plan_is_kept_and_another_takes_its_place(tmp_path: Path) -> None:
    with open_store(tmp_path / "store.sqlite", now=NOW) as store:
        assert plan_of(store) is None
        for number, title in enumerate(("first", "第二")):
            keep_plan(store, usual_plan(STARTS, title=title), now=NOW + timedelta(seconds=number))
        kept = plan_of(store)
        assert kept is not None
        assert kept.title == "第二"


SLIPS = {
    "": "no day it starts on",
    "starts = '2031-01-06'": "starts cannot be '2031-01-06' (a day is written 2031-01-06, without quotes)",
    "starts = 2031-01-06T10:00:00": "starts cannot be",
    "starts = 2031-01-06\nends = 2030-12-30": "a season ends after it starts, not 2031-01-06 to 2030-12-30; swapped?",
    "starts = 2031-01-06\nends = 2041-01-06": "is the year right?",
    "starts = 2031-01-06\nstart = 3": "'start' is none of title, starts",
    "starts = 2031-01-06\nblock_minutes = 10": "a day's block takes 3, 8, 15 minutes, not 10",
    "starts = 2031-01-06\nblock_minutes = true": "block_minutes cannot be True",
    "starts = 2031-01-06\nrehearsals = ['someday']": "one of mon, tue, wed, thu, fri, sat, sun, not 'someday'",
    "starts = 2031-01-06\nrehearsals = []": "rehearsal days are some of",
    "starts = 2031-01-06\n[[show]]\ndate = 2031-09-01\nname = 'Late'": "the show 'Late' on 2031-09-01 lies outside",
    "starts = 2031-01-06\n[[show]]\nname = 'x'": "show 1 has no date",
    "starts = 2031-01-06\nshow = [3]": "show 1 is a table",
    "starts = 2031-01-06\n[[aims]]\nweek = 1\ndb = [8]": "the aims of week 1 are 10 sizes, one an octave band, not 1",
    "starts = 2031-01-06\n[[aims]]\nweek = 99\ndb = [8,8,8,8,8,8,8,8,8,8]": "from 1 to 12, each once and in order",
    "starts = 2031-01-06\n[[aims]]\nweek = 1\ndb = [8,8,8,8,8,8,8,8,8,80]": "an aim of 80 dB (week 1) is out of reach",
    "starts = 2031-01-06\n[[aims]]\nweek = 1\ndb = ['8']": "sizes are numbers in dB",
    "starts = ": "it is no TOML",
}


@pytest.mark.parametrize("text", SLIPS)
def test_a_slip_in_a_plan_is_told(text: str) -> None:
    with pytest.raises(Refused) as told:
        from_toml(text)
    assert SLIPS[text] in str(told.value)


def test_the_plan_as_written_says_which_band_is_which() -> None:
    head = to_toml(usual_plan(STARTS)).partition("title")[0]
    assert ", ".join(f"{band_hz:g}" for band_hz in NOMINAL_HZ) in head
    assert math.isclose(from_toml(to_toml(usual_plan(STARTS))).aims_in(12)[0], 5.5)


def test_a_show_and_rehearsal_days_are_typed_in_words() -> None:
    assert show_of(" 2031-03-29 The Tide Tables ") == ShowDay(date(2031, 3, 29), "The Tide Tables")
    assert weekdays_of("Thursday, tue sat,TUE") == (1, 3, 5)
    for slip in ("Finals", "2031-02-30 Finals", "29.3.2031 Finals", ""):
        with pytest.raises(Refused, match="as in '2031-03-29 Finals'"):
            show_of(slip)
    with pytest.raises(Refused, match="not 'someday'"):
        weekdays_of("tue,someday")


def test_a_plan_goes_to_a_file_and_back_and_a_file_that_is_none_is_told(tmp_path: Path) -> None:
    plan, path = usual_plan(STARTS, title="潮の表", shows=[FINALS]), tmp_path / "plan.toml"
    write_plan(plan, path)
    assert read_plan(path) == plan
    path.write_bytes(b"\xef\xbb\xbf" + path.read_bytes())
    assert read_plan(path) == plan, "some editors put a mark before the text"
    path.write_bytes("title = 'Größe'".encode("latin-1"))
    with pytest.raises(Refused, match="no text in UTF-8"):
        read_plan(path)
    path.write_text("starts = 3")
    with pytest.raises(Refused, match=r"plan\.toml: the plan: starts cannot be 3 \(a day is written"):
        read_plan(path)
    with pytest.raises(Refused, match="cannot be read: No such file"):
        read_plan(tmp_path / "none.toml")


def test_aims_are_one_number_for_all_bands_or_ten() -> None:
    plan = from_toml("starts = 2031-01-06\n[[aims]]\nweek = 1\ndb = 9\n[[aims]]\nweek = 2\ndb = 4.5")
    assert plan.aims == (Aims(1, (9.0,) * 10), Aims(2, (4.5,) * 10))
    uneven = SeasonPlan("x", STARTS, FINALS.on, (1,), (), (Aims(1, (9.0, *(4.5,) * 9)),))
    assert "db = [9.0, 4.5, 4.5, 4.5, 4.5, 4.5, 4.5, 4.5, 4.5, 4.5]\n" in to_toml(uneven)
    assert from_toml(to_toml(uneven)) == uneven


def test_a_plan_kept_by_another_version_is_told_and_another_can_take_its_place(tmp_path: Path) -> None:
    with open_store(tmp_path / "store.sqlite", now=NOW) as store:
        for content in ({"toml": "starts = 2031-01-06\nmoon = 1"}, {"yaml": ""}):
            store.records.put([record_of("plan", "season", content, at=NOW)])
            with pytest.raises(Refused, match="kept by another version of this program"):
                plan_of(store)
        keep_plan(store, usual_plan(STARTS), now=NOW + timedelta(seconds=1))
        assert plan_of(store) == usual_plan(STARTS)


def test_a_season_at_the_end_of_the_calendar_is_refused() -> None:
    with pytest.raises(Refused, match="is the year right"):
        from_toml("starts = 9999-12-30")
