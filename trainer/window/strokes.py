"""Curves with smooth edges: how much of each pixel a line through given heights covers, column by column."""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from trainer.playback.sdl import pygame
from trainer.window.theme import Colour

Heights = NDArray[np.float64]
Cover = NDArray[np.float64]


def line_cover(heights: Heights, *, height: int, width: float, dash: float = 0.0) -> Cover:
    """Return how much of each pixel a line covers, shape ``(columns, height)``.

    Parameters
    ----------
    heights
        Where the line is in each column, in pixels from the top.
    width
        The line's width across, in pixels.
    dash
        The length of dashes and of the gaps between them along the line; 0 for a whole line.
    """
    slope = np.gradient(heights)
    rows = np.arange(height)[None, :] + 0.5
    across = np.abs(rows - heights[:, None]) / np.sqrt(1.0 + np.square(slope))[:, None]
    cover = np.clip(width / 2.0 + 0.5 - across, 0.0, 1.0)
    reach = np.maximum(np.abs(slope) / 2.0, 0.0)[:, None] + width / 2.0 + 1.0
    cover[np.abs(rows - heights[:, None]) > reach] = 0.0
    if dash:
        along = np.cumsum(np.sqrt(1.0 + np.square(slope)))
        cover[(along // dash) % 2 == 1] = 0.0
    return cover


def fill_cover(heights: Heights, *, zero: float, height: int) -> Cover:
    """Return how much of each pixel lies between a line and the height ``zero``."""
    rows = np.arange(height)[None, :]
    top = np.minimum(heights, zero)[:, None]
    bottom = np.maximum(heights, zero)[:, None]
    return np.asarray(np.clip(np.minimum(rows + 1.0, bottom) - np.maximum(rows, top), 0.0, 1.0))


def picture_of_cover(cover: Cover, ink: Colour, *, share: float = 1.0) -> pygame.Surface:
    """Return a picture of an ink that covers so much of each pixel."""
    picture = pygame.Surface(cover.shape, pygame.SRCALPHA)
    picture.fill((*ink, 0))
    alphas: Any = pygame.surfarray.pixels_alpha(picture)
    alphas[:] = np.round(255.0 * share * cover).astype(np.uint8)
    del alphas  # lets go of the picture
    return picture


def draw_curve(
    surface: pygame.Surface,
    rect: pygame.Rect,
    heights: Heights,
    ink: Colour,
    *,
    width: float,
    zero: float | None = None,
    dash: float = 0.0,
) -> None:
    """Draw a curve into a rectangle, filled thinly down (or up) to ``zero`` where that is given.

    ``heights`` has one height for each column of the rectangle, in pixels from its top.
    """
    if zero is not None:
        filled = fill_cover(heights, zero=zero, height=rect.h)
        surface.blit(picture_of_cover(filled, ink, share=0.22), rect)
    cover = line_cover(heights, height=rect.h, width=width, dash=dash)
    surface.blit(picture_of_cover(cover, ink), rect)
