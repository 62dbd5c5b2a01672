"""``yardline progress``: the figures in a table and for programs, of everything or of one listening setup."""

import dataclasses
import json
from collections.abc import Iterable
from datetime import timedelta
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from audio_demo.season.learners import LEARNERS
from audio_demo.season.simulate import Season
from tests.command.conftest import Run
from trainer.assembly import Assembly, utc_now
from trainer.command.figures import figures_read
from trainer.practice.attempt import Attempt
from trainer.practice.catalogue import load
from trainer.refusal import Refused

KEPT = {"band_hz", "attempts", "right", "accuracy", "low", "high"}
"""What programs read before there were thresholds."""


@cache
def season(weeks: int) -> tuple[Attempt, ...]:
    """Return Heron's attempts; every other week was heard on loudspeakers."""
    made: list[Attempt] = []
    for week, attempts in enumerate(Season(load().exercises, utc_now(), weeks, 0).attempts(LEARNERS[0])):
        setup = "loudspeakers" if week % 2 else "headphones"
        made += [dataclasses.replace(attempt, setup=setup) for attempt in attempts]
    return tuple(made)


@pytest.fixture
def remember(home: Path) -> Any:
    def remember(attempts: Iterable[Attempt]) -> None:
        with Assembly(environ={"YARDLINE_HOME": str(home)}).open_store() as store:
            store.log.add_all(attempts)

    return remember


def told(run: Run, *options: str) -> dict[str, Any]:
    data: dict[str, Any] = json.loads(run("progress", "--learner", "Heron", "--json", *options).out)
    return data


def test_programs_get_thresholds_beside_what_they_got_before(run: Run, remember: Any) -> None:
    remember(season(4))
    data = told(run)
    assert set(data) == {"learner", "confidence", "bands", "improvement", "own", "trend"}
    assert len(data["bands"]) == 10
    for band in data["bands"]:
        assert set(band) == KEPT | {"missing", "t75_db", "t75_low_db", "t75_high_db", "week_1_db", "at_6_db"}
        assert 0.0 < band["t75_low_db"] < band["t75_db"] < band["t75_high_db"]
        assert 0.05 <= band["at_6_db"] <= 1.0
        assert (band["at_6_db"] > 0.75) == (band["t75_db"] < 6.0) or abs(band["at_6_db"] - 0.75) < 0.05
    assert [week["week"] for week in data["trend"]] == [1, 2, 3, 4, *([5] if len(data["trend"]) > 4 else [])]
    assert {len(week["t75_db"]) for week in data["trend"]} == {10}
    changed = data["improvement"]
    assert set(changed["overall"]) == {"chance", "ratio", "low", "high"}
    assert changed["overall"]["low"] < changed["overall"]["ratio"] < changed["overall"]["high"]
    assert [band["band_hz"] for band in changed["bands"]] == [band["band_hz"] for band in data["bands"]]
    for band in changed["bands"]:
        assert band["ratio"] == pytest.approx(band["now_db"] / band["then_db"])


def test_before_the_first_answer_there_is_no_threshold_but_a_reason(run: Run) -> None:
    data = told(run)
    for band in data["bands"]:
        keys = ("t75_db", "t75_low_db", "t75_high_db", "week_1_db", "at_6_db")
        assert [band[key] for key in keys] == [None] * 5
        assert (band["attempts"], band["missing"]) == (0, 20)
    assert data["trend"] == []
    why = data["improvement"]["overall"]
    assert (why["days_missing"], why["answers_missing"]) == (14, 100)
    assert "too early to tell" in why["too_early"]


def test_the_table_tells_thresholds_in_words_and_never_raw_accuracy(run: Run, remember: Any) -> None:
    remember(season(4))
    out = run("progress", "--learner", "Heron").out
    for column in (
        "octave band",
        "smallest change (T75)",
        "90 % interval",
        "at 6 dB",
        "answers",
        "0 to 15 dB",
    ):
        assert column in out
    assert "named right" not in out
    data = told(run)
    for band in data["bands"]:
        if band["t75_high_db"] <= 15.0:
            assert f"{band['t75_low_db']:.1f}–{band['t75_high_db']:.1f} dB" in out
        else:
            assert f"from {band['t75_low_db']:.1f} dB" in out
        assert f"{band['right']:.0f} of {band['attempts']:.0f}" in out
    assert "Since week 1:" in out


def test_the_bar_stands_where_the_figure_does(run: Run, remember: Any) -> None:
    """Two cells a decibel from 0 to 15: 31 cells, the mark in the one nearest to T75."""
    remember(season(4))
    rows = [line for line in run("progress", "--learner", "Heron").out.splitlines() if "┃" in line]
    known = [band for band in told(run)["bands"] if band["t75_db"] < 15.0]
    assert len(rows) == len(known)
    for row, band in zip(rows, known, strict=True):
        cells = row.split()[-1]
        assert cells.index("┃") == round(2 * band["t75_db"])
        assert len(cells.rstrip("→")) == 31
        assert cells.endswith("→") == (round(2 * band["t75_high_db"]) > 30)


def test_a_setup_has_figures_of_its_own(run: Run, remember: Any) -> None:
    attempts = season(4)
    remember(attempts)
    mine = [attempt for attempt in attempts if attempt.setup == "loudspeakers"]
    of_setup, of_all = told(run, "--setup", "loudspeakers"), told(run)
    assert sum(band["attempts"] for band in of_setup["bands"]) == pytest.approx(len(mine))
    assert sum(band["attempts"] for band in of_all["bands"]) == pytest.approx(len(attempts))
    widths = [
        [band["t75_high_db"] / band["t75_low_db"] for band in data["bands"]] for data in (of_setup, of_all)
    ]
    assert all(fewer > more for fewer, more in zip(*widths, strict=True)), "fewer answers, wider intervals"
    table = run("progress", "--learner", "Heron", "--setup", "loudspeakers").out
    assert f"Heron: {len(mine)} answers" in table


def test_an_unknown_setup_is_refused_with_those_there_are(run: Run, remember: Any) -> None:
    remember(season(2))
    ended = run("progress", "--learner", "Heron", "--setup", "kitchen")
    assert ended.code == 2
    assert ended.err.count("\n") == 1
    assert "'kitchen'; there are some on headphones, loudspeakers" in ended.err
    remember([dataclasses.replace(season(1)[0], learner="Plover", setup="", uid="ab" * 16)])
    assert "no answer names one" in run("progress", "--learner", "Plover", "--setup", "x").err


def test_somebody_without_answers_beside_somebody_with_is_told(home: Path, remember: Any) -> None:
    remember(season(1))
    with pytest.raises(Refused, match="there are some by Heron"):
        figures_read(Assembly(environ={"YARDLINE_HOME": str(home)}), "Plover")


def test_remarks_are_on_the_last_sixty_days(home: Path, remember: Any) -> None:
    old = [dataclasses.replace(attempt, at=attempt.at - timedelta(days=100)) for attempt in season(1)]
    remember(old)
    found = figures_read(Assembly(environ={"YARDLINE_HOME": str(home)}), "Heron")
    assert found.recent == ()
    assert found.answers == pytest.approx(len(old))
    assert found.since == old[0].at.date()
