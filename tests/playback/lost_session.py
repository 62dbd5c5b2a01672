"""A device that is lost while it plays: closed, another one opened, and the music handed over.

``python -m tests.playback.lost_session FIRST SECOND`` with SDL's disk driver: what the two devices received is
in the files; the log goes to stdout as JSON.
"""

import faulthandler
import json
import sys
import time
from types import SimpleNamespace

from tests.playback.flip_session import wait
from tests.playback.music import VERSIONS
from trainer.playback.device import open_player, prepare_process
from trainer.playback.handover import hand_over
from trainer.playback.player import Version
from trainer.playback.sdl import pygame


def main() -> None:
    faulthandler.dump_traceback_later(25, exit=True)
    prepare_process()
    first = open_player(device_name=sys.argv[1])
    first.load({key: VERSIONS[key] for key in (Version.PLAIN, Version.CHANGED)})
    first.set_level(-12.0)
    first.flip(Version.CHANGED)
    first.play()
    wait(first, 10_000)
    lost = [first.is_lost]
    removal = pygame.AUDIODEVICEREMOVED
    first.notice(SimpleNamespace(type=removal, which=first._device.deviceid, iscapture=0))
    lost.append(first.is_lost)
    waits: list[float] = []
    sleep, time.sleep = time.sleep, waits.append
    first.close()
    time.sleep = sleep
    second = open_player(device_name=sys.argv[2])
    hand_over(first, second)
    lost.append(second.is_lost)
    wait(second, 60_000)
    sounding = second.sounding.value
    second.close()
    log = {"lost": lost, "closing_polls": len(waits), "sounding": sounding}
    sys.stdout.write(json.dumps(log | {"rendered": second.rendered_frames}))


if __name__ == "__main__":
    main()
