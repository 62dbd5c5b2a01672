"""The handover from one player to the next: another device, or one that came back."""

from trainer.playback.player import Player


def hand_over(old: Player, new: Player) -> None:
    """Let a player go on with what another one had, the old one closed or not.

    Level, versions and the version asked for last are the old one's, and it plays if the old one did: from
    the start of the loop, and as slowly as any first start, since another device may be far louder.
    """
    asked = old.asked
    new.set_level(asked.level_db)
    if not asked.versions:
        return
    new.load(asked.versions, dip=asked.is_dip)
    if new.sounding is not asked.version:
        new.flip(asked.version)
    if asked.is_playing:
        new.play()
