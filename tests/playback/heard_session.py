"""A session at a device that is watched like a picture: it flips, and notes again and again what is heard.

``python -m tests.playback.heard_session CHUNK_FRAMES (even|real)`` with SDL's disk driver; the log goes to stdout
as JSON. With the clock ``real`` the times are the computer's. With ``even`` every call of the device comes just
one buffer after the one before, as at a device that plays evenly, however crowded the machine; between two
calls time moves on with every look.
"""

import faulthandler
import json
import sys
import threading
import time
from collections.abc import Callable

from tests.playback.flip_session import FLIPS
from tests.playback.music import VERSIONS
from trainer.playback.device import open_player, prepare_process
from trainer.sound import RATE_HZ

LOOK_S = 0.0015
FIRST_FLIP_FRAMES = 55_000


class CallClock:
    """A clock that knows the times of the device's calls: only they ask it from another thread."""

    def __init__(self, now: Callable[[], float]) -> None:
        self.calls_s: list[float] = []
        self._now = now
        self._main = threading.get_ident()

    def __call__(self) -> float:
        now_s = self._now()
        if threading.get_ident() != self._main:
            self.calls_s.append(now_s)
        return now_s


class EvenTime:
    """Time as an even device keeps it: a buffer's duration a call, and a look's between two calls."""

    def __init__(self, *, buffer_s: float) -> None:
        self._buffer_s = buffer_s
        self._main = threading.get_ident()
        self._calls = 0
        self._looked = (0, 0.0)

    def __call__(self) -> float:
        if threading.get_ident() != self._main:
            self._calls += 1
        calls, (of_call, gone_s) = self._calls, self._looked
        return calls * self._buffer_s + (gone_s if of_call == calls else 0.0)

    def look(self) -> None:
        """Let a look's time pass, but not so much that the next call would come too late."""
        calls, (of_call, gone_s) = self._calls, self._looked
        gone_s = gone_s if of_call == calls else 0.0
        self._looked = (calls, min(gone_s + LOOK_S, 0.99 * self._buffer_s))


def main() -> None:
    faulthandler.dump_traceback_later(40, exit=True)
    prepare_process()
    chunk_frames, kind = int(sys.argv[1]), sys.argv[2]
    even = EvenTime(buffer_s=chunk_frames / RATE_HZ)
    clock = CallClock(even if kind == "even" else time.perf_counter)
    player = open_player(chunk_frames=chunk_frames, clock=clock)
    player.load(VERSIONS)
    player.play()
    flips, looks = list(FLIPS), []
    next_flip = player.rendered_frames + FIRST_FLIP_FRAMES
    while flips or player.rendered_frames < next_flip:
        if player.rendered_frames >= next_flip:
            player.flip(flips.pop(0))
            next_flip = player.rendered_frames + 7_000 + 301 * len(flips)
        before_s, heard, place_s = clock(), player.heard.value, player.heard_position_s
        looks.append((before_s, clock(), heard, place_s))
        even.look()
        time.sleep(LOOK_S)
    player.close()
    log = {"calls_s": clock.calls_s, "looks": looks, "rendered": player.rendered_frames}
    sys.stdout.write(json.dumps(log))


if __name__ == "__main__":
    main()
