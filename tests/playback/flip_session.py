"""A session at a device, in a process of its own: it plays, flips sixteen times, closes, and tells what it asked.

``python -m tests.playback.flip_session CHUNK_FRAMES`` with SDL's disk driver; the log goes to stdout as JSON.
"""

import faulthandler
import json
import sys
import time

from tests.playback.music import VERSIONS
from trainer.playback.device import DevicePlayer, open_player, prepare_process
from trainer.playback.player import Version

FLIPS = tuple(Version)[1:] + tuple(Version) + tuple(Version) + (Version.CHANGED, Version.PLAIN)


def wait(player: DevicePlayer, frames: int) -> None:
    until = player.rendered_frames + frames
    while player.rendered_frames < until:
        time.sleep(0.0005)


def main() -> None:
    faulthandler.dump_traceback_later(25, exit=True)
    prepare_process()
    player = open_player(chunk_frames=int(sys.argv[1]))
    player.load(VERSIONS)
    player.play()
    wait(player, 55_000)
    flips = []
    for number, version in enumerate(FLIPS):
        flips.append((player.rendered_frames, version.value))
        player.flip(version)
        wait(player, 7_000 + 301 * number)
    playing_until = player.rendered_frames
    player.close()
    log = {"flips": flips, "playing_until": playing_until, "rendered": player.rendered_frames}
    sys.stdout.write(json.dumps(log | {"late": player.late, "clipped": player.clipped_frames}))


if __name__ == "__main__":
    main()
