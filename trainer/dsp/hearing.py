"""An ear's figures: the threshold of hearing (ISO 226:2023, ISO 389-7:2019) and equivalent rectangular bandwidths.

Frequencies in hertz, levels in dB SPL of a pure tone in a free field, heard with both ears by somebody from 18
to 25 years old. Bandwidths by Glasberg and Moore (Hearing Research 47, 1990).
"""

from typing import overload

import numpy as np
from numpy.typing import ArrayLike, NDArray

THRESHOLDS_DB_SPL: dict[float, float] = {
    20.0: 78.5, 25.0: 68.7, 31.5: 59.5, 40.0: 51.1, 50.0: 44.0, 63.0: 37.5, 80.0: 31.5, 100.0: 26.5,
    125.0: 22.1, 160.0: 17.9, 200.0: 14.4, 250.0: 11.4, 315.0: 8.6, 400.0: 6.2, 500.0: 4.4, 630.0: 3.0,
    800.0: 2.2, 1000.0: 2.4, 1250.0: 3.5, 1600.0: 1.7, 2000.0: -1.3, 2500.0: -4.2, 3150.0: -6.0, 4000.0: -5.4,
    5000.0: -1.5, 6300.0: 6.0, 8000.0: 12.6, 10000.0: 13.9, 12500.0: 12.3, 14000.0: 18.4, 16000.0: 40.2,
    18000.0: 73.2,
}  # fmt: skip
"""The threshold of hearing: to 12.5 kHz T_f of ISO 226, above that the free-field threshold of ISO 389-7."""

_FREQUENCIES = np.log(np.array(list(THRESHOLDS_DB_SPL)))
_LEVELS_DB_SPL = np.array(list(THRESHOLDS_DB_SPL.values()))


def threshold_db_spl(frequency_hz: ArrayLike) -> NDArray[np.float64]:
    """Return the threshold of hearing at each frequency, straight between the tabled ones over log frequency.

    Below 20 Hz and above 18 kHz the last figure stands: no standard goes further.
    """
    return np.asarray(np.interp(np.log(np.asarray(frequency_hz)), _FREQUENCIES, _LEVELS_DB_SPL))


@overload
def erb_hz(frequency_hz: float) -> float: ...
@overload
def erb_hz(frequency_hz: NDArray[np.float64]) -> NDArray[np.float64]: ...
def erb_hz(frequency_hz: float | NDArray[np.float64]) -> float | NDArray[np.float64]:
    """Return the equivalent rectangular bandwidth of the auditory filter at a frequency (equation 3)."""
    return 24.7 * (4.37e-3 * frequency_hz + 1.0)


def erb_number(frequency_hz: float) -> float:
    """Return how many equivalent rectangular bandwidths lie below a frequency (equation 4)."""
    return float(21.4 * np.log10(4.37e-3 * frequency_hz + 1.0))


def erb_number_to_hz(number: ArrayLike) -> NDArray[np.float64]:
    """Return the frequency with so many equivalent rectangular bandwidths below it."""
    return np.asarray((10.0 ** (np.asarray(number) / 21.4) - 1.0) / 4.37e-3)
