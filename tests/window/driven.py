"""The program as somebody sits before it: a screen of its own, keys and clicks, and what was played."""

import json
import os
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

NEEDED = ("Xvfb", "xdotool")
MISSING = [name for name in NEEDED if shutil.which(name) is None]
PATIENCE_S = 90.0
LOOK_EVERY_S = 0.03
SECOND = 48_000


@contextmanager
def screen(width: int = 1280, height: int = 720) -> Iterator[str]:
    """Give the name of an X display that nobody sees."""
    read, write = os.pipe()
    command = ["Xvfb", "-displayfd", str(write), "-screen", "0", f"{width}x{height}x24", "-nolisten", "tcp"]
    server = subprocess.Popen(command, pass_fds=(write,), stderr=subprocess.DEVNULL)
    os.close(write)
    try:
        with os.fdopen(read) as said:
            yield f":{said.readline().strip()}"
    finally:
        server.terminate()
        server.wait()


class Desk:
    """One run of the window on a display, its sound going into a file; `now` is the last picture's trace."""

    def __init__(self, folder: Path, display: str, *, environ: dict[str, str] | None = None) -> None:
        self.folder, self.display = folder, display
        self.capture = folder / "capture.raw"
        self.trace = folder / "trace.jsonl"
        self.trace.unlink(missing_ok=True)
        kept = {name: value for name, value in os.environ.items() if name != "SDL_VIDEODRIVER"}
        self.environ = {
            **kept,
            "DISPLAY": display,
            "YARDLINE_HOME": str(folder / "home"),
            "YARDLINE_TRACE": str(self.trace),
            "SDL_AUDIODRIVER": "disk",
            "SDL_DISKAUDIOFILE": str(self.capture),
            **(environ or {}),
        }
        with (folder / "errors.txt").open("w") as errors:
            self.process = subprocess.Popen(
                [sys.executable, "-m", "trainer"], env=self.environ, stderr=errors
            )
        self._lines: list[dict[str, Any]] = []
        self._read = 0
        self._has_listened = False
        self.page: dict[str, Any] = {}
        self.wait(lambda: self.page.get("window"))
        self._do("windowfocus", "--sync", str(self.page["window"]))

    # What is shown.

    def look(self) -> None:
        """Read what was shown since the last look."""
        if not self.trace.exists():
            return
        with self.trace.open("rb") as file:
            file.seek(self._read)
            new = file.read()
        whole = new[: new.rfind(b"\n") + 1]
        self._read += len(whole)
        for line in whole.splitlines():
            shown = json.loads(line)
            if shown["kind"] == "page":
                self.page = shown
            else:
                self.page["controls"] |= shown["controls"]

    def wait(self, until: Callable[[], object], *, what: str = "") -> None:
        """Wait until something shows."""
        deadline = time.monotonic() + PATIENCE_S
        while True:
            self.look()
            if until():
                return
            ended = self.process.poll()
            errors = (self.folder / "errors.txt").read_text(encoding="utf-8")[-2000:]
            assert ended is None, f"the window has closed with {ended} while waiting for {what}: {errors}"
            assert time.monotonic() < deadline, f"waited in vain for {what}; there is {self.page}: {errors}"
            time.sleep(LOOK_EVERY_S)

    def wait_for(self, place: str, *, over: str = "", control: str = "") -> None:
        """Wait until a page shows, and a control on it."""

        def is_there() -> bool:
            here = self.page.get("place") == place and self.page.get("over") == over
            return here and (not control or control in self.page["controls"])

        self.wait(is_there, what=f"{place} {over} {control}")

    def is_chosen(self, control: str) -> bool:
        """Say whether a control shows as chosen."""
        self.look()
        return bool(self.page["controls"][control][2])

    # What is done.

    def key(self, *names: str) -> None:
        """Press keys, by X's names for them."""
        self._do("key", "--clearmodifiers", *names)

    def click(self, control: str) -> None:
        """Click a control."""
        self.look()
        x, y = self.page["controls"][control][:2]
        self._do("mousemove", str(x), str(y), "click", "1")

    def close(self) -> int:
        """Wait for the window to have closed; return its exit code."""
        return self.process.wait(timeout=PATIENCE_S)

    def kill(self) -> None:
        """End it as a power cut would."""
        if self.process.poll() is None:
            self.process.send_signal(signal.SIGKILL)
            self.process.wait()

    # What is heard.

    def frames(self) -> int:
        """Return how many stereo frames have been played so far."""
        return self.capture.stat().st_size // 8 if self.capture.exists() else 0

    def listen(self, *, seconds: float) -> NDArray[np.float32]:
        """Wait until so much more has been played, after what a flip (or the first start) takes; return it."""
        begun = self.frames() + (SECOND // 4 if self._has_listened else 3 * SECOND // 2)
        self._has_listened = True
        ended = begun + round(seconds * SECOND)
        self.wait(lambda: self.frames() >= ended, what="sound")
        played = np.fromfile(self.capture, np.float32, count=2 * (ended - begun), offset=8 * begun)
        return played.reshape(-1, 2)

    def _do(self, *words: str) -> None:
        subprocess.run(["xdotool", *words], env=self.environ, check=True, capture_output=True, timeout=20)
