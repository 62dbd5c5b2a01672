"""Dice: the composer's chance, a random generator that speaks in weighted tables."""

from collections.abc import Sequence
from typing import TypeVar

import numpy as np

Choice = TypeVar("Choice")
Table = Sequence[tuple[float, Choice]]
"""Rows of (weight, choice)."""

_BLOCK = 256


class Dice:
    """Chance drawn from a generator in blocks, so that a single throw costs next to nothing."""

    def __init__(self, rng: np.random.Generator) -> None:
        self._rng = rng
        self._thrown: list[float] = []

    def throw(self) -> float:
        """Return a number from 0 up to, not including, 1."""
        if not self._thrown:
            self._thrown = self._rng.random(_BLOCK).tolist()
        return self._thrown.pop()

    def chance(self, probability: float) -> bool:
        """Return True as often as ``probability`` says."""
        return self.throw() < probability

    def between(self, low: float, high: float) -> float:
        """Return a number evenly drawn between two bounds."""
        return low + (high - low) * self.throw()

    def one_of(self, choices: Sequence[Choice]) -> Choice:
        """Return one of the choices, all alike."""
        return choices[int(self.throw() * len(choices))]

    def weighted(self, table: Table[Choice]) -> Choice:
        """Return a choice of the table, in proportion to its weight."""
        left = self.throw() * sum(weight for weight, _ in table)
        for weight, choice in table:
            left -= weight
            if left < 0.0:
                return choice
        return table[-1][1]
