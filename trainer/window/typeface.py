"""The typeface: DejaVu Sans from the data folder of matplotlib, and another font for scripts it lacks."""

from functools import lru_cache
from importlib.util import find_spec
from pathlib import Path

from trainer.playback.sdl import pygame

SMALL, BODY, CARD, HEADING, QUESTION, TITLE = 12, 14, 16, 18, 21, 30
"""Sizes of type, in pixels at 100 % in a window of 1280 by 720."""

FILES = {False: "DejaVuSans.ttf", True: "DejaVuSans-Bold.ttf"}
OTHER_SCRIPTS = (
    "notosanscjkjp,notosansarabic,notosanshebrew,notosansdevanagari,notoemoji,segoeui,arialunicodems"
)
"""Fonts tried, where they are installed, for names in a script DejaVu Sans lacks."""
CACHED = 4_000
"""How many lines of text are kept as pictures."""

OWN_SIGNS = "–−·…←→↑↓▲▼✓✗≥≤⌫\u202f"
"""Signs beyond Latin-1 that our own words use; the typeface has them all (a test looks)."""


def font_folder() -> Path | None:
    """Return matplotlib's folder of fonts, found without importing it."""
    spec = find_spec("matplotlib")
    for place in (spec.submodule_search_locations if spec else None) or ():
        folder = Path(place) / "mpl-data" / "fonts" / "ttf"
        if (folder / FILES[False]).exists():
            return folder
    return None


@lru_cache(maxsize=256)
def font(size_px: int, *, bold: bool = False) -> pygame.font.Font:
    """Return the typeface at a size; pygame's own where matplotlib's fonts are missing."""
    folder = font_folder()
    return pygame.font.Font(None if folder is None else str(folder / FILES[bold]), size_px)


@lru_cache(maxsize=CACHED)
def line_picture(
    text: str, size_px: int, colour: tuple[int, int, int], *, bold: bool = False
) -> pygame.Surface:
    """Return a line of text as a picture, to be drawn and not to be changed."""
    chosen = font(size_px, bold=bold) if has_glyphs(text) else other_font(size_px, bold=bold)
    return chosen.render(text, True, colour)


@lru_cache(maxsize=CACHED)
def text_size(text: str, size_px: int, *, bold: bool = False) -> tuple[int, int]:
    """Return how wide and high a line of text is."""
    chosen = font(size_px, bold=bold) if has_glyphs(text) else other_font(size_px, bold=bold)
    width, height = chosen.size(text)
    return width, height


@lru_cache(maxsize=64)
def other_font(size_px: int, *, bold: bool = False) -> pygame.font.Font:
    """Return an installed font for other scripts, or the typeface itself, which draws boxes then."""
    found = pygame.font.match_font(OTHER_SCRIPTS, bold)
    return pygame.font.Font(found, size_px) if found else font(size_px, bold=bold)


def has_glyphs(text: str) -> bool:
    """Say whether the typeface has every letter of a text."""
    if all(letter < "\u0100" or letter in OWN_SIGNS for letter in text):
        return True
    return all(ord(letter) in _letters() for letter in text)


@lru_cache(maxsize=1)
def _letters() -> frozenset[int]:
    folder = font_folder()
    if folder is None:
        return frozenset()
    from fontTools.ttLib import TTFont

    with TTFont(folder / FILES[False], lazy=True) as file:
        return frozenset(file.getBestCmap())
