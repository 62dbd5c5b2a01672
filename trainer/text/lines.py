"""Lines in and lines out: what every front end in a terminal asks by, leaves by, and turns the level by."""

from collections.abc import Callable

from trainer.playback.care import LEVEL_STEP_DB

Ask = Callable[[str], str | None]
"""Asks for a line; None when there will be no more."""
Say = Callable[[str], None]
QUITTING = ("q", "quit")
MOST_STEPS_UP = 2


class Leave(Exception):
    """Somebody wants to stop here."""


def typed(ask: Ask, prompt: str) -> str:
    """Return a line as typed, plain and small; `Leave` at the end of all lines, or where somebody quits."""
    said = ask(prompt)
    if said is None or said.strip().casefold() in QUITTING:
        raise Leave
    return said.strip().casefold()


def turned(level_db: float, said: str) -> float | None:
    """Return the listening level turned up by ``+`` or down by ``-``, never above full; None for other lines.

    A line turns it up by so many steps at most as does not jump, however many were typed; down, by all.
    """
    if not said or set(said) not in ({"+"}, {"-"}):
        return None
    steps = min(len(said), MOST_STEPS_UP) if said.startswith("+") else -len(said)
    return min(0.0, level_db + LEVEL_STEP_DB * steps)
