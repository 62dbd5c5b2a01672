"""The drill as it is heard: what SDL's disk driver received while a learner listened, flipped and left."""

import os
import sys
from pathlib import Path

import numpy as np
import pexpect
import pytest
from numpy.typing import NDArray

from tests.heard import distance_db
from trainer.assembly import Assembly
from trainer.practice.alone import target_alone

SECOND = 48_000
LISTEN_FRAMES = SECOND // 2


class Terminal:
    """A drill in a pseudo-terminal, its sound going into a file."""

    def __init__(self, folder: Path, exercise: str = "octave-tone") -> None:
        self.capture = folder / "capture.raw"
        environ = {
            **os.environ,
            "YARDLINE_HOME": str(folder / "home"),
            "SDL_AUDIODRIVER": "disk",
            "SDL_DISKAUDIOFILE": str(self.capture),
            "SDL_DISKAUDIODELAY": "10",
        }
        arguments = ["-m", "trainer", "drill", "--text", "--exercise", exercise, "--size", "12"]
        self.spawned = pexpect.spawn(
            sys.executable, arguments, env=environ, encoding="utf-8", timeout=120, dimensions=(40, 200)
        )

    def frames(self) -> int:
        """Return how many stereo frames have been played so far."""
        return self.capture.stat().st_size // 8 if self.capture.exists() else 0

    def listen(self) -> None:
        """Wait until some more sound has been played."""
        wanted = self.frames() + 5 * LISTEN_FRAMES
        while self.frames() < wanted:
            self.spawned.expect([pexpect.TIMEOUT], timeout=0.05)

    def heard(self) -> NDArray[np.float32]:
        """Return the last of what has been played, one channel pair a frame."""
        played = np.fromfile(self.capture, np.float32)
        return played[: played.size // 2 * 2].reshape(-1, 2)[-2 * LISTEN_FRAMES : -LISTEN_FRAMES]


@pytest.fixture
def terminal(tmp_path: Path) -> Terminal:
    return Terminal(tmp_path)


def test_what_is_heard_is_what_the_terminal_says(terminal: Terminal) -> None:
    spawned = terminal.spawned
    heard: dict[str, NDArray[np.float32]] = {}
    for version in ("plain", "changed", "plain again"):
        spawned.expect(rf"sounding now: {version.split()[0]}\]")
        terminal.listen()
        heard[version] = terminal.heard()
        spawned.sendline("")
    spawned.expect("sounding now: changed")
    spawned.sendline("g")
    spawned.expect(r"Rep code: ([^\s]+)")
    rep = Assembly(environ={}).rebuilt(spawned.match.group(1))
    spawned.expect("next rep")
    spawned.sendline("q")
    spawned.expect(pexpect.EOF)
    spawned.close()
    assert spawned.exitstatus == 0
    for said, sound in heard.items():
        near, far = (rep.changed, rep.plain) if said == "changed" else (rep.plain, rep.changed)
        assert distance_db(sound, near.samples) < -60.0
        assert distance_db(sound, far.samples) > -40.0
    assert np.max(np.abs(np.concatenate(list(heard.values())))) < 10.0 ** (-20.0 / 20.0)


def test_at_the_reveal_what_was_changed_is_heard_alone(tmp_path: Path) -> None:
    terminal = Terminal(tmp_path, "level")
    spawned = terminal.spawned
    spawned.expect(r"sounding now: plain\]")
    spawned.sendline("g")
    spawned.expect(r"Rep code: ([^\s]+)")
    rep = Assembly(environ={}).rebuilt(spawned.match.group(1))
    heard: dict[str, NDArray[np.float32]] = {}
    for key, version in (("w", "plain alone"), ("c", "changed alone"), ("w", "changed")):
        spawned.expect("next rep")
        spawned.sendline(key)
        spawned.expect(rf"sounding now: {version}\]")
        terminal.listen()
        heard[version] = terminal.heard()
    spawned.sendline("q")
    spawned.expect(pexpect.EOF)
    spawned.close()
    assert spawned.exitstatus == 0
    alone = target_alone(rep)
    assert alone is not None
    wanted = dict(zip(("plain alone", "changed alone"), alone, strict=True)) | {"changed": rep.changed}
    for version, sound in heard.items():
        assert distance_db(sound, wanted[version].samples) < -60.0
        assert np.max(np.abs(sound)) <= 10.0 ** (-20.0 / 20.0), "the listening level, and never above it"
    assert distance_db(heard["changed alone"], rep.changed.samples) > -40.0
