"""``yardline season``: a plan made, shown, saved, edited and loaded; who is on track."""

import json
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from tests.command.conftest import Ended, Run
from tests.command.test_bad_input import refused
from tests.progress.made_up import BANDS, answered
from trainer.progress.store import open_store

TODAY = datetime.now(UTC).date()
STARTS = TODAY - timedelta(days=8)
PREMIERE = TODAY + timedelta(days=2)
MADE = (
    "season",
    "new",
    "--title",
    "The Tide Tables",
    "--starts",
    f"{STARTS}",
    "--show",
    f"{PREMIERE} Premiere",
)


def done(ended: Ended) -> str:
    assert (ended.code, ended.err) == (0, "")
    return ended.out


def drilled(home: Path, learner: str, *, right: bool, first: int, count: int = 200) -> None:
    """Remember answers of yesterday, all right at 3 dB or all wrong at 12."""
    at = datetime.combine(TODAY - timedelta(days=1), datetime.min.time(), tzinfo=UTC)
    with open_store(home / "yardline.sqlite", now=at) as store:
        store.log.add_all(
            answered(
                first + number,
                band_hz=BANDS[number % 10],
                said_hz=BANDS[(number + 5 * (not right)) % 10],
                learner=learner,
                at=at + timedelta(seconds=number),
                size=3.0 if right else 12.0,
            )
            for number in range(count)
        )


def test_a_plan_is_made_shown_edited_and_shown_again(run: Run, tmp_path: Path) -> None:
    made = done(run(*MADE, "--days", "mon,wed", "--minutes", "15"))
    assert "week 2 of 12; next show: Premiere" in made
    assert "Rehearsals on Mon and Wed; a block of 15 minutes a day." in made
    assert [line.split()[0] for line in made.splitlines()[2:]] == ["week", *map(str, range(1, 13))]
    assert f"Premiere ({PREMIERE})" in next(line for line in made.splitlines() if line.startswith("2 (now)"))
    assert done(run("season", "show")) == made, "nobody is on the roster yet"
    file = tmp_path / "plan.toml"
    assert f"The plan is in {file}" in done(run("season", "save", str(file)))
    edited = file.read_text(encoding="utf-8").replace("db = 5.5", f"db = {[4.0] * 9 + [6.0]}")
    file.write_text(edited, encoding="utf-8")
    assert "4.0–6.0 dB" in done(run("season", "load", str(file)))
    last = done(run("season", "aims")).splitlines()[-1].split()
    assert last == ["12", *["4.0"] * 9, "6.0"]


def test_a_plan_is_not_lost_by_making_another(run: Run) -> None:
    done(run(*MADE))
    refused(run("season", "new"), "there is a plan already (The Tide Tables", "--replace", "season save")
    assert "Season: " in done(run("season", "new", "--replace"))


def test_programs_get_the_plan_and_everybodys_standing(run: Run, home: Path) -> None:
    done(run(*MADE))
    drilled(home, "Heron", right=True, first=1)
    drilled(home, "Plover", right=False, first=1001)
    drilled(home, "Dunlin", right=True, first=2001, count=5)
    done(run("roster", "add", "Avocet", "--role", "audio staff"))
    told: dict[str, Any] = json.loads(done(run("season", "show", "--json")))
    assert (told["week"], told["starts"], len(told["weeks"])) == (2, str(STARTS), 12)
    assert sum(week["rehearsals"] for week in told["weeks"]) == 36
    by_name = {one["name"]: one for one in told["learners"]}
    assert list(by_name) == ["Avocet", "Dunlin", "Heron", "Plover"]
    assert by_name["Heron"]["standing"] == "On track in every band."
    assert by_name["Plover"]["standing"] == "Behind in every band."
    assert by_name["Dunlin"]["standing"] == by_name["Avocet"]["standing"] == "Too early to tell in any band."
    assert {aim["too_early"] for aim in by_name["Dunlin"]["aims"]} == {True}
    assert min(aim["chance"] for aim in by_name["Heron"]["aims"]) > 0.9
    assert {aim["aim_db"] for aim in by_name["Heron"]["aims"]} == {told["weeks"][1]["aims_db"][0]}
    done(run("roster", "archive", "Plover"))
    assert "Plover" not in done(run("season", "show"))


def test_one_learners_aims_are_told_band_by_band(run: Run, home: Path) -> None:
    done(run(*MADE))
    drilled(home, "Heron", right=True, first=1)
    done(run("roster", "rename", "Heron", "Grey Heron"))
    said = done(run("season", "aims", "--learner", "Grey Heron"))
    assert said.count("on track") == 10
    assert said.endswith("Grey Heron: On track in every band.\n")
    told = json.loads(done(run("season", "aims", "--learner", "Heron", "--json")))
    assert (told["name"], len(told["aims"])) == ("Grey Heron", 10)
    refused(run("season", "aims", "--learner", "Gray Heron"), "did you mean 'Grey Heron'?")


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (("--starts", "6.1.2031"), ("'6.1.2031'", "%Y-%m-%d")),
        (("--starts", "2031-03-30", "--ends", "2031-01-06"), ("ends after it starts", "swapped?")),
        (("--starts", "2031-01-06", "--ends", "2041-01-06"), ("is the year right?",)),
        (("--days", "tue,someday"), ("one of mon, tue", "'someday'")),
        (("--days", ""), ("rehearsal days are some of mon",)),
        (("--minutes", "10"), ("3, 8, 15 minutes, not 10",)),
        (("--show", "Finals"), ("as in '2031-03-29 Finals'",)),
        (("--show", "2001-01-01 Finals"), ("outside the season",)),
        (("--title", ""), ("a season's title", "not ''")),
    ],
)
def test_bad_input_is_told_and_nothing_is_kept(
    run: Run, options: tuple[str, ...], words: tuple[str, ...]
) -> None:
    refused(run("season", "new", *options), *words)
    refused(run("season", "show"), "no season plan yet", "`yardline season new`")


def test_without_a_plan_and_with_a_file_that_is_none_one_sentence_says_so(run: Run, tmp_path: Path) -> None:
    for command in (("aims",), ("save", str(tmp_path / "x.toml"))):
        refused(run("season", *command), "no season plan yet")
    assert not (tmp_path / "x.toml").exists()
    refused(run("season", "load", str(tmp_path / "x.toml")), "x.toml cannot be read")
    (tmp_path / "x.toml").write_text("starts = 2031-01-06\nrehersals = []", encoding="utf-8")
    refused(run("season", "load", str(tmp_path / "x.toml")), "did you mean 'rehearsals'?")


def test_a_plan_starts_today_where_no_day_is_named(run: Run) -> None:
    before = datetime.now(UTC).date()
    done(run("season", "new"))
    told = json.loads(done(run("season", "show", "--json")))
    assert before <= date.fromisoformat(told["starts"]) <= datetime.now(UTC).date()
    assert told["learners"] == []
