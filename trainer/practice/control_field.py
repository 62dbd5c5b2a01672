"""The control field: where a control is set, anywhere between its ends; an exercise may mark it by what it does."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any, ClassVar, Self

import numpy as np

from trainer.practice.fields import KIND, kept_as
from trainer.practice.typed import read_number
from trainer.practice.values import Value, is_simple
from trainer.refusal import Refused

REACH = 4.0
"""So many times its tolerance away from where it belongs a setting is worth nothing."""
EXACT = 9
"""To so many decimals a distance is taken: what is as far off as the tolerance is within it."""
SETTINGS = 1001
"""Over how many settings guessing is averaged."""


@kept_as("control")
@dataclass(frozen=True, slots=True)
class ControlField:
    """A control from ``low`` to ``high`` in steps of ``step``; within ``tolerance`` of right it is right."""

    KIND: ClassVar[str] = ""

    key: str
    title: str
    unit: str
    low: float
    high: float
    step: float
    tolerance: float

    @property
    def chance(self) -> float:
        """The chance to be right by guessing evenly over its travel."""
        return min(1.0, 2.0 * self.tolerance / (self.high - self.low))

    @property
    def hint(self) -> str:
        """Where it can be set."""
        return f"{self.low:g} to {self.high:g} {self.unit}"

    def label(self, value: Value) -> str:
        """Return a setting with its unit."""
        return f"{self.checked(value):g} {self.unit}"

    def checked(self, value: object) -> float:
        """Return a setting on a step of its travel; `Refused` if it is off it."""
        if not is_simple(value) or isinstance(value, str) or not self.low <= value <= self.high:
            raise Refused(f"the {self.title} runs from {self.hint}, not to {value!r}")
        return float(min(max(self.step * round(value / self.step), self.low), self.high))

    def read(self, typed: str) -> float:
        """Return the setting that somebody typed, with or without its unit."""
        return self.checked(read_number(typed, unit=self.unit))

    def mark(self, given: Value, right: Value) -> float:
        """Return 1 within the tolerance, falling to 0 at four times as far off."""
        off = round(abs(self.checked(given) - self.checked(right)) / self.tolerance, EXACT)
        return min(1.0, max(0.0, (REACH - off) / (REACH - 1.0)))

    def guessed(self, right: Value) -> float:
        """Return what an even guess over its travel is worth on average."""
        settings = np.linspace(self.low, self.high, SETTINGS)
        return float(np.mean([self.mark(float(setting), right) for setting in settings]))

    def plain(self) -> dict[str, Any]:
        """Return the field as plain values."""
        return {KIND: self.KIND} | asdict(self)

    @classmethod
    def from_plain(cls, plain: Mapping[str, Any]) -> Self:
        """Return the field of plain values."""
        return cls(**plain)
