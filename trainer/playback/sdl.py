"""The door to pygame: ``from trainer.playback.sdl import pygame``, without what it loads for nobody.

pygame imports setuptools' ``pkg_resources`` where that is installed, and numpy for two modules that hand out
arrays. Together that is half of the time its import takes, and the first picture waits for it: the first is
left out, and the two modules load when they are first used.
"""

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from importlib.util import LazyLoader, find_spec, module_from_spec

UNWANTED = "pkg_resources"
ARRAY_MODULES = ("pygame.surfarray", "pygame.sndarray")

os.environ.setdefault("PYGAME_HIDE_SUPPORT_PROMPT", "1")


@contextmanager
def _without(*names: str) -> Iterator[tuple[str, ...]]:
    """Let the import of these modules fail for a while, but for those that are loaded already."""
    blocked = tuple(name for name in names if name not in sys.modules)
    for name in blocked:
        sys.modules[name] = None  # type: ignore[assignment] # how Python itself spells it
    try:
        yield blocked
    finally:
        for name in blocked:
            del sys.modules[name]


def _load_when_used(name: str) -> None:
    """Put a module in its place that is loaded by the first look into it."""
    spec = find_spec(name)
    assert spec is not None, f"{name} is part of pygame"
    assert spec.loader is not None, f"{name} is a module"
    spec.loader = LazyLoader(spec.loader)
    module = sys.modules[name] = module_from_spec(spec)
    setattr(pygame, name.rpartition(".")[2], module)
    spec.loader.exec_module(module)


with _without(UNWANTED, *(ARRAY_MODULES if "numpy" not in sys.modules else ())) as _blocked:
    import pygame
    from pygame._sdl2 import audio, sdl2

for _name in _blocked:
    if _name in ARRAY_MODULES:
        _load_when_used(_name)

__all__ = ["audio", "pygame", "sdl2"]
