"""A programme: the versions that play together, checked once and laid out for the renderer."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from trainer.playback.player import Version
from trainer.sound import Samples, Sound

CHANNELS = 2
"""Everything is played in stereo; a mono sound goes to both sides."""

VERSIONS = tuple(Version)


@dataclass(frozen=True, slots=True, eq=False)
class Programme:
    """Stereo samples for each of ``VERSIONS`` (or none), all of ``frames`` frames at ``rate_hz``.

    ``dip`` says that every flip between them goes through a short silence.
    """

    samples: tuple[Samples | None, ...]
    frames: int
    rate_hz: int
    dip: bool = False

    @property
    def versions(self) -> tuple[Version, ...]:
        """The versions that are there, plain first."""
        return tuple(
            version for version, samples in zip(VERSIONS, self.samples, strict=True) if samples is not None
        )

    @property
    def sounds(self) -> dict[Version, Sound]:
        """The versions that are there, in stereo."""
        pairs = zip(VERSIONS, self.samples, strict=True)
        return {version: Sound(samples, self.rate_hz) for version, samples in pairs if samples is not None}

    def with_version(self, version: Version, sound: Sound) -> "Programme":
        """Return this programme with one more version.

        Raises
        ------
        ValueError
            If the version is there already, or its sound cannot loop together with the others.
        """
        if version in self.versions:
            raise ValueError(f"the version '{version.value}' is loaded already; load anew to exchange it")
        _check(version, sound)
        if (sound.frames, sound.rate_hz) != (self.frames, self.rate_hz):
            raise ValueError(
                f"versions loop together, so '{version.value}' needs {self.frames} frames at {self.rate_hz} Hz "
                f"like the others, not {sound.frames} at {sound.rate_hz} Hz"
            )
        added = (
            _stereo(sound) if key is version else old for key, old in zip(VERSIONS, self.samples, strict=True)
        )
        return replace(self, samples=tuple(added))


def programme_of(versions: Mapping[Version, Sound], *, dip: bool = False) -> Programme:
    """Return the programme of these versions.

    Raises
    ------
    ValueError
        If there is no version, if they differ in length or rate, or if one is empty, neither mono nor
        stereo, or holds a number that is not finite.
    """
    if not versions:
        raise ValueError("a player needs at least one version to load, and got none")
    for version, sound in versions.items():
        _check(version, sound)
    lengths = {sound.frames for sound in versions.values()}
    rates = {sound.rate_hz for sound in versions.values()}
    if len(lengths) > 1 or len(rates) > 1:
        came = ", ".join(
            f"{key.value}: {sound.frames} at {sound.rate_hz} Hz" for key, sound in versions.items()
        )
        raise ValueError(
            f"versions loop together, so they need one length and one rate, not frames of {came}"
        )
    samples = tuple(_stereo(versions[key]) if key in versions else None for key in VERSIONS)
    return Programme(samples, lengths.pop(), rates.pop(), dip)


def _check(version: Version, sound: Sound) -> None:
    if sound.frames == 0 or sound.channels not in (1, CHANNELS):
        came = f"{sound.frames} frames of {sound.channels} channels"
        raise ValueError(f"a version to play is mono or stereo and not empty; '{version.value}' has {came}")
    if not np.isfinite(sound.samples).all():
        raise ValueError(f"the version '{version.value}' holds samples that are not finite numbers")


def _stereo(sound: Sound) -> Samples:
    return np.ascontiguousarray(np.broadcast_to(sound.samples, (sound.frames, CHANNELS)))
