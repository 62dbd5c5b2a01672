"""``yardline merge``, ``backup`` and ``export --records`` as they are used, from laptop to laptop."""

import os
import re
import sys
from pathlib import Path

import pexpect
import pytest

from tests.command.conftest import Ended, Run
from tests.command.test_bad_input import refused
from tests.progress.made_up import START, attempt
from trainer.progress.store import open_store
from trainer.season.roster import add_member, rename_member

ROOT = Path(__file__).parents[2]


@pytest.fixture
def laptop(tmp_path: Path) -> Path:
    """Return the store of another laptop: three answers, a member renamed."""
    with open_store(tmp_path / "laptop.sqlite", now=START) as store:
        store.log.add_all(attempt(number) for number in (1, 2, 3))
        add_member(store, "Heron", role="audio staff", now=START)
        rename_member(store, "Heron", "青鷺", now=START)
    return tmp_path / "laptop.sqlite"


def done(ended: Ended) -> str:
    assert (ended.code, ended.err) == (0, "")
    return ended.out


def test_a_laptop_is_merged_as_a_store_as_a_backup_or_as_an_export(
    run: Run, home: Path, tmp_path: Path, laptop: Path
) -> None:
    export, backup, csv = tmp_path / "all.jsonl", tmp_path / "away" / "backup.sqlite", tmp_path / "all.csv"
    assert done(run("merge", str(laptop))) == f"{laptop}: 3 new attempts, 1 new record\n"
    assert done(run("backup", str(backup))) == f"{backup} holds 3 attempts and is whole\n"
    assert done(run("export", "--records", str(export))) == f"3 attempts and 1 records are in {export}\n"
    again = done(run("merge", str(laptop), str(export), str(backup)))
    assert again.splitlines() == [f"{one}: 0 new attempts, 0 new records" for one in (laptop, export, backup)]
    listed = done(run("roster", "list"))
    (home / "yardline.sqlite").unlink()
    assert done(run("merge", str(export))) == f"{export}: 3 new attempts, 1 new record\n"
    assert done(run("roster", "list")) == listed
    assert "青鷺" in listed
    done(run("export", str(csv)))
    assert csv.read_text(encoding="utf-8-sig").count("octave-tone.1") == 3


def test_a_backup_without_a_name_goes_beside_the_memory_under_its_time(
    run: Run, home: Path, laptop: Path
) -> None:
    done(run("merge", str(laptop)))
    said = done(run("backup"))
    (made,) = (home / "backups").iterdir()
    assert said == f"{made} holds 3 attempts and is whole\n"
    assert re.fullmatch(r"yardline-\d{4}-\d\d-\d\d-\d{6}\.sqlite", made.name)


def test_what_cannot_be_done_is_told_in_a_sentence(
    run: Run, home: Path, tmp_path: Path, laptop: Path
) -> None:
    refused(run("backup"), "nothing to back up", "yardline.sqlite is not there yet")
    refused(run("merge"), "FILE...")
    refused(
        run("merge", str(laptop), str(tmp_path / "gone.sqlite")),
        "nothing was merged",
        "gone.sqlite is not there",
    )
    assert "Nobody yet" in done(run("roster", "list"))
    refused(run("merge", str(home / "yardline.sqlite")), "is the store itself")
    refused(run("backup", str(laptop)), "is there already", "never replaces a file")
    refused(run("backup", str(tmp_path)), "is a folder")
    refused(run("export", "--records", str(tmp_path / "all.csv")), "--records are for a .jsonl file")
    refused(run("export", "--records", "--learner", "Heron", str(tmp_path / "all.jsonl")), "give one of them")


def test_a_bar_shows_how_far_a_merge_is_on_a_terminal(home: Path, laptop: Path) -> None:
    with open_store(laptop, now=START) as store:
        store.log.add_all(attempt(number) for number in range(4, 400))
    environ = {**os.environ, "YARDLINE_HOME": str(home), "TERM": "xterm"}
    terminal = pexpect.spawn(
        sys.executable,
        ["-m", "trainer", "merge", str(laptop)],
        env=environ,
        encoding="utf-8",
        cwd=ROOT,
        timeout=60,
        dimensions=(24, 200),
    )
    terminal.expect(r"Merging .*\d+%")
    terminal.expect("399 new attempts, 1 new record")
    terminal.expect(pexpect.EOF)
    terminal.close()
    assert terminal.exitstatus == 0
