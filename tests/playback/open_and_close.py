"""Opens and closes the device many times while it plays, beside a busy thread; run in a process of its own.

``python -m tests.playback.open_and_close TIMES``: prints how often it closed. A hang ends in a traceback of
all threads and exit code 1.
"""

import faulthandler
import sys
import threading

from tests.playback.music import VERSIONS
from trainer.playback.device import open_player

LONGEST_S = 15.0
"""For one round; a round takes a tenth of a second on a calm machine."""


def spin(ended: threading.Event) -> None:
    turns = 0
    while not ended.is_set():
        turns += 1


def main() -> None:
    ended = threading.Event()
    threading.Thread(target=spin, args=(ended,), daemon=True).start()
    for number in range(int(sys.argv[1])):
        faulthandler.dump_traceback_later(LONGEST_S, exit=True)
        player = open_player(chunk_frames=512)
        player.load(VERSIONS)
        player.play()
        player.close()
        sys.stdout.write(f"{number + 1}\n")
        sys.stdout.flush()
    ended.set()


if __name__ == "__main__":
    main()
