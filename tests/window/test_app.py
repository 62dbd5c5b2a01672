"""The window's loop: what is drawn again, and when; on surfaces in memory, without a window."""

from trainer.playback.sdl import pygame
from trainer.window.canvas import Canvas
from trainer.window.gallery import LOOKS, blank
from trainer.window.settings import Settings


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
