"""``yardline drill --text`` as it is used: answered in a terminal, kept at once, and gone on with after a kill."""

import json
import os
import re
import signal
import subprocess
import sys
from pathlib import Path

import pexpect
import pytest

from tests.command.conftest import Run
from tests.noise_show import SameNoise
from trainer.assembly import Assembly, utc_now
from trainer.practice.catalogue import Catalogue, load
from trainer.progress.store import open_store

ROOT = Path(__file__).parents[2]
DRILL = ("drill", "--text", "--exercise", "octave-tone", "--learner", "Heron", "--size", "9")


def test_a_newcomer_without_a_sound_device_gets_a_rep_and_leaves(
    run: Run, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SDL_AUDIODRIVER", "dummy")
    ended = run(*DRILL)
    assert ended.code == 0
    assert f"written to {home / 'sounds'} instead" in ended.out
    assert "Rep 1 of 10 · octave tone" in ended.out
    assert "comfortable level" in ended.out
    assert {path.name for path in (home / "sounds").iterdir()} == {"plain.wav", "changed.wav"}


def test_a_block_answered_in_every_way(run: Run, tmp_path: Path) -> None:
    typed = ("", "maybe", "1 up", "1 boost", "", "a", "9999", "2", "cut", "", "g", "")
    ended = run(*DRILL, "--reps", "3", "--wave", str(tmp_path / "waves"), typed=typed)
    assert ended.code == 0
    assert "3 of 3 reps answered" in ended.out
    assert "'maybe' is no answer" in ended.out
    assert "'up' is none of: boost, cut" in ended.out
    assert "'9999' is none of" in ended.out
    assert ended.out.count("To undo it: ") == 3
    assert "It was: " in ended.out
    figures = json.loads(run("progress", "--learner", "Heron", "--json").out)
    assert figures["learner"] == "Heron"
    assert [band["band_hz"] for band in figures["bands"]] == [
        31.5,
        63,
        125,
        250,
        500,
        1000,
        2000,
        4000,
        8000,
        16000,
    ]
    assert sum(band["attempts"] for band in figures["bands"]) == 3
    assert "too early to tell" in run("progress", "--learner", "Heron").out
    chart = tmp_path / "chart.png"
    assert run("progress", "--learner", "Heron", "--chart", str(chart)).code == 0
    assert chart.read_bytes().startswith(b"\x89PNG")
    assert run("export", str(tmp_path / "answers.csv")).code == 0
    assert (tmp_path / "answers.csv").read_text(encoding="utf-8-sig").count("octave-tone.field-show.") == 3
    assert "there are some by Heron" in run("progress", "--learner", "Plover").err


def test_a_block_can_be_had_again_from_its_seed(run: Run, tmp_path: Path) -> None:
    waves = str(tmp_path / "waves")
    said = [run(*DRILL, "--reps", "1", "--seed", "5", "--wave", waves, typed=("g",)).out for _ in range(2)]
    assert said[0] == said[1]
    assert "Rep code: " in said[0]


def test_going_on_is_offered_unless_another_block_is_asked_for(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shows = {key: SameNoise(key) for key in ("field-show", "indoor-percussion")}
    monkeypatch.setattr(Assembly, "shows", shows)
    monkeypatch.setattr(Assembly, "catalogue", Catalogue({"octave-tone": load()["octave-tone"]}, ()))
    plain = ("drill", "--text", "--learner", "Heron", "--wave", str(tmp_path / "waves"))
    tone = ("--exercise", "octave-tone")
    begun = run(*plain, *tone, "--show", "indoor-percussion", "--reps", "3", typed=("g",))
    assert "Go on?" not in begun.out
    for asked in (tone, ("--reps", "3"), ("--seed", "1"), ("--size", "9"), ("--show", "field-show")):
        other = run(*plain, *asked)
        assert "Rep 1 of" in other.out
        assert "Go on?" not in other.out
    left = run(*plain, typed=("what", "q"))
    assert (left.code, left.out.count("after 1 of 3 reps. Go on?")) == (0, 2)
    assert "'what' is neither Enter nor n" in left.out
    assert "Rep" not in left.out
    assert "Rep 1 of 14" in run(*plain, typed=("n",)).out
    assert "Go on?" not in run("drill", "--text", "--learner", "Plover", *plain[4:]).out
    gone_on = run(*plain, typed=("", "g", "", "g", ""))
    assert "Rep 2 of 3" in gone_on.out
    assert "3 of 3 reps answered" in gone_on.out
    assert "Go on?" not in run(*plain).out


def test_what_there_is_and_how_it_stands(run: Run, home: Path) -> None:
    listed = run("exercises")
    assert listed.code == 0
    assert all(key in listed.out for key in ("octave-tone", "level", "compression"))
    seen = run("doctor")
    assert seen.code == 0
    assert f"0 answers, 0 learners, in {home}" in seen.out


@pytest.mark.parametrize("command", [(), ("drill",)])
def test_without_text_the_window_opens_or_says_why_not(home: Path, command: tuple[str, ...]) -> None:
    environ = {**os.environ, "YARDLINE_HOME": str(home), "SDL_VIDEODRIVER": "dummy"}
    arguments = [sys.executable, "-m", "trainer", *command]
    ended = subprocess.run(
        arguments, env=environ, capture_output=True, text=True, check=False, timeout=60, cwd=ROOT
    )
    assert (ended.returncode, ended.stdout) == (2, "")
    assert "the display is 'dummy', which nobody sees" in ended.stderr
    assert "yardline drill --text" in ended.stderr
    assert "Traceback" not in ended.stderr


def test_every_answered_rep_of_a_block_that_is_killed_is_in_the_store(run: Run, home: Path) -> None:
    """25 reps through a pseudo-terminal; SIGKILL right after the reveal of the twelfth; then gone on with."""
    environ = {**os.environ, "YARDLINE_HOME": str(home), "SDL_AUDIODRIVER": "dummy"}
    arguments = ["-m", "trainer", *DRILL, "--reps", "25", "--show", "indoor-percussion"]
    terminal = pexpect.spawn(
        sys.executable, arguments, env=environ, encoding="utf-8", timeout=120, dimensions=(40, 200)
    )
    codes = []
    for number in range(1, 13):
        terminal.expect(rf"Rep {number} of 25")
        terminal.expect("a answer")
        terminal.sendline("1, boost")
        terminal.expect(r"Rep code: (octave-tone\.indoor-percussion\.[A-Z2-7-]{19})")
        codes.append(terminal.match.group(1))
        if number < 12:
            terminal.expect("Enter next rep")
            terminal.sendline("")
    os.kill(terminal.pid, signal.SIGKILL)
    terminal.close(force=True)
    with open_store(home / "yardline.sqlite", now=utc_now()) as store:
        attempts = list(store.log.attempts())
        store.check()
    assert [attempt.rep_code for attempt in attempts] == codes
    assert {attempt.learner for attempt in attempts} == {"Heron"}
    for attempt in attempts:
        offered = {one["key"]: one["options"] for one in json.loads(attempt.asked)}
        assert attempt.given_answer == {"band": offered["band"][0], "direction": "boost"}
    assert all(re.fullmatch("[0-9a-f]{32}", attempt.uid) for attempt in attempts)
    assert len({attempt.block for attempt in attempts}) == 1
    ended = run("drill", "--text", "--learner", "Heron", "--wave", str(home / "waves"), typed=("", "g"))
    assert ended.code == 0
    assert "You stopped after 12 of 25 reps. Go on? Enter goes on, n starts afresh" in ended.out
    assert "Rep 13 of 25 · octave tone · indoor percussion" in ended.out
    assert "13 of 25 reps answered" in ended.out
    with open_store(home / "yardline.sqlite", now=utc_now()) as store:
        later = list(store.log.attempts())
    assert later[:12] == attempts
    assert len({attempt.block for attempt in later}) == 1
    assert later[12].rep_code not in codes
    assert later[12].size == 9.0
