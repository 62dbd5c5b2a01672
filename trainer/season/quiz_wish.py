"""What a quiz is wished to be: parts of so many items, each of an exercise, with its sizes; from options or TOML."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import Path
from typing import Any, get_args

from trainer.practice.exercise import Exercise, Scope
from trainer.practice.rep_code import check_seed
from trainer.refusal import Refused

ITEMS = 30
"""Three for each octave band: reliable enough to tell a class apart (simulated: parallel forms .79 to .90)."""
SIZES: dict[str, tuple[float, float]] = {"octave-tone": (4.0, 6.0)}
"""Near the smallest change a class names on average, where an item tells most; by exercise."""
MOST_ITEMS = 60
LONGEST_TITLE = 60


@dataclass(frozen=True, slots=True)
class QuizPart:
    """So many items of one exercise, asked on ``scope``, sizes from ``low`` to ``high`` in its ladder's unit."""

    exercise: str
    items: int
    low: float
    high: float
    scope: Scope


@dataclass(frozen=True, slots=True)
class QuizWish:
    """A quiz as it is wished for: the same wish with the same seed gives the same items."""

    title: str
    show: str
    seed: int
    parts: tuple[QuizPart, ...]

    def __post_init__(self) -> None:
        check_seed(self.seed)
        if not self.title.strip() or len(self.title) > LONGEST_TITLE or not self.title.isprintable():
            raise Refused(f"a quiz's title has 1 to {LONGEST_TITLE} letters in one line, not {self.title!r}")
        count = sum(part.items for part in self.parts)
        if not 1 <= count <= MOST_ITEMS:
            raise Refused(f"a quiz has 1 to {MOST_ITEMS} items, not {count}")


def part_of(
    exercise: Exercise,
    *,
    items: int = ITEMS,
    sizes: tuple[float, float] | None = None,
    scope: str | None = None,
) -> QuizPart:
    """Return a part, with what was left open as it is usual: on the widest scope, of middling size.

    Raises
    ------
    Refused
        If the exercise is not asked on this scope, or a size is off its ladder.
    """
    low, high = sizes or SIZES.get(exercise.key, (exercise.ladder.start, exercise.ladder.start))
    for size in (low, high):
        exercise.ladder.check(size)
    if not 0.0 < low <= high:
        raise Refused(
            f"sizes of a quiz run from a smaller one above 0 to a larger, not from {low:g} to {high:g}"
        )
    chosen = next((one for one in exercise.scopes if one == (scope or exercise.scopes[0])), None)
    if chosen is None:
        raise Refused(f"{exercise.title} is asked on a {' or a '.join(exercise.scopes)}, not on {scope!r}")
    if not 1 <= items <= MOST_ITEMS:
        raise Refused(f"a part of a quiz has 1 to {MOST_ITEMS} items, not {items}")
    return QuizPart(exercise.key, items, low, high, chosen)


QUIZ_KEYS: dict[str, type | tuple[type, ...]] = {"title": str, "show": str, "seed": int, "part": list}
PART_KEYS: dict[str, type | tuple[type, ...]] = {"exercise": str, "items": int, "sizes": list, "on": str}


def read_wish(path: Path, exercises: Mapping[str, Exercise], *, show: str, seed: int) -> QuizWish:
    """Return the wish in a TOML file; ``show`` and ``seed`` hold where it says nothing of them.

    Raises
    ------
    Refused
        If the file cannot be read, is no TOML, or says something that cannot be; the message says what.
    """
    try:
        said = tomllib.loads(path.read_text(encoding="utf-8"))
    except OSError as error:
        raise Refused(f"{path} cannot be read: {error.strerror or error}") from error
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise Refused(f"{path} is no TOML file: {error}") from error
    _checked(said, QUIZ_KEYS, f"{path.name}")
    parts = said.get("part") or [{}]
    return QuizWish(
        title=said.get("title", path.stem),
        show=said.get("show", show),
        seed=said.get("seed", seed),
        parts=tuple(_part(part, exercises, f"{path.name}, part {n}") for n, part in enumerate(parts, 1)),
    )


def _part(said: Any, exercises: Mapping[str, Exercise], where: str) -> QuizPart:
    if not isinstance(said, dict):
        raise Refused(f"{where}: a part is a table that begins with [[part]], not {said!r}")
    _checked(said, PART_KEYS, where)
    key = said.get("exercise", next(iter(SIZES)))
    if key not in exercises:
        raise Refused(f"{where}: there is no exercise {key!r}; there are {', '.join(exercises)}")
    sizes = said.get("sizes")
    try:
        return part_of(
            exercises[key],
            items=said.get("items", ITEMS),
            sizes=None if sizes is None else _pair(sizes),
            scope=said.get("on"),
        )
    except Refused as why:
        raise Refused(f"{where}: {why}") from why


def _pair(sizes: list[Any]) -> tuple[float, float]:
    numbers = [size for size in sizes if isinstance(size, int | float) and not isinstance(size, bool)]
    if len(numbers) != len(sizes) or len(numbers) not in (1, 2):
        raise Refused(f"sizes are one number or two, from and to, as in [4, 6], not {sizes!r}")
    return float(numbers[0]), float(numbers[-1])


def _checked(said: Mapping[str, Any], keys: Mapping[str, type | tuple[type, ...]], where: str) -> None:
    for key, value in said.items():
        if key not in keys:
            meant = get_close_matches(key, keys, n=1)
            hint = f"; did you mean {meant[0]!r}?" if meant else ""
            raise Refused(f"{where}: {key!r} is none of {', '.join(keys)}{hint}")
        if not isinstance(value, keys[key]) or isinstance(value, bool):
            raise Refused(f"{where}: {key} cannot be {value!r}")
    on = said.get("on")
    if on is not None and on not in get_args(Scope):
        raise Refused(f"{where}: on is one of {', '.join(get_args(Scope))}, not {on!r}")
