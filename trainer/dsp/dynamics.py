"""A compressor with true time constants (Giannoulis et al., JAES 60(6), 2012), and a peak limiter."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from trainer.dsp import pedals
from trainer.sound import Samples, Sound
from trainer.units import seconds_to_frames

ACTIVE_RANGE_DB = 30.0
"""How far below its loudest the envelope may fall while the sound counts as active."""

LOUDEST_PERCENTILE = 99.0
NEPERS_PER_DB = math.log(10.0) / 20.0


@dataclass(frozen=True, slots=True)
class Compressor:
    """The settings of a compressor.

    Attributes
    ----------
    attack_s, release_s
        Time constants: after so long the envelope has covered 63.2 % of a step.
    knee_db
        The width of the knee, half of it below the threshold.
    """

    threshold_db: float
    ratio: float
    attack_s: float
    release_s: float
    knee_db: float = 0.0
    makeup_db: float = 0.0

    def __post_init__(self) -> None:
        if self.ratio < 1.0:
            raise ValueError(f"a compressor's ratio is at least 1, not {self.ratio}")
        if min(self.attack_s, self.release_s, self.knee_db) < 0.0:
            raise ValueError("a compressor's attack, release and knee are not negative")
        if max(self.attack_s, self.release_s) > 10.0:
            raise ValueError("a compressor's attack and release are at most 10 s; did you mean ms?")


def gain_computer_db(
    level_db: ArrayLike, *, threshold_db: float, ratio: float, knee_db: float = 0.0
) -> NDArray[np.floating]:
    """Return the level that comes out for the level that goes in.

    References
    ----------
    Giannoulis, Massberg and Reiss (2012), equation 4.
    """
    level = np.asarray(level_db)
    return np.asarray(level - reduction_db(level, threshold_db=threshold_db, ratio=ratio, knee_db=knee_db))


def reduction_db(
    level_db: ArrayLike, *, threshold_db: float, ratio: float, knee_db: float = 0.0
) -> NDArray[np.floating]:
    """Return by how many dB each level is turned down: the knee's parabola, then the straight line above it.

    It rises with the level and falls with the threshold, and is never negative.
    """
    above = np.asarray(level_db) - (threshold_db - knee_db / 2.0)
    reduction = np.maximum(above - knee_db, 0.0)
    if knee_db > 0.0:
        reduction += np.square(np.clip(above, 0.0, knee_db)) / (2.0 * knee_db)
    reduction *= 1.0 - 1.0 / ratio
    return np.asarray(reduction)


def envelope(sound: Sound, *, attack_s: float, release_s: float) -> NDArray[np.float32]:
    """Return the peak envelope of a sound, one value a frame for all channels.

    The greatest magnitude of the channels goes through a branching one-pole: the attack's time constant
    while it rises, the release's while it falls. It starts at rest and reads nothing below -120 dB.
    """
    return pedals.follow(
        _greatest(sound.samples), rate_hz=sound.rate_hz, attack_s=attack_s, release_s=release_s
    )


def envelope_db(sound: Sound, *, attack_s: float, release_s: float) -> NDArray[np.float32]:
    """Return the peak envelope of a sound in dB below full scale, one value a frame; see ``envelope``."""
    followed = envelope(sound, attack_s=attack_s, release_s=release_s)
    np.log(followed, out=followed)
    followed *= np.float32(1.0 / NEPERS_PER_DB)
    return followed


def is_active(level_db: NDArray[np.floating]) -> NDArray[np.bool_]:
    """Return in which frames an envelope in dB lies within ``ACTIVE_RANGE_DB`` of its 99th percentile.

    Raises
    ------
    ValueError
        If the envelope is empty.
    """
    if level_db.size == 0:
        raise ValueError("an empty sound has no envelope")
    return np.asarray(level_db >= np.percentile(level_db, LOUDEST_PERCENTILE) - ACTIVE_RANGE_DB)


def compress(sound: Sound, compressor: Compressor) -> Sound:
    """Return the sound compressed, all channels by the same gain."""
    gain = gain_reduction_db(sound, compressor)
    np.subtract(compressor.makeup_db, gain, out=gain)
    gain *= np.float32(NEPERS_PER_DB)
    np.exp(gain, out=gain)
    return Sound(sound.samples * gain[:, None], sound.rate_hz)


def gain_reduction_db(sound: Sound, compressor: Compressor) -> NDArray[np.float32]:
    """Return by how many dB each frame is turned down (make-up not counted), never negative."""
    return reduction_db(
        envelope_db(sound, attack_s=compressor.attack_s, release_s=compressor.release_s),
        threshold_db=compressor.threshold_db,
        ratio=compressor.ratio,
        knee_db=compressor.knee_db,
    )


def limit_peaks(sound: Sound, *, ceiling: float, look_ahead_s: float = 0.003) -> Sound:
    """Return a loop whose sample peaks stay below a ceiling, untouched but for the moments around them.

    Parameters
    ----------
    ceiling
        The greatest magnitude allowed, full scale 1.0.
    look_ahead_s
        How long before a peak the gain begins to fall, and after it has returned. The loop's end and
        start are neighbours. All channels get the same gain.

    Notes
    -----
    The reduction each frame needs, widened to the greatest of the look-ahead to come, is smoothed by a
    window as long: at a peak every widened value in the window is at least the peak's own.
    """
    if ceiling <= 0.0:
        raise ValueError(f"a ceiling is a positive magnitude (full scale 1.0), not {ceiling}")
    over = _frames_above(sound.samples, ceiling)
    if over.size == 0:
        return sound
    samples = sound.samples.copy()
    reach = max(1, seconds_to_frames(look_ahead_s, sound.rate_hz))
    _hold_down(samples, over, ceiling=ceiling, reach=reach)
    return Sound(samples, sound.rate_hz)


def hold_peaks(samples: Samples, *, ceiling: float, rate_hz: int, look_ahead_s: float = 0.003) -> None:
    """Do to samples that nobody else holds, in place, what ``limit_peaks`` does to a sound."""
    over = _frames_above(samples, ceiling)
    if over.size:
        reach = max(1, seconds_to_frames(look_ahead_s, rate_hz))
        _hold_down(samples, over, ceiling=ceiling, reach=reach)


def _hold_down(samples: Samples, over: NDArray[np.intp], *, ceiling: float, reach: int) -> None:
    places, kept = _places_around(over, reach=reach, frames=len(samples))
    loudest = np.abs(samples[places]).max(axis=1)
    reduction = _smooth_reduction(loudest, ceiling=ceiling, reach=reach)[kept]
    concerned = reduction > 0.0
    touched, gain = places[kept][concerned], (1.0 - reduction[concerned]).astype(np.float32)
    bound = _not_above(ceiling)
    samples[touched] = np.clip(samples[touched] * gain[:, None], -bound, bound)


def _frames_above(samples: Samples, ceiling: float) -> NDArray[np.intp]:
    """Return the frames in which any channel's magnitude is above a ceiling, in order."""
    flat = samples.reshape(-1)
    if max(float(flat.max(initial=0.0)), -float(flat.min(initial=0.0))) <= ceiling:
        return np.empty(0, np.intp)
    return np.unique(np.flatnonzero((flat > ceiling) | (flat < -ceiling)) // samples.shape[1])


def _greatest(samples: Samples) -> Samples:
    """Return the greatest magnitude of the channels, frame by frame."""
    magnitude = np.abs(samples)
    greatest = magnitude[:, 0].copy()
    for channel in range(1, samples.shape[1]):
        np.maximum(greatest, magnitude[:, channel], out=greatest)
    return greatest


def _not_above(ceiling: float) -> np.float32:
    """Return the greatest single-precision number that is not above a ceiling."""
    nearest = np.float32(ceiling)
    return nearest if float(nearest) <= ceiling else np.nextafter(nearest, np.float32(0.0))


def _places_around(over: NDArray[np.intp], *, reach: int, frames: int) -> tuple[NDArray[np.intp], slice]:
    """Return the frames of a loop within reach of the given ones, in order, and which of them to keep.

    Stretches that would meet are one. Where even the widest gap would close, the whole loop is returned
    with as much again of its end before it and of its start after it; those are not to be kept.
    """
    gaps = np.diff(over, append=over[0] + frames)
    widest = int(np.argmax(gaps))
    if gaps[widest] <= 2 * reach:
        return np.arange(-reach, frames + reach) % frames, slice(reach, reach + frames)
    turned = np.concatenate([over[widest + 1 :], over[: widest + 1] + frames])
    breaks = np.flatnonzero(np.diff(turned) > 2 * reach)
    starts = turned[np.concatenate([[0], breaks + 1])] - reach
    ends = turned[np.concatenate([breaks, [-1]])] + reach + 1
    stretches = [np.arange(start, end) for start, end in zip(starts, ends, strict=True)]
    return np.concatenate(stretches) % frames, slice(None)


def _smooth_reduction(loudest: Samples, *, ceiling: float, reach: int) -> NDArray[np.float64]:
    """Return 1 minus the gain: what is needed, widened ahead, smoothed by a raised-cosine window."""
    from scipy import ndimage

    needed = 1.0 - ceiling / np.maximum(loudest.astype(np.float64), ceiling)
    widened = ndimage.maximum_filter1d(needed, reach + 1, origin=-(reach // 2), mode="nearest")
    window = np.hanning(reach + 3)[1:-1]
    return np.convolve(widened, window / window.sum())[: needed.size]
