"""The sitting: all that a block is dealt from, as a value; kept as text, it lets a block be gone on with later."""

import json
import math
from dataclasses import dataclass, fields
from datetime import datetime
from typing import Any

HEX = frozenset("0123456789abcdef")
BLOCK_MINUTES = (3, 8, 15)
"""How long a block may be, where it is dealt by time."""


@dataclass(frozen=True, slots=True)
class Sitting:
    """What a block is dealt from: the same sitting gives the same reps in the same order to the same ear.

    Attributes
    ----------
    uid
        The block's UUID as 32 hex digits: its attempts are found by it.
    exercises
        The keys of the exercises, in no order: the seed gives one.
    show
        The key of the source of music.
    count
        How many reps there are.
    size
        The one size of all reps, or None where sizes vary around the ladders' start.
    begun_at
        UTC.
    is_adapted
        Whether bands and sizes follow the learner's thresholds; otherwise they are drawn evenly, around the
        ladders' start, and the same sitting gives the same reps to anybody.
    quiz
        The uid of the quiz whose items its reps are, in their order; empty for a drill.

    Raises
    ------
    ValueError
        If it cannot be a block's.
    """

    uid: str
    learner: str
    exercises: tuple[str, ...]
    show: str
    count: int
    seed: int
    size: float | None
    begun_at: datetime
    is_adapted: bool = False
    quiz: str = ""

    def __post_init__(self) -> None:
        for is_well, needed in (
            (len(self.uid) == 32 and set(self.uid) <= HEX, "a uid of 32 lower-case hex digits"),
            (len(self.exercises) > 0, "an exercise"),
            (self.count > 0, "at least one rep"),
            (self.seed >= 0, "a seed of at least 0"),
            (self.size is None or math.isfinite(self.size), "a size that is a finite number"),
            (self.begun_at.tzinfo is not None, "a time with its zone"),
        ):
            if not is_well:
                raise ValueError(f"a sitting needs {needed}: {self}")


def to_text(sitting: Sitting) -> str:
    """Return a sitting as JSON."""
    plain = {field.name: getattr(sitting, field.name) for field in fields(sitting)}
    plain |= {"exercises": list(sitting.exercises), "begun_at": sitting.begun_at.isoformat()}
    return json.dumps(plain, ensure_ascii=False, allow_nan=False)


_KINDS: dict[str, tuple[type, ...]] = {
    "uid": (str,),
    "learner": (str,),
    "exercises": (list,),
    "show": (str,),
    "count": (int,),
    "seed": (int,),
    "size": (float, int, type(None)),
    "begun_at": (str,),
    "is_adapted": (bool,),
    "quiz": (str,),
}
"""What JSON holds for each attribute."""


def from_text(text: str) -> Sitting:
    """Return the sitting of a text that `to_text` made.

    Raises
    ------
    ValueError
        If it is the text of no sitting; nothing is guessed.
    """
    plain: Any = json.loads(text)
    if isinstance(plain, dict):  # those of before there were thresholds, and quizzes, say nothing of them
        plain = {"is_adapted": False, "quiz": ""} | plain
    if not isinstance(plain, dict) or set(plain) != set(_KINDS):
        raise ValueError(f"{text!r} is no sitting: one holds {', '.join(_KINDS)}")
    for name, kinds in _KINDS.items():
        if not isinstance(plain[name], kinds) or (isinstance(plain[name], bool) and bool not in kinds):
            raise ValueError(f"a sitting's {name} cannot be {plain[name]!r}")
    if not all(isinstance(key, str) for key in plain["exercises"]):
        raise ValueError(f"a sitting's exercises are keys, not {plain['exercises']!r}")
    given = {"exercises": tuple(plain["exercises"]), "begun_at": datetime.fromisoformat(plain["begun_at"])}
    return Sitting(**(plain | given))
