"""A control: a place on a page that can be pressed, and what is wanted when it is."""

from dataclasses import dataclass

from trainer.playback.sdl import pygame


@dataclass(frozen=True, slots=True)
class Intent:
    """What somebody wants: the name of an action, and what it is to be done with."""

    do: str
    value: object = None


@dataclass(frozen=True, slots=True)
class Control:
    """Something to press.

    Attributes
    ----------
    key
        Its name on the page.
    stop
        Where the keyboard stops for it: its own name, or that of the group it is one option of.
    words
        What it says.
    """

    key: str
    rect: pygame.Rect
    intent: Intent
    words: str
    stop: str
    chosen: bool = False


@dataclass(frozen=True, slots=True)
class Written:
    """A piece of text as it was drawn: ``cut`` where it did not fit and ends in an ellipsis."""

    words: str
    rect: pygame.Rect
    size_px: int
    cut: bool = False
