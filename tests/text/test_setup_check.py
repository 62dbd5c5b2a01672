"""The check in a terminal: quiet first, every sound once, nothing kept of one that was broken off."""

from collections.abc import Callable, Iterator

import numpy as np
import pytest

from tests.fakes import RecordingPlayer
from trainer.dsp.octave_bands import NOMINAL_HZ
from trainer.playback.player import Version
from trainer.practice.setup_check import CATCHES, trials
from trainer.progress.setups import Calibration
from trainer.sound import Sound
from trainer.text.lines import Leave
from trainer.text.setup_check import SetupCheck, reading_words

NOISE = Sound.of(np.full((4800, 2), 0.01))


class Listener(RecordingPlayer):
    """A player whose listener presses at 4 s of every sound but of what its device cannot play."""

    def __init__(self, *, deaf_below_hz: float = 0.0) -> None:
        super().__init__()
        self.deaf_below_hz = deaf_below_hz

    @property
    def heard_position_s(self) -> float:
        return 4.0

    def hears(self) -> bool:
        samples = self.loads[-1][Version.PLAIN].samples[:, 0]
        if not np.any(samples):
            return False
        spectrum = np.abs(np.fft.rfft(samples))
        centre_hz = np.sum(spectrum**2 * np.fft.rfftfreq(len(samples), 1 / 48_000)) / np.sum(spectrum**2)
        return bool(centre_hz >= self.deaf_below_hz)


def check_of(player: RecordingPlayer, answers: Callable[[str], str | None]) -> tuple[SetupCheck, list[str]]:
    said: list[str] = []
    return SetupCheck(player, answers, said.append, np.random.default_rng(3), -30.0), said


@pytest.mark.parametrize(("deaf_below_hz", "usable"), [(0.0, NOMINAL_HZ), (100.0, NOMINAL_HZ[2:])])
def test_what_is_not_heard_is_not_usable(deaf_below_hz: float, usable: tuple[float, ...]) -> None:
    player = Listener(deaf_below_hz=deaf_below_hz)
    front_end, said = check_of(player, lambda _: "" if player.hears() else "n")
    verdict = front_end.run()
    assert verdict.usable_hz == usable
    assert verdict.is_trustworthy
    assert len(player.loads) == 2 * len(NOMINAL_HZ) + CATCHES == len(trials(np.random.default_rng(0)))
    assert player.calls[-1] == "stop"
    assert "Some of them are silence" in said[0]


def test_who_always_presses_is_found_out() -> None:
    front_end, _ = check_of(Listener(), lambda _: "")
    assert front_end.run().false_alarms == CATCHES


def test_the_level_is_set_from_quiet_with_the_caution_first() -> None:
    player, typed = Listener(), iter(["+", "++", "what", "-", ""])
    front_end, said = check_of(player, lambda _: next(typed))
    front_end.set_level(NOISE)
    assert player.levels_db == [-30.0, -27.0, -21.0, -24.0]
    assert front_end.level_db == -24.0
    assert "comfortable level" in said[0]
    assert "NIOSH" in said[1]
    assert "'what' is none of" in said[2]


def test_no_line_makes_it_jump_and_none_turns_it_above_full() -> None:
    player, typed = Listener(), iter(["+" * 30, *["++"] * 6, ""])
    front_end, _ = check_of(player, lambda _: next(typed))
    front_end.set_level(NOISE)
    assert max(np.diff(player.levels_db)) == 6.0
    assert front_end.level_db == 0.0


def lines(*typed: str | None) -> Callable[[str], str | None]:
    rest: Iterator[str | None] = iter(typed)
    return lambda _: next(rest)


@pytest.mark.parametrize("typed", ["q", None])
def test_stopping_in_the_middle_leaves(typed: str | None) -> None:
    front_end, _ = check_of(Listener(), lines("", "r", "x", "n", typed))
    with pytest.raises(Leave):
        front_end.run()


def test_a_meter_is_read_until_it_makes_sense() -> None:
    front_end, said = check_of(Listener(), lines("", "loud", "a", "720", "a", "72,5", "a"))
    assert front_end.calibrate(NOISE) == Calibration(-30.0, 72.5, "A")
    assert "no number of decibels" in said[-2]
    assert "no listening level" in said[-1]


@pytest.mark.parametrize(
    ("reads_db", "long"),
    [(85.0, "8 hours"), (88.0, "4 hours"), (91.0, "2 hours"), (94.0, "60 minutes"), (97.0, "30 minutes"),
     (100.0, "15 minutes"), (82.0, "16 hours")],
)  # fmt: skip
def test_how_long_is_that_of_the_criteria_document(reads_db: float, long: str) -> None:
    """NIOSH criteria document 98-126, its table of levels and durations."""
    said = reading_words(Calibration(-20.0, reads_db, "A"))
    assert f"allows {long} a day" in said
    assert "hearing professional come first" in said


def test_no_time_is_derived_from_another_weighting() -> None:
    assert "Only an A-weighted reading" in reading_words(Calibration(-20.0, 90.0, "C"))
