"""``yardline roster`` as it is used, and names that are shown taken by every command that asks who."""

import json
from pathlib import Path

import pytest

from tests.command.conftest import Ended, Run
from tests.command.test_bad_input import refused
from tests.noise_show import SameNoise
from tests.progress.made_up import START, attempt
from trainer.assembly import Assembly
from trainer.progress.export import read_jsonl
from trainer.progress.store import open_store
from trainer.season.roster import roster_of


def answered(home: Path, *learners: str) -> None:
    with open_store(home / "yardline.sqlite", now=START) as store:
        store.log.add_all(attempt(number, learner=name) for number, name in enumerate(learners, 1))


def listed(run: Run, *more: str) -> list[dict[str, object]]:
    members: list[dict[str, object]] = json.loads(run("roster", "list", "--json", *more).out)
    return members


def done(ended: Ended) -> str:
    assert (ended.code, ended.err) == (0, "")
    return ended.out


def test_a_roster_is_kept_from_the_first_member_to_the_last(run: Run, home: Path) -> None:
    assert "Nobody yet" in done(run("roster", "list"))
    answered(home, "Dunlin")
    added = run(
        "roster", "add", "Heron", "--role", "audio staff", "--section", "brass", "--since", "2030-09-01"
    )
    assert done(added) == "Heron is on the roster as audio staff.\n"
    assert done(run("roster", "add", "青鷺")) == "青鷺 is on the roster as student.\n"
    assert "Grey [Heron]" in done(run("roster", "rename", "Heron", "Grey [Heron]"))
    assert done(run("roster", "change", "青鷺", "--section", "battery")) == "青鷺 is student, with battery.\n"
    table = done(run("roster", "list"))
    assert [line.split()[0] for line in table.splitlines()] == ["name", "Grey", "青鷺", "Dunlin"]
    assert "Grey [Heron]" in table
    assert "2030-09-01" in table
    assert listed(run)[0] == {
        "name": "Grey [Heron]",
        "role": "audio staff",
        "section": "brass",
        "since": "2030-09-01",
        "archived": False,
        "learner": "Heron",
    }
    done(run("roster", "archive", "Grey [Heron]"))
    assert [one["name"] for one in listed(run)] == ["青鷺", "Dunlin"]
    assert [one["archived"] for one in listed(run, "--all")] == [True, False, False]
    assert "archived" in done(run("roster", "list", "--all"))
    done(run("roster", "bring-back", "Heron"))
    assert len(listed(run)) == 3


def test_a_roster_goes_to_a_spreadsheet_and_back(run: Run, tmp_path: Path) -> None:
    done(run("roster", "add", "Heron", "--section", "=brass"))
    first, again = tmp_path / "roster.csv", tmp_path / "again.csv"
    assert done(run("roster", "export", str(first))) == f"The roster is in {first}, 1 in all\n"
    assert "'=brass" in first.read_text(encoding="utf-8-sig")
    assert done(run("roster", "import", str(first))) == "0 added, 0 changed, 1 as they were\n"
    first.write_text("name;role;section\nHeron;;=brass\nPlover;student;=battery\n", encoding="utf-8")
    assert done(run("roster", "import", str(first))) == "1 added, 0 changed, 1 as they were\n"
    done(run("roster", "export", str(again)))
    assert [one["section"] for one in listed(run)] == ["=brass", "=battery"]


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("add", "heron"), ("looks like 'Heron'", "slip")),
        (("add", "Heron"), ("taken",)),
        (("add", "Snipe", "--role", "staf"), ("'staf'", "'audio staff'")),
        (("add", "Snipe", "--since", "tomorrow"), ("'tomorrow'",)),
        (("add", "Her\udcffn"), ("not valid UTF-8",)),
        (("rename", "Herron", "Snipe"), ("nobody called 'Herron'", "did you mean 'Heron'")),
        (("archive", "Knot"), ("nobody called 'Knot'",)),
        (("bring-back", "Heron"), ("not archived",)),
        (("import", "nowhere.csv"), ("nowhere.csv", "cannot be read")),
        (("export", str(Path(__file__) / "roster.csv")), ("test_roster.py", "folder")),
        (("lst",), ("No such command",)),
    ],
)
def test_what_cannot_be_done_is_told(run: Run, arguments: tuple[str, ...], words: tuple[str, ...]) -> None:
    run("roster", "add", "Heron")
    before = listed(run)
    refused(run("roster", *arguments), *words)
    assert listed(run) == before


def test_commands_take_the_shown_name_and_find_the_answers(run: Run, home: Path, tmp_path: Path) -> None:
    answered(home, "Heron", "Plover")
    done(run("roster", "rename", "Heron", "Grey"))
    figures = json.loads(done(run("progress", "--learner", "Grey", "--json")))
    assert figures["learner"] == "Grey"
    assert sum(band["attempts"] for band in figures["bands"]) == 1
    assert "Grey" in done(run("progress", "--learner", "Heron"))
    refused(run("progress", "--learner", "GREY"), "looks like 'Grey'")
    refused(run("progress", "--learner", "Curlew"), "there are some by Grey, Plover")
    done(run("export", str(tmp_path / "all.jsonl"), "--learner", "Grey"))
    assert [one.learner for one in read_jsonl(tmp_path / "all.jsonl")] == ["Heron"]
    refused(run("export", str(tmp_path / "none.jsonl"), "--learner", "Gray"), "did you mean 'Grey'")


def test_an_answer_under_a_shown_name_is_kept_under_the_learners_own(
    run: Run, home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Assembly, "shows", {"field-show": SameNoise("field-show")})
    done(run("roster", "add", "Heron"))
    done(run("roster", "rename", "Heron", "Grey"))
    drill = ("drill", "--text", "--exercise", "octave-tone", "--reps", "1", "--wave", str(tmp_path / "waves"))
    assert "1 of 1 reps" in done(run(*drill, "--learner", "Grey", typed=("g", "")))
    with open_store(home / "yardline.sqlite", now=START) as store:
        assert [one.learner for one in store.log.attempts()] == ["Heron"]
        assert [one.name for one in roster_of(store).members] == ["Grey"]
    refused(run(*drill, "--learner", "heron"), "looks like")
