"""The whole band: the voice of every part."""

from trainer.ensemble.voices import (
    bass_drums,
    brass,
    cymbals,
    drum_set,
    electronics,
    keyboards,
    narration,
    snares,
    strings,
    tenors,
    timpani,
    woodwinds,
)
from trainer.ensemble.voices.voice import Voice

FAMILIES: tuple[tuple[Voice, ...], ...] = (
    keyboards.VOICES_OF_FAMILY,
    timpani.VOICES_OF_FAMILY,
    bass_drums.VOICES_OF_FAMILY,
    snares.VOICES_OF_FAMILY,
    tenors.VOICES_OF_FAMILY,
    cymbals.VOICES_OF_FAMILY,
    drum_set.VOICES_OF_FAMILY,
    strings.VOICES_OF_FAMILY,
    electronics.VOICES_OF_FAMILY,
    narration.VOICES_OF_FAMILY,
    brass.VOICES_OF_FAMILY,
    woodwinds.VOICES_OF_FAMILY,
)

VOICES: dict[str, Voice] = {voice.part: voice for family in FAMILIES for voice in family}
"""By part key."""
