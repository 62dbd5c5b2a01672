"""Bells and shelves by the Audio EQ Cookbook (W3C Working Group Note, 8 June 2021).

A bell is given by its bandwidth in octaves (the cookbook's BW case), so that it is as wide at 8 kHz as at
125 Hz; a shelf by its slope S. Below ``DOUBLE_BELOW_HZ`` filters run in double precision: in single
precision a narrow bell at 31.5 Hz was measured 0.4 dB off, at 250 Hz less than 0.01 dB.
"""

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from trainer.dsp import pedals
from trainer.dsp.filters import run_sections, within_band
from trainer.sound import Sound

DOUBLE_BELOW_HZ = 400.0

Coefficients = NDArray[np.float64]
"""One second-order section: ``b0 b1 b2 1 a1 a2``."""


def bell(sound: Sound, *, centre_hz: float, gain_db: float, width_octaves: float = 1.0) -> Sound:
    """Return the sound with a band boosted or cut.

    Parameters
    ----------
    centre_hz
        Where the gain is greatest.
    gain_db
        The gain there; negative to cut.
    width_octaves
        The distance between the two frequencies that have half the gain in dB.

    Raises
    ------
    ValueError
        If the centre is not between zero and half the sample rate, or the width is not positive.
    """
    quality = bell_quality(centre_hz=centre_hz, width_octaves=width_octaves, rate_hz=sound.rate_hz)
    if centre_hz >= DOUBLE_BELOW_HZ:
        return pedals.peak(sound, centre_hz=centre_hz, gain_db=gain_db, quality=quality)
    return run_sections(_peaking(centre_hz, gain_db, quality, sound.rate_hz)[None], sound)


def low_shelf(sound: Sound, *, corner_hz: float, gain_db: float, slope: float = 1.0) -> Sound:
    """Return the sound boosted or cut below a corner.

    Parameters
    ----------
    corner_hz
        Where half the gain in dB is reached.
    gain_db
        The gain far below the corner.
    slope
        The cookbook's S: 1 is the steepest that does not overshoot.
    """
    quality = shelf_quality(corner_hz=corner_hz, gain_db=gain_db, slope=slope, rate_hz=sound.rate_hz)
    if corner_hz >= DOUBLE_BELOW_HZ:
        return pedals.low_shelf(sound, corner_hz=corner_hz, gain_db=gain_db, quality=quality)
    return run_sections(_low_shelving(corner_hz, gain_db, quality, sound.rate_hz)[None], sound)


def high_shelf(sound: Sound, *, corner_hz: float, gain_db: float, slope: float = 1.0) -> Sound:
    """Return the sound boosted or cut above a corner; as ``low_shelf``."""
    quality = shelf_quality(corner_hz=corner_hz, gain_db=gain_db, slope=slope, rate_hz=sound.rate_hz)
    if corner_hz >= DOUBLE_BELOW_HZ:
        return pedals.high_shelf(sound, corner_hz=corner_hz, gain_db=gain_db, quality=quality)
    return run_sections(_high_shelving(corner_hz, gain_db, quality, sound.rate_hz)[None], sound)


def bell_response_db(
    frequencies_hz: ArrayLike, *, centre_hz: float, gain_db: float, width_octaves: float = 1.0, rate_hz: int
) -> NDArray[np.float64]:
    """Return the gain in dB of a bell at each frequency."""
    section = bell_coefficients(
        centre_hz=centre_hz, gain_db=gain_db, width_octaves=width_octaves, rate_hz=rate_hz
    )
    return response_db(frequencies_hz, coefficients=section, rate_hz=rate_hz)


def low_shelf_response_db(
    frequencies_hz: ArrayLike, *, corner_hz: float, gain_db: float, slope: float = 1.0, rate_hz: int
) -> NDArray[np.float64]:
    """Return the gain in dB of a low shelf at each frequency."""
    section = low_shelf_coefficients(corner_hz=corner_hz, gain_db=gain_db, slope=slope, rate_hz=rate_hz)
    return response_db(frequencies_hz, coefficients=section, rate_hz=rate_hz)


def high_shelf_response_db(
    frequencies_hz: ArrayLike, *, corner_hz: float, gain_db: float, slope: float = 1.0, rate_hz: int
) -> NDArray[np.float64]:
    """Return the gain in dB of a high shelf at each frequency."""
    section = high_shelf_coefficients(corner_hz=corner_hz, gain_db=gain_db, slope=slope, rate_hz=rate_hz)
    return response_db(frequencies_hz, coefficients=section, rate_hz=rate_hz)


def response_db(
    frequencies_hz: ArrayLike, *, coefficients: Coefficients, rate_hz: int
) -> NDArray[np.float64]:
    """Return the gain in dB of one second-order section at each frequency."""
    ratios = response(frequencies_hz, coefficients=coefficients, rate_hz=rate_hz)
    return np.asarray(20.0 * np.log10(np.abs(ratios)))


def response(
    frequencies_hz: ArrayLike, *, coefficients: Coefficients, rate_hz: int
) -> NDArray[np.complex128]:
    """Return the response of one second-order section at each frequency: gain and phase as a complex ratio."""
    turn = np.exp(-2j * np.pi * np.asarray(frequencies_hz, float) / rate_hz)
    numerator, denominator = coefficients[2::-1], coefficients[:2:-1]
    return np.asarray(np.polyval(numerator, turn) / np.polyval(denominator, turn))


def bell_coefficients(
    *, centre_hz: float, gain_db: float, width_octaves: float, rate_hz: int
) -> Coefficients:
    """Return the section of a bell."""
    quality = bell_quality(centre_hz=centre_hz, width_octaves=width_octaves, rate_hz=rate_hz)
    return _peaking(centre_hz, gain_db, quality, rate_hz)


def low_shelf_coefficients(*, corner_hz: float, gain_db: float, slope: float, rate_hz: int) -> Coefficients:
    """Return the section of a low shelf."""
    quality = shelf_quality(corner_hz=corner_hz, gain_db=gain_db, slope=slope, rate_hz=rate_hz)
    return _low_shelving(corner_hz, gain_db, quality, rate_hz)


def high_shelf_coefficients(*, corner_hz: float, gain_db: float, slope: float, rate_hz: int) -> Coefficients:
    """Return the section of a high shelf."""
    quality = shelf_quality(corner_hz=corner_hz, gain_db=gain_db, slope=slope, rate_hz=rate_hz)
    return _high_shelving(corner_hz, gain_db, quality, rate_hz)


def bell_quality(*, centre_hz: float, width_octaves: float, rate_hz: int) -> float:
    """Return the Q that gives a digital bell its width in octaves.

    Notes
    -----
    ``1 / Q = 2 sinh(ln 2 / 2 * width * w0 / sin w0)``, the cookbook's BW case.
    """
    angle = 2.0 * math.pi * within_band(centre_hz, rate_hz=rate_hz) / rate_hz
    if width_octaves <= 0.0:
        raise ValueError(f"a bell's width is a positive number of octaves, not {width_octaves}")
    return 0.5 / math.sinh(0.5 * math.log(2.0) * width_octaves * angle / math.sin(angle))


def shelf_quality(*, corner_hz: float, gain_db: float, slope: float, rate_hz: int) -> float:
    """Return the Q of a shelf of slope S: ``1 / Q² = (A + 1 / A) (1 / S - 1) + 2``."""
    within_band(corner_hz, rate_hz=rate_hz)
    if not 0.0 < slope <= 1.0:
        raise ValueError(f"a shelf's slope is above 0 and at most 1, not {slope}")
    amplitude = _amplitude(gain_db)
    return 1.0 / math.sqrt((amplitude + 1.0 / amplitude) * (1.0 / slope - 1.0) + 2.0)


def _amplitude(gain_db: float) -> float:
    """Return the cookbook's A, the square root of the gain."""
    return float(10.0 ** (gain_db / 40.0))


def _section(numerator: tuple[float, ...], denominator: tuple[float, ...]) -> Coefficients:
    return np.array(numerator + denominator) / denominator[0]


def _cosine_and_alpha(frequency_hz: float, quality: float, rate_hz: int) -> tuple[float, float]:
    angle = 2.0 * math.pi * frequency_hz / rate_hz
    return math.cos(angle), math.sin(angle) / (2.0 * quality)


def _peaking(centre_hz: float, gain_db: float, quality: float, rate_hz: int) -> Coefficients:
    cosine, alpha = _cosine_and_alpha(centre_hz, quality, rate_hz)
    a = _amplitude(gain_db)
    return _section(
        (1.0 + alpha * a, -2.0 * cosine, 1.0 - alpha * a), (1.0 + alpha / a, -2.0 * cosine, 1.0 - alpha / a)
    )


def _low_shelving(corner_hz: float, gain_db: float, quality: float, rate_hz: int) -> Coefficients:
    cosine, alpha = _cosine_and_alpha(corner_hz, quality, rate_hz)
    return _shelving(cosine, alpha, _amplitude(gain_db), side=1.0)


def _high_shelving(corner_hz: float, gain_db: float, quality: float, rate_hz: int) -> Coefficients:
    cosine, alpha = _cosine_and_alpha(corner_hz, quality, rate_hz)
    return _shelving(cosine, alpha, _amplitude(gain_db), side=-1.0)


def _shelving(cosine: float, alpha: float, a: float, *, side: float) -> Coefficients:
    """Return a shelf: side 1 below the corner, -1 above (the cosine and the middle terms change sign)."""
    cosine *= side
    root = 2.0 * math.sqrt(a) * alpha
    numerator = (
        a * ((a + 1.0) - (a - 1.0) * cosine + root),
        side * 2.0 * a * ((a - 1.0) - (a + 1.0) * cosine),
        a * ((a + 1.0) - (a - 1.0) * cosine - root),
    )
    denominator = (
        (a + 1.0) + (a - 1.0) * cosine + root,
        side * -2.0 * ((a - 1.0) + (a + 1.0) * cosine),
        (a + 1.0) + (a - 1.0) * cosine - root,
    )
    return _section(numerator, denominator)
