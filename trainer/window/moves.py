"""Moves: where a pick goes by a key, among options side by side or along a control's travel."""

from collections.abc import Sequence

from trainer.practice.control_field import ControlField
from trainer.practice.values import Simple, Value
from trainer.window.groups import Column

LARGE_STEP = 5
"""How many steps of a control a larger one is."""


def next_in(column: Column, now: Value | None) -> Simple:
    """Return the option after the one that is picked, round and round; the first where none of them is."""
    places = [place for place, option in enumerate(column) if option == now]
    return column[(places[0] + 1) % len(column)] if places else column[0]


def beside(all_columns: Sequence[Column], now: Value | None, *, right: int, down: int) -> Simple | None:
    """Return the option so many columns to the right and rows down; None where there is none at all.

    With nothing picked it is the first or, to the left, the top of the last column.
    """
    columns = [column for column in all_columns if column]
    at = next(
        ((c, r) for c, column in enumerate(columns) for r, one in enumerate(column) if one == now), None
    )
    if not columns:
        return None
    if at is None:
        return columns[0 if right >= 0 else -1][0]
    column = columns[min(max(at[0] + right, 0), len(columns) - 1)]
    return column[min(max(at[1] + down, 0), len(column) - 1)]


def start_of(one: ControlField) -> float:
    """Return where a control stands before it is moved: at 0 where it can, else in the middle."""
    return one.checked(0.0 if one.low <= 0.0 <= one.high else (one.low + one.high) / 2.0)


def moved(one: ControlField, now: Value | None, steps: int) -> float:
    """Return where a control is so many steps further on; it stops at its ends."""
    begun = start_of(one) if now is None else one.checked(now)
    return one.checked(min(max(begun + steps * one.step, one.low), one.high))
