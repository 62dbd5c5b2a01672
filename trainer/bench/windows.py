"""The window: how soon it stands and sounds, what it costs while a loop plays, and whether the sound ever gaps.

Where there is a display and a sound device they are used; elsewhere the window is drawn in memory, and SDL's
disk driver takes the sound in real time.
"""

import json
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from statistics import median

import trainer
from trainer.bench.measure import seconds_of
from trainer.bench.row import Clock, Measured, Scale

LONGEST_S = 30.0
LOOK_EVERY_S = 0.002
LEARNER = "bench"
FIRST_SOUND = "pygame, numpy, sqlalchemy, platformdirs, click"
"""What a bare import loads beside the first sound."""


def first_frame(scale: Scale, clock: Clock) -> Measured:
    """Measure from the start of a process until the window shows its first frame."""
    taken_s = median(_until(clock, _has_pictures) for _ in range(scale.starts))
    return Measured(taken_s, _bare_s(scale, clock, "pygame"), "bare import of pygame")


def first_sound(scale: Scale, clock: Clock) -> Measured:
    """Measure from the start of a process until its first sound: a newcomer's, who sets a level by it."""
    taken_s = median(_until(clock, _has_sound) for _ in range(scale.starts))
    return Measured(taken_s, _bare_s(scale, clock, FIRST_SOUND), f"bare import of {FIRST_SOUND}")


def _until(clock: Clock, is_there: Callable[[Path], bool]) -> float:
    """Return how long a new process takes until something is there in its folder."""
    with tempfile.TemporaryDirectory() as folder:
        begun_s = clock()
        process = subprocess.Popen(
            [sys.executable, *_command()], env=_environ(Path(folder)), stderr=subprocess.DEVNULL
        )
        try:
            while not is_there(Path(folder)):
                if process.poll() is not None or clock() - begun_s > LONGEST_S:
                    raise RuntimeError("the window did not come up")
                time.sleep(LOOK_EVERY_S)
            return clock() - begun_s
        finally:
            process.kill()
            process.wait()


def _command() -> tuple[str, ...]:
    """Return what opens the window for a newcomer; where nobody would see it, past the command line."""
    if _has_display():
        return "-m", "trainer", "drill", "--learner", LEARNER
    imports = "from trainer.window.door import make_app; from trainer.window.app import prepare_display"
    return "-c", f"{imports}; prepare_display(); make_app(learner={LEARNER!r}).run()"


def _has_pictures(folder: Path) -> bool:
    trace = folder / "trace"
    return trace.exists() and trace.stat().st_size > 0


def _has_sound(folder: Path) -> bool:
    capture = folder / "capture"
    return capture.exists() and any(capture.read_bytes())


def _bare_s(scale: Scale, clock: Clock, libraries: str) -> float:
    def imported() -> None:
        subprocess.run([sys.executable, "-c", f"import {libraries}"], check=True, capture_output=True)

    return median(seconds_of(imported, clock=clock) for _ in range(scale.starts))


def _environ(folder: Path) -> dict[str, str]:
    """Return the surroundings of a window of its own: a fresh memory, its trace and its sound in files."""
    home = str(Path(trainer.__file__).parent.parent)
    own = {
        "PYTHONPATH": os.pathsep.join([home, os.environ.get("PYTHONPATH", "")]),
        "PYGAME_HIDE_SUPPORT_PROMPT": "1",
        "YARDLINE_HOME": str(folder / "home"),
        "YARDLINE_TRACE": str(folder / "trace"),
        "SDL_AUDIODRIVER": "disk",
        "SDL_DISKAUDIOFILE": str(folder / "capture"),
    }
    return {**os.environ, **own, **({} if _has_display() else {"SDL_VIDEODRIVER": "dummy"})}


def _has_display() -> bool:
    return sys.platform != "linux" or "DISPLAY" in os.environ or "WAYLAND_DISPLAY" in os.environ


# A loop that plays.


def looping(scale: Scale, clock: Clock) -> Measured:  # noqa: ARG001 - every row takes the same
    """Measure the share of one core that the window takes while a rep loops and nothing is made."""
    report = _played(seconds=scale.looped_s, is_soak=False)
    note = (
        f"a turn of the window: median {report.turn_ms:.2g} ms, 99 in 100 within {report.turn_99_ms:.2g} ms, "
        f"at {report.pictures_a_second:.0f} a second; {report.late} late calls for sound"
    )
    return Measured(100.0 * report.cpu_share, note=note)


def soak(scale: Scale, clock: Clock) -> Measured:  # noqa: ARG001 - every row takes the same
    """Count the calls for sound that came too late while reps are heard, flipped, answered, and made ahead."""
    report = _played(seconds=scale.soaked_s, is_soak=True)
    note = (
        f"in {scale.soaked_s:.0f} s with {report.flips} flips and {report.answers} reps answered, the next made "
        f"meanwhile; a turn of the window within {report.turn_99_ms:.2g} ms in 99 of 100"
    )
    return Measured(report.late, note=note)


@dataclass(frozen=True, slots=True)
class Report:
    """What a window that played says of itself."""

    cpu_share: float
    pictures_a_second: float
    turn_ms: float
    turn_99_ms: float
    late: int
    flips: int
    answers: int


def _played(*, seconds: float, is_soak: bool) -> Report:
    """Run a window in a process of its own, let it play for so long, and return what it says of itself."""
    with tempfile.TemporaryDirectory() as folder:
        work = f"from trainer.bench.playing import play; play({seconds!r}, is_soak={is_soak!r})"
        done = subprocess.run(
            [sys.executable, "-c", work],
            env=_environ(Path(folder)),
            check=False,
            capture_output=True,
            text=True,
            timeout=seconds + 10 * LONGEST_S,
        )
    if done.returncode:
        raise RuntimeError(f"the window failed: {done.stderr.strip().splitlines()[-1:]}")
    return Report(**json.loads(done.stdout.splitlines()[-1]))
