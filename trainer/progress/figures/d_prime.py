"""d′: how far a change stands out of the noise in an ear, from a share of right answers among m alternatives.

For experts: it takes the alternatives as unordered and independent, and mistakes between octave bands are
neither, so it overstates.
"""

import numpy as np
from numpy.typing import NDArray

_NODES = np.linspace(-8.0, 14.0, 2201)
_STEP = _NODES[1] - _NODES[0]
_LARGEST = 6.0


def share_right(d_prime: float, alternatives: int) -> float:
    """Return the share of right answers: ``∫ φ(x - d′) Φ(x)^(m - 1) dx``.

    References
    ----------
    Green & Dai, Perception & Psychophysics 49 (1991); Hacker & Ratcliff, Perception & Psychophysics 26 (1979).
    """
    signal = np.exp(-0.5 * np.square(_NODES - d_prime)) / np.sqrt(2.0 * np.pi)
    return float(np.sum(signal * _below() ** (alternatives - 1)) * _STEP)


def d_prime_of(share: float, alternatives: int) -> float:
    """Return the d′ at which so large a share of answers among so many alternatives is right.

    Raises
    ------
    ValueError
        If the share is below chance, or so near to all that no d′ tells.
    """
    low, high = 0.0, _LARGEST
    if not share_right(low, alternatives) - 1e-9 <= share <= share_right(high, alternatives):
        raise ValueError(f"a share of {share} right of {alternatives} alternatives is below chance, or all")
    for _ in range(50):
        middle = 0.5 * (low + high)
        is_enough = share_right(middle, alternatives) >= share
        low, high = (low, middle) if is_enough else (middle, high)
    return high


def _below() -> NDArray[np.float64]:
    """Return the normal distribution function at the nodes."""
    density = np.exp(-0.5 * np.square(_NODES)) / np.sqrt(2.0 * np.pi)
    summed: NDArray[np.float64] = np.cumsum(density) * _STEP - 0.5 * density * _STEP
    return np.clip(summed, 0.0, 1.0)
