"""Words that have to fit: measured, cut, set smaller, or wrapped into lines."""

from dataclasses import dataclass
from functools import lru_cache

from trainer.reports.fonts import drawable, width_in_ems
from trainer.reports.print.surface import BODY, INK, LEADING, LEAST, Point, Surface


@lru_cache(maxsize=50_000)
def width_of(text: str, *, size: float = BODY, bold: bool = False) -> float:
    """Return how wide a line of words is."""
    return size * width_in_ems(drawable(text), bold=bold)


def fitted(text: str, width: float, *, size: float = BODY, bold: bool = False) -> str:
    """Return a line, cut with an ellipsis where it is wider than there is room."""
    if width_of(text, size=size, bold=bold) <= width:
        return text
    while text and width_of(f"{text.rstrip()}…", size=size, bold=bold) > width:
        text = text[:-1]
    return f"{text.rstrip()}…"


def fitting_size(text: str, width: float, *, size: float, least: float = LEAST, bold: bool = False) -> float:
    """Return the size of type, not above ``size``, at which a line has room; never below ``least``."""
    wide = width_of(text, size=size, bold=bold)
    return size if wide <= width else max(least, size * width / wide)


def wrapped(text: str, width: float, *, size: float = BODY, bold: bool = False) -> list[str]:
    """Return words in lines no wider than there is room; a word alone that is too wide is cut."""
    lines: list[str] = []
    for word in text.split(" "):
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and width_of(longer, size=size, bold=bold) <= width:
            lines[-1] = longer
        elif word:
            lines.append(fitted(word, width, size=size, bold=bold))
    return lines


@lru_cache(maxsize=2_000)
def balanced(text: str, width: float, *, size: float = BODY) -> tuple[str, ...]:
    """Return words in as few lines as fit, about as long as each other."""
    lines = wrapped(text, width, size=size)
    while len(lines) > 1:
        width *= 0.96
        narrower = wrapped(text, width, size=size)
        if len(narrower) > len(lines) or "".join(narrower).count("…") > "".join(lines).count("…"):
            break
        lines = narrower
    return tuple(lines)


@dataclass(frozen=True, slots=True)
class Paragraph:
    """Words in lines, in a size of type that leaves room for all of them."""

    lines: tuple[str, ...]
    size: float
    leading: float

    @property
    def height(self) -> float:
        """From above the first line to below the last."""
        return len(self.lines) * self.leading

    def draw(self, surface: Surface, corner: Point, *, colour: str = INK) -> float:
        """Write the lines from a top left corner on; return where they end."""
        x, top = corner
        for number, line in enumerate(self.lines):
            surface.words((x, top + number * self.leading + self.size), line, size=self.size, colour=colour)
        return top + self.height


def paragraph(text: str, *, width: float, size: float = BODY, height: float | None = None) -> Paragraph:
    """Return words in lines; where they are higher than there is room, smaller, and at the smallest cut."""
    lines = wrapped(text, width, size=size)
    while height is not None and len(lines) * LEADING * size > height and size > LEAST:
        size = max(LEAST, size - 0.25)
        lines = wrapped(text, width, size=size)
    leading = LEADING * size
    if height is not None and len(lines) * leading > height:
        leading = max(1.2 * size, height / len(lines))
        most = max(1, int(height / leading + 1e-6))
        if len(lines) > most:
            lines = [*lines[: most - 1], fitted(f"{lines[most - 1]} …", width, size=size)]
    return Paragraph(tuple(lines), size, leading)
