"""The window's loop: what is drawn again, and when; on surfaces in memory, without a window."""

from typing import Any

import pytest

from trainer.playback.sdl import pygame
from trainer.window.app import App
from trainer.window.canvas import Canvas
from trainer.window.control import Intent
from trainer.window.gallery import LOOKS, blank
from trainer.window.keys import BINDINGS
from trainer.window.settings import Settings
from trainer.window.state import Place


def test_a_change_while_a_part_is_drawn_is_not_missed() -> None:
    state = ["before"]
    canvas = blank(Settings(), LOOKS[0])

    def paint(now: Canvas) -> None:
        now.write(state[0], (24, 24))
        state[0] = "after"

    canvas.live(pygame.Rect(0, 0, 200, 60), lambda: state[0], paint)
    (live,) = canvas.lives
    assert canvas.written[0].words == "before"
    assert live.look == "before"
    assert live.watch() != live.look


class Wanted:
    """An open program that remembers the keys it was asked by."""

    def __init__(self) -> None:
        self.session = self
        self.keys: list[str] = []

    def intent_for(self, key: str) -> None:
        self.keys.append(key)


@pytest.mark.parametrize(("turned", "key"), [(-1, "pagedown"), (2, "pageup")])
def test_the_wheel_turns_pages_where_there_are_some_and_answers_nothing(turned: int, key: str) -> None:
    opened: Any = Wanted()
    nothing: Any = None
    app = App(nothing, Settings(), opened=opened)
    app._take(pygame.event.Event(pygame.MOUSEWHEEL, x=0, y=turned))
    assert opened.keys == [key]
    listed = {place for place, bindings in BINDINGS.items() if any(key in one.keys for one in bindings)}
    assert listed == {Place.QUIZZES, Place.RESULT, Place.ROSTER}
    intents = {one.intent_of(key) for one in BINDINGS[Place.ROSTER] if key in one.keys}
    assert intents == {Intent("page", 1 if turned < 0 else -1)}


@pytest.mark.parametrize(
    ("key", "mod", "asked"),
    [
        (pygame.K_LEFT, pygame.KMOD_NONE, ["left"]),
        (pygame.K_LEFT, pygame.KMOD_LSHIFT, ["shift left", "left"]),
        (pygame.K_DELETE, pygame.KMOD_NONE, ["delete"]),
        (pygame.K_RETURN, pygame.KMOD_LCTRL, ["ctrl return"]),
        (pygame.K_KP_ENTER, pygame.KMOD_RCTRL, ["ctrl enter"]),
    ],
)
def test_keys_with_shift_and_ctrl_have_names_of_their_own(key: int, mod: int, asked: list[str]) -> None:
    """A key with Shift that means nothing of its own here is the key without it."""
    pygame.display.init()
    opened: Any = Wanted()
    nothing: Any = None
    app = App(nothing, Settings(), opened=opened)
    app._take(pygame.event.Event(pygame.KEYDOWN, key=key, mod=mod))
    assert opened.keys == asked
