"""The tour on a player: a few seconds at every stop, plain and changed in turn, faded in and out."""

from collections.abc import Callable, Iterable

from audio_demo.tour import Stop
from trainer.playback.player import Player, Version

STAY_S = 5.0
"""How long each version is heard."""
BETWEEN_S = 0.4
"""The silence from one stop to the next, its fade included."""
FLIPS = (Version.CHANGED, Version.PLAIN, Version.CHANGED)
"""What is heard after plain where there is a changed version."""


def play_tour(
    stops: Iterable[Stop],
    player: Player,
    *,
    say: Callable[[str], None],
    sleep: Callable[[float], None],
    level_db: float,
) -> None:
    """Play the stops one by one and say what is heard; whatever ends it, the sound fades out."""
    player.set_level(level_db)
    hall = ""
    try:
        for stop in stops:
            if stop.hall != hall:
                hall = stop.hall
                say(f"\n{hall.upper()}")
            _play(stop, player, say, sleep)
            if player.problem:
                say(player.problem)
                return
    finally:
        player.stop()


def _play(stop: Stop, player: Player, say: Callable[[str], None], sleep: Callable[[float], None]) -> None:
    say(f"{stop.number:2d} {stop.title}")
    for line in stop.caption:
        say(f"   {line}")
    versions = {Version.PLAIN: stop.plain}
    if stop.changed is not None:
        versions[Version.CHANGED] = stop.changed
    player.load(versions)
    player.play()
    if stop.changed is not None:
        say("   plain …")
    sleep(STAY_S)
    for version in FLIPS if stop.changed is not None else ():
        player.flip(version)
        say(f"   {version.value} …")
        sleep(STAY_S)
    player.stop()
    sleep(BETWEEN_S)
