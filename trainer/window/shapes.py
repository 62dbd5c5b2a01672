"""Shapes with smooth edges: drawn several times larger, made smaller, and kept."""

import math
from collections.abc import Callable
from functools import lru_cache
from itertools import pairwise

from trainer.playback.sdl import pygame
from trainer.window.theme import Colour

OVERSAMPLED = 4
Points = list[tuple[float, float]]


def blit_rounded(
    surface: pygame.Surface,
    rect: pygame.Rect,
    *,
    fill: Colour | None,
    edge: Colour | None,
    radius: int,
    width: int,
) -> None:
    """Draw a rectangle with round corners; ``width`` is the outline's, inside the rectangle."""
    radius = max(1, min(radius, rect.w // 2, rect.h // 2))
    tile = _corners(radius, fill, edge, width)
    for x, source_x in ((rect.left, 0), (rect.right - radius, radius)):
        for y, source_y in ((rect.top, 0), (rect.bottom - radius, radius)):
            surface.blit(tile, (x, y), (source_x, source_y, radius, radius))
    if fill is not None:
        surface.fill(fill, (rect.left + radius, rect.top, rect.w - 2 * radius, rect.h))
        surface.fill(fill, (rect.left, rect.top + radius, rect.w, rect.h - 2 * radius))
    if edge is not None:
        _straight_edges(surface, rect, edge, radius, width)


def _straight_edges(
    surface: pygame.Surface, rect: pygame.Rect, edge: Colour, radius: int, width: int
) -> None:
    for y in (rect.top, rect.bottom - width):
        surface.fill(edge, (rect.left + radius, y, rect.w - 2 * radius, width))
    for x in (rect.left, rect.right - width):
        surface.fill(edge, (x, rect.top + radius, width, rect.h - 2 * radius))


@lru_cache(maxsize=512)
def _corners(radius: int, fill: Colour | None, edge: Colour | None, width: int) -> pygame.Surface:
    """Return the four corners, put together."""
    size, large = 2 * radius, 2 * radius * OVERSAMPLED
    outer = edge or fill or (0, 0, 0)
    tile = _blank(large, outer)
    pygame.draw.rect(tile, (*outer, 255), (0, 0, large, large), border_radius=radius * OVERSAMPLED)
    if edge is not None:
        inset = width * OVERSAMPLED
        inner = (inset, inset, large - 2 * inset, large - 2 * inset)
        inside = (*fill, 255) if fill is not None else (*edge, 0)
        pygame.draw.rect(tile, inside, inner, border_radius=max(0, radius - width) * OVERSAMPLED)
    return pygame.transform.smoothscale(tile, (size, size))


@lru_cache(maxsize=256)
def sign_picture(name: str, size: int, fill: Colour) -> pygame.Surface:
    """Return a sign of a size: ``up``, ``down``, ``right`` (a tick), ``wrong`` (a cross), ``dot``."""
    size = max(4, size)
    large = size * OVERSAMPLED
    tile = _blank(large, fill)
    _SIGNS[name](tile, large, (*fill, 255))
    return pygame.transform.smoothscale(tile, (size, size))


def _blank(size: int, around: Colour) -> pygame.Surface:
    """Return a clear square whose hidden colour is that of the shape, so that its edges do not darken."""
    tile = pygame.Surface((size, size), pygame.SRCALPHA)
    tile.fill((*around, 0))
    return tile


Ink = tuple[int, int, int, int]


def _polygon(*corners: tuple[float, float]) -> Callable[[pygame.Surface, int, Ink], None]:
    def draw(tile: pygame.Surface, size: int, ink: Ink) -> None:
        pygame.draw.polygon(tile, ink, [(x * size, y * size) for x, y in corners])

    return draw


def _strokes(*lines: tuple[tuple[float, float], ...]) -> Callable[[pygame.Surface, int, Ink], None]:
    def draw(tile: pygame.Surface, size: int, ink: Ink) -> None:
        for points in lines:
            _stroke(tile, [(x * size, y * size) for x, y in points], 0.14 * size, ink)

    return draw


def _stroke(tile: pygame.Surface, points: Points, width: float, ink: Ink) -> None:
    """Draw a thick line with round joints and ends."""
    for (x0, y0), (x1, y1) in pairwise(points):
        length = math.hypot(x1 - x0, y1 - y0) or 1.0
        dx, dy = (y0 - y1) / length * width / 2, (x1 - x0) / length * width / 2
        corners = [(x0 + dx, y0 + dy), (x1 + dx, y1 + dy), (x1 - dx, y1 - dy), (x0 - dx, y0 - dy)]
        pygame.draw.polygon(tile, ink, corners)
    for point in points:
        pygame.draw.circle(tile, ink, point, width / 2)


def _dot(tile: pygame.Surface, size: int, ink: Ink) -> None:
    pygame.draw.circle(tile, ink, (size / 2, size / 2), size / 2)


_SIGNS: dict[str, Callable[[pygame.Surface, int, Ink], None]] = {
    "up": _polygon((0.5, 0.12), (0.98, 0.88), (0.02, 0.88)),
    "down": _polygon((0.5, 0.88), (0.98, 0.12), (0.02, 0.12)),
    "right": _strokes(((0.14, 0.54), (0.40, 0.80), (0.86, 0.22))),
    "wrong": _strokes(((0.18, 0.18), (0.82, 0.82)), ((0.82, 0.18), (0.18, 0.82))),
    "dot": _dot,
}
