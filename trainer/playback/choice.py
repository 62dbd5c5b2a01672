"""The choice of a player: the sound device, or wave files where they are wanted or there is no device."""

from collections.abc import Mapping
from pathlib import Path

from trainer.playback.player import NoDevice, Player
from trainer.playback.wave_files import WaveFilePlayer


def chosen_player(
    wave: Path | None,
    *,
    fallback: Path,
    environ: Mapping[str, str],
    device_name: str | None = None,
    is_quick: bool = False,
) -> tuple[Player, str]:
    """Return a player, and the sentence that tells where its sounds go; empty where they are heard.

    Parameters
    ----------
    wave
        The folder that sounds are wanted in; None for the sound device.
    fallback
        The folder they are written to where there is no device.
    device_name
        The device; the default one where none is named.
    is_quick
        Whether flips are heard sooner, at the risk of gaps on a busy machine.
    """
    if wave is not None:
        return WaveFilePlayer(wave), f"The sounds are written to {wave}."
    from trainer.playback.device import CHUNK_FRAMES, FAST_CHUNK_FRAMES, open_player, prepare_process

    chunk_frames = FAST_CHUNK_FRAMES if is_quick else CHUNK_FRAMES
    try:
        player = open_player(environ=environ, device_name=device_name, chunk_frames=chunk_frames)
    except NoDevice as why:
        return WaveFilePlayer(fallback), f"{why} The sounds are written to {fallback} instead."
    prepare_process()
    return player, ""
