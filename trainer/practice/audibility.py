"""The audibility gate: a rep whose change could not be heard is never asked, whichever way it might have gone.

What is on offer is what would be heard both ways, boosted and cut, up and down, so that the offer does not tell
the way. A change of level or of dynamics is heard when in a fifth of the frames some channel of the ear moves by
1 dB. A boost or cut that is to be named by its band must be heard in that band: its best channel moves by 1 dB in
a third of the frames in which the band sounds, and by half as much in the long term. On a section or a stem no
other band of the mix may move more (root mean square over the frames), no neighbour more than one and a half times.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from trainer.dsp import equaliser, excitation
from trainer.dsp.octave_bands import OCTAVES, Band
from trainer.ensemble.excerpt import Excerpt
from trainer.practice.change import MIX, Bell, Level, Process
from trainer.practice.heard import Levels, MixListener, Shift, Where, is_heard_added, is_heard_at_all
from trainer.practice.listening import FEWEST_LANES as FEWEST_LANES
from trainer.practice.listening import STANDARD, Listening
from trainer.practice.per_excerpt import kept_per_excerpt
from trainer.sound import RATE_HZ, Sound

NAMED_SHARE = 1.0 / 3.0
"""In how many of the frames a change must be heard in its band to be named by it."""
LONG_TERM_DB = 0.5
"""How far the band's mean must move, too."""
NEIGHBOUR_RATIO = 1.5
"""How many times as far a neighbouring band may move."""
DRY_MARGIN = 0.4
"""How much less than a cut needs to be heard in the long term a target may be before the room, to be looked at."""
FEWEST_CHOICES = 2
"""How many sections or stems must be on offer for "which" to be a question."""


@kept_per_excerpt
def lanes(
    excerpt: Excerpt,
    target: str,
    *,
    size_db: float,
    listening: Listening = STANDARD,
    bands: tuple[Band, ...] = OCTAVES,
) -> tuple[float, ...]:
    """Return the bands, by nominal hertz, in which a boost and a cut on the target would both be heard and named.

    Parameters
    ----------
    size_db
        How far the bell on a band's centre goes; it is as wide as the band. At 0 every usable band is returned.
    bands
        The scale the bands are of: those beyond its ends do not exist for it.
    """
    listener = MixListener(excerpt, listening)
    channels = tuple(
        listener.usable & own & is_played(band, listening)
        for band, own in zip(bands, channels_of(bands), strict=True)
    )
    if size_db == 0.0:
        return _named(bands, [bool(own.any()) for own in channels])
    if target != MIX and _lanes_likely(listener, target, size_db, channels) < FEWEST_LANES:
        return ()
    boost, cut = (_nameable(listener, target, sign * size_db, bands, channels) for sign in (1.0, -1.0))
    return _named(bands, boost & cut)


def movable(
    excerpt: Excerpt, targets: Sequence[str], *, size_db: float, listening: Listening = STANDARD
) -> tuple[str, ...]:
    """Return the targets that are heard to move both up and down by a size."""
    if size_db == 0.0:
        return tuple(targets)
    listener = MixListener(excerpt, listening)

    def moves(target: str, sign: float) -> bool:
        return is_heard_at_all(listener, listener.with_gain(target, gain_db=sign * size_db), sign=sign)

    return tuple(target for target in targets if moves(target, 1.0) and moves(target, -1.0))


def is_heard(process: Process, excerpt: Excerpt, target: str, *, listening: Listening = STANDARD) -> bool:
    """Return whether a process is heard on a target: by its own rule if it brings one, else by excitation.

    A bell is heard in its own band, a fader's move in its own direction; what any other process does to the
    target is rendered, and heard either way.
    """
    own = getattr(process, "is_heard", None)
    if own is not None:
        return bool(own(excerpt, target, listening))
    listener = MixListener(excerpt, listening)
    if isinstance(process, Bell):
        return _bell_is_heard(listener, target, process)
    if isinstance(process, Level):
        changed = listener.with_gain(target, gain_db=process.gain_db)
        return is_heard_at_all(listener, changed, sign=float(np.sign(process.gain_db)))
    return is_heard_added(excerpt, added_by(process, excerpt, target), listening)


def added_by(process: Process, excerpt: Excerpt, target: str) -> Sound:
    """Return what a process on a target adds to the mix, in the room: negative where it takes away."""
    if target == MIX:
        changed = process.apply({MIX: excerpt.mix})[MIX]
    else:
        stems = {part: excerpt.stems[part] for part in excerpt.parts_in(target)}
        changed = excerpt.mix_with(process.apply(stems))
    return Sound(changed.samples - excerpt.mix.samples)


def is_played(band: Band, listening: Listening) -> bool:
    """Return whether the octave band that a band's centre lies in can be played."""
    octave = next(one for one in OCTAVES if one.low_hz <= band.centre_hz < one.high_hz)
    return octave.nominal_hz in listening.usable_hz


def channels_of(bands: Sequence[Band]) -> tuple[Where, ...]:
    """Return for each band the channels of the ear that lie in it, or the nearest one to its centre."""
    return tuple(_channels_between(band.low_hz, band.centre_hz, band.high_hz) for band in bands)


def _channels_between(low_hz: float, centre_hz: float, high_hz: float) -> Where:
    channels_hz = excitation.channels_hz()
    inside = (low_hz <= channels_hz) & (channels_hz < high_hz)
    if not inside.any():
        inside[np.argmin(np.abs(np.log(channels_hz / centre_hz)))] = True
    return np.asarray(inside)


def _named(bands: Sequence[Band], on_offer: Sequence[bool] | Where) -> tuple[float, ...]:
    return tuple(band.nominal_hz for band, is_on in zip(bands, on_offer, strict=True) if is_on)


def _lanes_likely(listener: MixListener, target: str, size_db: float, channels: Sequence[Where]) -> int:
    """Return in how many bands a target, before the room, is loud enough for a cut of a size to be heard.

    That costs a tenth of what the room does, and spares it for what cannot stand out anyway.
    """
    needed = (1.0 - 10.0 ** (-LONG_TERM_DB / 10.0)) / (1.0 - 10.0 ** (-size_db / 10.0))
    dry = listener.excerpt.dry_powers(target).mean(axis=0) @ listener.filters
    stands_out = dry >= DRY_MARGIN * needed * listener.plain.mean(axis=0)
    return sum(bool(stands_out[own].any()) for own in channels)


def _nameable(
    listener: MixListener, target: str, gain_db: float, bands: Sequence[Band], channels: Sequence[Where]
) -> Where:
    """Return for each band whether a bell as wide, of this gain, would be heard in it and named by it."""
    bells = [
        Bell(centre_hz=band.centre_hz, gain_db=gain_db, width_octaves=width_octaves(band)) for band in bands
    ]
    shift, sign = listener.shift(with_bells(listener, target, bells)), float(np.sign(gain_db))
    heard = np.array([is_named(shift.of(place), own, sign=sign)[0] for place, own in enumerate(channels)])
    if target == MIX:
        return heard
    return heard & stands_out(np.stack([_rms_db(shift, own) for own in channels], axis=1))


def is_named(shift: Shift, own: Where, *, sign: float) -> Where:
    """Return for each bell whether it is heard in a band well enough to be named."""
    if not own.any():
        return np.zeros(len(shift.changed), bool)
    long_term_db = shift.long_term_db(own, sign=sign)
    return np.asarray((shift.share(own, sign=sign) >= NAMED_SHARE) & (long_term_db >= LONG_TERM_DB))


def _rms_db(shift: Shift, own: Where) -> NDArray[np.float64]:
    return shift.rms_db(own) if own.any() else np.zeros(len(shift.changed))


def width_octaves(band: Band) -> float:
    """Return a band's width in octaves, to the third of one."""
    return round(3.0 * float(np.log2(band.high_hz / band.low_hz))) / 3.0


def stands_out(moved_db: NDArray[np.floating]) -> Where:
    """Return for each bell (row) whether its own band moves most, of all bands (columns).

    A neighbour may move a little more: a sound's own spectrum may lean over to it.
    """
    own_db = np.diagonal(moved_db)[:, None]
    apart = np.abs(np.subtract.outer(np.arange(len(moved_db)), np.arange(len(moved_db))))
    allowed = np.where(apart > 1, 1.0, NEIGHBOUR_RATIO)
    return np.asarray(np.all(moved_db <= allowed * own_db, axis=1))


def _bell_is_heard(listener: MixListener, target: str, bell: Bell) -> bool:
    shift = listener.shift(with_bells(listener, target, [bell]))
    own = listener.usable & channels_of_bell(bell)
    return bool(is_named(shift, own, sign=float(np.sign(bell.gain_db)))[0])


def channels_of_bell(bell: Bell) -> Where:
    """Return the channels of the ear between the bell's half-gain points, or the nearest one to its centre."""
    half = 2.0 ** (bell.width_octaves / 2.0)
    return _channels_between(bell.centre_hz / half, bell.centre_hz, bell.centre_hz * half)


def with_bells(listener: MixListener, target: str, bells: Sequence[Bell]) -> Levels:
    """Return the excitation with each of some bells on a target: shape ``(bells, frames, channels)``."""
    part, active = listener.excerpt.heard_contribution(target), listener.active
    moved = np.array([_response(bell) for bell in bells])[:, None, :] - 1.0
    real, imaginary, squared = (
        np.asarray(factor, np.float32) for factor in (2.0 * moved.real, -2.0 * moved.imag, np.abs(moved) ** 2)
    )
    added = real * np.ascontiguousarray(part.cross.real)[active]
    added += imaginary * np.ascontiguousarray(part.cross.imag)[active]
    added += squared * part.power[active]
    return listener.changed(added)


def _response(bell: Bell) -> NDArray[np.complex128]:
    """Return what a bell does at the middle of each sub-band."""
    section = equaliser.bell_coefficients(
        centre_hz=bell.centre_hz, gain_db=bell.gain_db, width_octaves=bell.width_octaves, rate_hz=RATE_HZ
    )
    return equaliser.response(excitation.sub_bands_hz(), coefficients=section, rate_hz=RATE_HZ)
