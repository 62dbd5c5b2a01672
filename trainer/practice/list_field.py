"""The list field: rows of an answer in any order, as many as somebody wants to write, marked by best assignment.

What guessing as many rows gives on average is taken away: a guesser's expectation is about 0, and never below.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import prod
from typing import Any, ClassVar, Self

import numpy as np
from numpy.random import Generator, default_rng

from trainer.practice.fields import KIND, OptionField, field_from, kept_as
from trainer.practice.typed import PARTS, read_whole
from trainer.practice.values import Row, Value, is_simple
from trainer.refusal import Refused

BETWEEN_ROWS = ";"
"""What parts the rows of a list typed in one line."""
NOTHING = "nothing"
"""What is typed for a list without a row."""
GUESSES = 400
"""How many lists are guessed to find what guessing is worth: good to about 0.01."""


@kept_as("list")
@dataclass(frozen=True, slots=True)
class ListField:
    """Up to ``most`` rows, each with the fields ``of``; no row means there is nothing to name."""

    KIND: ClassVar[str] = ""

    of: tuple[OptionField, ...]
    most: int
    key: str = "changes"
    title: str = "changes"

    @property
    def chance(self) -> float:
        """The chance to be wholly right by guessing, where there is one row."""
        return prod(one.chance for one in self.of)

    @property
    def hint(self) -> str:
        """What a row holds, and how rows are typed."""
        columns = " / ".join(f"{one.title} ({one.hint})" for one in self.of)
        return f"{columns}; up to {self.most} rows with {BETWEEN_ROWS} between, or {NOTHING}"

    def label(self, value: Value) -> str:
        """Return the rows in words."""
        rows = _rows(value)
        return "; ".join(self.row_label(row) for row in rows) if rows else NOTHING

    def row_label(self, row: Row) -> str:
        """Return one row in words."""
        return " ".join(one.label(row[one.key]) for one in self.of)

    def checked(self, value: object) -> tuple[Row, ...]:
        """Return the rows a value holds; `Refused` if it is no list of whole rows, or they are too many."""
        if isinstance(value, str) or not isinstance(value, Sequence):
            raise Refused(f"the {self.title} are a list of rows, not {value!r}")
        if len(value) > self.most:
            raise Refused(f"the {self.title} hold {len(value)} rows; there are {self.most} at most")
        return tuple(map(self._row, value))

    def _row(self, row: object) -> Row:
        if not isinstance(row, Mapping) or set(row) != {one.key for one in self.of}:
            wanted = ", ".join(one.title for one in self.of)
            raise Refused(f"a row of the {self.title} holds {wanted}, not {row!r}")
        return {one.key: one.checked(row[one.key]) for one in self.of}

    def read(self, typed: str) -> tuple[Row, ...]:
        """Return the rows that somebody typed: ``500 boost; 2k cut``."""
        if typed.strip().casefold() == NOTHING:
            return ()
        lines = [line for line in typed.split(BETWEEN_ROWS) if line.strip()]
        if not lines:
            raise Refused(f"{typed.strip()!r} holds no row: type one, or {NOTHING}")
        rows = [read_whole(self.of, line.replace(PARTS, " ")) for line in lines]
        return self.checked(rows)

    def mark(self, given: Value, right: Value) -> float:
        """Return the mark of rows beside the right ones, in whatever order, guessing taken away."""
        said, true = _rows(given), _rows(right)
        if not said or not true:
            return float(len(said) == len(true))
        worth, by_guessing = self._assigned(said, true), _guessed(self, len(said), _frozen(true))
        return max(0.0, (worth - by_guessing) / (1.0 - by_guessing)) if by_guessing < 1.0 else worth

    def _assigned(self, said: Sequence[Row], true: Sequence[Row]) -> float:
        """Return the mean mark of rows under the best assignment; rows too many and too few are worth nothing."""
        from scipy.optimize import linear_sum_assignment

        marks = np.array([[self._row_mark(row, wanted) for wanted in true] for row in said])
        rows, columns = linear_sum_assignment(marks, maximize=True)
        return float(marks[rows, columns].sum() / max(marks.shape))

    def _row_mark(self, said: Row, true: Row) -> float:
        return float(prod(one.mark(said[one.key], true[one.key]) for one in self.of))

    def guessed(self, right: Value) -> float:
        """Return what guessing as many rows as are right is worth on average: what is left of it above nothing."""
        true = _rows(right)
        return _left_to_guessing(self, _frozen(true)) if true else 1.0 / (1.0 + self.most)

    def any_rows(self, count: int, rng: Generator) -> tuple[Row, ...]:
        """Return so many rows, each option drawn evenly."""
        return tuple(
            {one.key: one.options[rng.integers(len(one.options))] for one in self.of} for _ in range(count)
        )

    def plain(self) -> dict[str, Any]:
        """Return the field as plain values."""
        return {KIND: self.KIND, "key": self.key, "title": self.title, "most": self.most,
                "of": [one.plain() for one in self.of]}  # fmt: skip

    @classmethod
    def from_plain(cls, plain: Mapping[str, Any]) -> Self:
        """Return the field of plain values."""
        of = tuple(map(field_from, plain["of"]))
        options = tuple(one for one in of if isinstance(one, OptionField))
        if len(options) != len(of):
            raise ValueError(f"a row holds fields with options, not {plain['of']!r}")
        return cls(options, int(plain["most"]), str(plain["key"]), str(plain["title"]))


_Frozen = tuple[tuple[tuple[str, Any], ...], ...]


def _frozen(rows: Sequence[Row]) -> _Frozen:
    """Return rows as something to keep figures by; their order is of no account."""
    return tuple(sorted((tuple(sorted(row.items())) for row in rows), key=repr))


@lru_cache(maxsize=256)
def _guessed(field: ListField, count: int, right: _Frozen) -> float:
    """Return what so many guessed rows are worth on average, before guessing is taken away; the same every time."""
    rng, true = default_rng(0), [dict(row) for row in right]
    worth = [field._assigned(field.any_rows(count, rng), true) for _ in range(GUESSES)]
    return float(np.mean(worth))


@lru_cache(maxsize=256)
def _left_to_guessing(field: ListField, right: _Frozen) -> float:
    """Return the mark that guessing as many rows as are right gives on average; the same every time."""
    rng, true = default_rng(1), tuple(dict(row) for row in right)
    return float(np.mean([field.mark(field.any_rows(len(true), rng), true) for _ in range(GUESSES)]))


def _rows(value: Value) -> tuple[Row, ...]:
    if is_simple(value) or not isinstance(value, tuple):
        raise ValueError(f"a list of rows is wanted, not {value!r}")
    return value
