"""What was heard, held against what it should have been."""

import numpy as np
from numpy.typing import NDArray
from scipy.signal import correlate


def distance_db(heard: NDArray[np.float32], version: NDArray[np.float32]) -> float:
    """Return how far what was heard is from a stretch of the looping version, at its best place and level."""
    looped = np.concatenate((version, version[: len(heard)]))
    left = looped[:, 0].astype(np.float64)
    energy = correlate(np.square(left), np.ones(len(heard)), mode="valid")
    place = int(np.argmax(correlate(left, heard[:, 0], mode="valid") / np.sqrt(np.maximum(energy, 1e-9))))
    there = looped[place : place + len(heard)]
    level = np.sum(there * heard) / np.sum(there * there)
    left_over = np.sum(np.square(heard - level * there)) / np.sum(np.square(heard))
    return float(10.0 * np.log10(left_over + 1e-20))
