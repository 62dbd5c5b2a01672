"""The door to pygame: what its import must not load, and that nothing is missing for it afterwards."""

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]

LIGHT = """
import sys
from trainer.playback.sdl import pygame
assert pygame.USEREVENT
loaded = {"numpy", "pkg_resources"} & set(sys.modules)
assert not loaded, loaded
"""

WHOLE = """
import importlib.util, sys
from trainer.playback.sdl import pygame
picture = pygame.Surface((3, 2), pygame.SRCALPHA, 32)
pygame.surfarray.pixels_alpha(picture)[:] = 77
assert picture.get_at((2, 1)).a == 77
import pygame.sndarray, pygame.surfarray
assert pygame.sndarray.make_sound and sys.modules["pygame.surfarray"] is pygame.surfarray
assert None not in sys.modules.values(), "no import is left blocked"
if importlib.util.find_spec("pkg_resources"):
    import warnings
    warnings.simplefilter("ignore")
    import pkg_resources
"""

LATE = """
import numpy, sys
before = sys.modules["numpy"]
from trainer.playback.sdl import pygame
assert pygame.surfarray.array3d(pygame.Surface((3, 2))).shape == (3, 2, 3)
assert sys.modules["numpy"] is before
"""


@pytest.mark.parametrize("program", [LIGHT, WHOLE, LATE], ids=["light", "whole", "late"])
def test_pygame_comes_through_its_door_light_and_whole(program: str) -> None:
    """Each in a process of its own: alone; with what was left out used later; with numpy loaded before."""
    ended = subprocess.run(
        [sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, timeout=60, check=False
    )
    assert ended.returncode == 0, ended.stderr
    assert ended.stdout == "", "no support prompt"
