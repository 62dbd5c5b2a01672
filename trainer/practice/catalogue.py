"""The catalogue: the exercises found in the packages that name themselves, and what failed to load.

A package offers exercises through the entry-point group ``yardline.exercises``; each of its modules holds one
as ``EXERCISE``. A broken module becomes a line in a list, never a crash.
"""

import importlib
import pkgutil
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from importlib.metadata import entry_points

from trainer.practice.exercise import Exercise
from trainer.refusal import Refused

GROUP = "yardline.exercises"
HOME = "exercises"
"""The package that comes with Yardline: looked in even where nothing is installed."""


@dataclass(frozen=True, slots=True)
class Broken:
    """A module that should hold an exercise and does not."""

    module: str
    reason: str


@dataclass(frozen=True, slots=True)
class Catalogue:
    """The exercises by key, and the modules that failed."""

    exercises: Mapping[str, Exercise]
    broken: tuple[Broken, ...]

    def __getitem__(self, key: str) -> Exercise:
        """Return an exercise.

        Raises
        ------
        Refused
            If there is none of this key; the message names those there are.
        """
        if key not in self.exercises:
            raise Refused(f"there is no exercise {key!r}; there are {', '.join(self.exercises)}")
        return self.exercises[key]


def packages() -> tuple[str, ...]:
    """Return the packages that offer exercises, our own first."""
    named = {point.value for point in entry_points(group=GROUP)}
    return (HOME, *sorted(named - {HOME}))


def load(package_names: Iterable[str] | None = None) -> Catalogue:
    """Return the exercises of the packages (by default, of all that offer some)."""
    exercises: dict[str, Exercise] = {}
    broken: list[Broken] = []
    for package in packages() if package_names is None else package_names:
        for module in _modules_of(package, broken):
            found = _exercise_of(module, broken)
            if found is None:
                continue
            if found.key in exercises:
                broken.append(Broken(module, f"there is an exercise {found.key!r} already"))
            else:
                exercises[found.key] = found
    return Catalogue(exercises, tuple(broken))


def _modules_of(package: str, broken: list[Broken]) -> list[str]:
    try:
        path = importlib.import_module(package).__path__
    except Exception as error:  # a plug-in may fail in any way
        broken.append(Broken(package, _reason(error)))
        return []
    return [f"{package}.{module.name}" for module in pkgutil.iter_modules(path)]


def _exercise_of(module: str, broken: list[Broken]) -> Exercise | None:
    try:
        found = importlib.import_module(module).EXERCISE
    except Exception as error:  # a plug-in may fail in any way
        broken.append(Broken(module, _reason(error)))
        return None
    if not isinstance(found, Exercise):
        broken.append(Broken(module, f"its EXERCISE is a {type(found).__name__}, not an Exercise"))
        return None
    return found


def _reason(error: Exception) -> str:
    return f"{type(error).__name__}: {error}"
