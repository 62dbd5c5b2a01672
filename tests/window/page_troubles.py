"""What can be wrong with a page as it is drawn: text cut, outside or overlapping; controls too small to press."""

import itertools
from collections.abc import Iterator

from trainer.playback.sdl import pygame
from trainer.window.canvas import Canvas

LEAST_TARGET_PX = 24
"""WCAG 2.2, success criterion 2.5.8: what is pressed is at least 24 by 24 pixels."""


def troubles_of(canvas: Canvas) -> Iterator[str]:
    """Yield what is wrong with a page: text cut, outside, or on other text; controls too small or overlapping."""
    whole = canvas.surface.get_rect()
    texts = [(repr(one.words), one.rect) for one in canvas.written if one.words.strip()]
    controls = [(one.key, one.rect) for one in canvas.controls]
    yield from (f"cut: {one.words!r}" for one in canvas.written if one.cut)
    yield from (f"outside: {name} {rect}" for name, rect in (*texts, *controls) if not whole.contains(rect))
    yield from (f"small: {name} {rect}" for name, rect in controls if min(rect.size) < LEAST_TARGET_PX)
    yield from overlapping("text", texts, margin_px=4)
    yield from overlapping("controls", controls, margin_px=2)


def overlapping(kind: str, boxes: list[tuple[str, pygame.Rect]], *, margin_px: int) -> Iterator[str]:
    """Yield the pairs of boxes that overlap by more than a margin."""
    inner = [(name, rect.inflate(-2, -margin_px)) for name, rect in boxes]
    for (one, rect), (other, other_rect) in itertools.combinations(inner, 2):
        if rect.colliderect(other_rect):
            yield f"overlap of {kind}: {one} and {other}"
