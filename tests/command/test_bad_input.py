"""Bad input: one clear sentence, exit 2, no traceback, nothing lost."""

import os
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest

from tests.command.conftest import Ended, Run


def refused(ended: Ended, *words: str) -> None:
    assert ended.code == 2
    assert ended.err.startswith("yardline: ")
    assert ended.err.count("\n") == 1
    assert "Traceback" not in ended.err
    for word in words:
        assert word in ended.err


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("rep", "octave"), ("no exercise 'octave'", "octave-tone")),
        (("rep", "octave-tone", "--size", "99"), ("size of 99", "1.5 to 15 dB")),
        (("rep", "octave-tone", "--size", "-6"), ("size of -6", "without a sign")),
        (("rep", "octave-tone", "--size", "nan"), ("size of nan",)),
        (("rep", "octave-tone", "--size", "six"), ("'six'",)),
        (("rep", "octave-tone", "--seed", "-1"), ("seed of -1", "0 to 4294967295")),
        (("rep", "octave-tone", "--show", "moon"), ("no show 'moon'", "field-show")),
        (("rep", "level", "--on", "mix"), ("section or a stem",)),
        (("rep",), ("EXERCISE", "--code")),
        (("rep", "--code", "octave-tone.field-show.AAAA-AAAA-AAAA-AAAA"), ("mistyped",)),
        (("rep", "--code", "hello"), ("no rep code",)),
        (("stems", "--show", "moon"), ("no show 'moon'",)),
        (("stems", "--seed", "4294967296"), ("seed of 4294967296",)),
    ],
)
def test_a_rep_or_show_that_cannot_be_made(
    run: Run, tmp_path: Path, arguments: tuple[str, ...], words: tuple[str, ...]
) -> None:
    refused(run(*arguments, "--out", str(tmp_path / "out")), *words)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("drill", "--text", "--exercise", "pitch"), ("no exercise 'pitch'",)),
        (("drill", "--text", "--reps", "0"), ("1<=x<=200",)),
        (("drill", "--text", "--size", "0.1"), ("size of 0.1",)),
        (("drill", "--text", "--show", "moon"), ("no show 'moon'",)),
        (("drill", "--text", "--learner", ""), ("at least one letter",)),
        (("drill", "--text", "--learner", "a\nb"), ("control characters",)),
        (("drill", "--text", "--learner", "Heron\udcff"), ("not valid UTF-8",)),
        (("progress", "--learner", "\udc80"), ("not valid UTF-8",)),
        (("drll",), ("No such command",)),
        (("progress", "--chart", "chart.bmp"), ("chart.bmp", ".png")),
        (("export", "answers.xls"), (".csv", ".jsonl")),
        (("bench", "--only", "nothing"), ("nothing",)),
    ],
)
def test_a_command_that_cannot_be_done(
    run: Run,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    arguments: tuple[str, ...],
    words: tuple[str, ...],
) -> None:
    monkeypatch.chdir(tmp_path)
    refused(run(*arguments), *words)
    assert list(tmp_path.glob("*.*")) == []


@pytest.mark.parametrize(
    "command", [("rep", "octave-tone", "--out"), ("stems", "--out"), ("drill", "--text", "--wave")]
)
def test_a_folder_that_cannot_be_written(run: Run, tmp_path: Path, command: tuple[str, ...]) -> None:
    (tmp_path / "file").write_text("kept")
    refused(run(*command, str(tmp_path / "file" / "below")), "file")
    assert (tmp_path / "file").read_text() == "kept"


def test_a_memory_whose_folder_cannot_be_made(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").write_text("")
    monkeypatch.setenv("YARDLINE_HOME", str(tmp_path / "file" / "home"))
    for command in (("progress",), ("drill", "--text"), ("export", str(tmp_path / "a.csv"))):
        refused(run(*command), "YARDLINE_HOME")


def test_a_memory_that_is_damaged_is_kept(run: Run, home: Path) -> None:
    home.mkdir()
    store = home / "yardline.sqlite"
    store.write_bytes(b"this is no database at all, but it may be dear to somebody" * 30)
    before = store.read_bytes()
    refused(run("progress"), "kept as it is")
    refused(run("drill", "--text"), "kept as it is")
    assert store.read_bytes() == before


def test_a_memory_of_a_newer_version_is_kept(run: Run, home: Path) -> None:
    assert run("progress").code == 0
    with sqlite3.connect(home / "yardline.sqlite") as database:
        table = next(
            name for (name,) in database.execute("SELECT name FROM sqlite_master") if "version" in name
        )
        columns = [row[1] for row in database.execute(f"PRAGMA table_info({table})")]
        database.execute(
            f"INSERT INTO {table} ({', '.join(columns)}) VALUES (99{', 0' * (len(columns) - 1)})"
        )
    database.close()
    refused(run("progress"), "newer")


def test_a_name_that_is_not_utf_8_on_a_real_command_line(home: Path) -> None:
    command = [os.fsencode(sys.executable), b"-m", b"trainer", b"drill", b"--text", b"--learner", b"Zo\xeb"]
    ended = subprocess.run(
        command, capture_output=True, env={**os.environ, "YARDLINE_HOME": str(home)}, check=False
    )
    assert ended.returncode == 2
    assert b"not valid UTF-8" in ended.stderr
    assert b"Traceback" not in ended.stderr
