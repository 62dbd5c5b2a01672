"""The typeface has our own signs; names in other scripts find another font or are boxes, never a crash."""

import ast
from pathlib import Path

import pytest
from fontTools.ttLib import TTFont

import trainer
from trainer.playback.sdl import pygame
from trainer.window.typeface import FILES, OWN_SIGNS, font_folder, has_glyphs, line_picture, text_size

SOURCES = sorted(Path(trainer.__file__).parent.rglob("*.py"))


def signs_in(path: Path) -> set[str]:
    """Return the signs beyond Latin-1 in the words of a module."""
    nodes = ast.walk(ast.parse(path.read_text(encoding="utf-8")))
    texts = [node.value for node in nodes if isinstance(node, ast.Constant) and isinstance(node.value, str)]
    return {letter for text in texts for letter in text if letter >= "\u0100"}


@pytest.mark.parametrize("is_bold", FILES)
def test_the_typeface_has_our_own_signs(is_bold: bool) -> None:
    """The character map of the font itself, as fontTools reads it."""
    folder = font_folder()
    assert folder is not None
    with TTFont(folder / FILES[is_bold]) as file:
        letters = set(map(chr, file.getBestCmap()))
    assert set(OWN_SIGNS) <= letters


def test_our_own_signs_are_all_that_the_window_says() -> None:
    said = {sign for path in SOURCES if "window" in path.parts for sign in signs_in(path)}
    assert "▲" in OWN_SIGNS
    assert said - set("\u0100") <= set(OWN_SIGNS)


@pytest.mark.parametrize("name", ["Heron", "Ærø", "Чайка", "Πελαργός", "サギ", "בז", "🦆", "عقاب"])
def test_a_name_in_any_script_is_drawn(name: str) -> None:
    pygame.font.init()
    picture = line_picture(name, 18, (255, 255, 255))
    assert picture.get_width() == text_size(name, 18)[0] > 0


def test_what_the_typeface_has_is_told() -> None:
    pygame.font.init()
    assert has_glyphs("Plover · 63–125 Hz")
    assert has_glyphs("Чайка")
    assert not has_glyphs("サギ")
