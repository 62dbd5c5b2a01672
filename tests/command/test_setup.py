"""``yardline setup``: a check kept or refused, a setup chosen, forgotten and calibrated; each trouble one sentence."""

from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest

from tests.command.conftest import Run
from tests.fakes import RecordingPlayer
from trainer.assembly import Assembly
from trainer.dsp.octave_bands import NOMINAL_HZ
from trainer.playback.player import Version
from trainer.practice.setup_check import CATCHES, trials
from trainer.progress.setups import Setup, chosen_setup, keep_setup

COUNT = 2 * len(NOMINAL_HZ) + CATCHES
ORDER = trials(np.random.default_rng(3))
HERON = ("--learner", "Heron")


class AtFourSeconds(RecordingPlayer):
    """A player whose loops are always four seconds in when somebody presses."""

    @property
    def heard_position_s(self) -> float:
        return 4.0


@pytest.fixture
def player(monkeypatch: pytest.MonkeyPatch) -> AtFourSeconds:
    made = AtFourSeconds()
    monkeypatch.setattr("trainer.playback.device.open_player", lambda **_: made)
    return made


def kept(home: Path) -> Setup | None:
    with Assembly(environ={"YARDLINE_HOME": str(home)}).open_store() as store:
        return chosen_setup(store, "Heron")


def know(home: Path, *setups: Setup) -> None:
    with Assembly(environ={"YARDLINE_HOME": str(home)}).open_store() as store:
        for setup in setups:
            keep_setup(store, "Heron", setup)


HEADPHONES = Setup("headphones", "", NOMINAL_HZ, datetime(2031, 2, 3, tzinfo=UTC))
LAPTOP = Setup("laptop", "", NOMINAL_HZ[3:], datetime(2031, 2, 4, tzinfo=UTC))


def test_a_check_keeps_the_bands_that_were_heard_and_chooses_them(
    run: Run, home: Path, player: AtFourSeconds
) -> None:
    typed = tuple("" if trial.band_hz >= 125.0 else "n" for trial in ORDER)
    ended = run("setup", "check", *HERON, "--name", "laptop", "--seed", "3", typed=("+", "", *typed))
    assert (ended.code, ended.err) == (0, "")
    assert "laptop plays 125 Hz to 16 kHz. You listen on it from now on." in ended.out
    assert ended.out.index("comfortable level") < ended.out.index(f"1 of {COUNT}")
    found = kept(home)
    assert found is not None
    assert (found.name, found.usable_hz) == ("laptop", NOMINAL_HZ[2:])
    assert player.is_closed
    assert set(player.loads[0]) == {Version.PLAIN}
    assert "laptop" in run("setup", "list", *HERON).out


@pytest.mark.parametrize(
    ("typed", "code", "said"),
    [
        (("",) * COUNT, 2, f"something was heard in {CATCHES} of the silences, so the check tells nothing"),
        (("n",) * COUNT, 2, "0 usable octave bands are too few to ask about: it takes 3"),
        (("n", "n", "q"), 0, "Stopped: nothing is kept of the check."),
        (("n", "n"), 0, "Stopped: nothing is kept of the check."),
    ],
    ids=["pressed always", "heard nothing", "left", "no more lines"],
)
def test_what_tells_nothing_is_not_kept(
    run: Run, home: Path, player: AtFourSeconds, typed: tuple[str, ...], code: int, said: str
) -> None:
    ended = run("setup", "check", *HERON, "--seed", "3", typed=("", *typed))
    assert ended.code == code
    assert said in ended.out + ended.err
    assert kept(home) is None
    assert player.is_closed


def test_a_setup_is_listed_chosen_and_forgotten(run: Run, home: Path) -> None:
    assert "No setup yet" in run("setup", "list", *HERON).out
    know(home, HEADPHONES, LAPTOP)
    listed = run("setup", "list", *HERON).out
    assert listed.count("✓") == 1
    assert "250 Hz to 16 kHz" in listed
    chosen = run("setup", "use", "headphones", *HERON).out
    assert chosen == "You listen on headphones from now on: it plays all ten octave bands.\n"
    assert kept(home) == HEADPHONES
    assert run("setup", "forget", "headphones", *HERON).code == 0
    assert kept(home) is None


@pytest.mark.parametrize("command", ["use", "forget"])
def test_one_that_is_not_there_is_one_clear_sentence(run: Run, home: Path, command: str) -> None:
    know(home, LAPTOP)
    ended = run("setup", command, "labtop", *HERON)
    assert (ended.code, ended.out) == (2, "")
    assert "Heron has no setup 'labtop'; there are 'laptop'" in ended.err


def test_a_calibration_is_kept_with_what_it_means(run: Run, home: Path, player: AtFourSeconds) -> None:
    know(home, HEADPHONES)
    ended = run("setup", "calibrate", *HERON, typed=("", "70", "a"))
    assert ended.code == 0
    assert "Kept: 70 dBA at a listening level of -30 dB." in ended.out
    assert "local rules" in ended.out.casefold()
    found = kept(home)
    assert found is not None
    assert found.reading_db(-30.0) == 70.0
    assert "about 70 dB" in run("setup", "list", *HERON).out
    assert player.is_closed


def test_without_a_sound_device_a_check_says_so(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SDL_AUDIODRIVER", "dummy")
    ended = run("setup", "check", *HERON)
    assert (ended.code, ended.out) == (2, "")
    assert "plays to nobody" in ended.err
