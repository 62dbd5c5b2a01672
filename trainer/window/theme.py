"""Themes: the colours of night (a bus, a dark hall) and day (sunlight), and how far two colours stand apart.

Every pair that carries meaning keeps to WCAG 2.2 level AA: 4.5:1 for text (success criterion 1.4.3), 3:1 for
shapes (1.4.11). Colour never says anything alone: a sign or a word stands beside it.
"""

from dataclasses import dataclass

Colour = tuple[int, int, int]

TEXT_CONTRAST = 4.5
SHAPE_CONTRAST = 3.0

TINT = 0.14
"""How much of its colour covers a chosen cell."""
AHEAD = 0.38
"""How much ink the waveform has that the loop has not come to yet."""
FULLEST = 0.28
"""How much chalk covers the fullest cell of a table; numbers stand on it."""


def colour(code: str) -> Colour:
    """Return the colour of a code like ``#f2a93b``."""
    return int(code[1:3], 16), int(code[3:5], 16), int(code[5:7], 16)


def mixed(over: Colour, under: Colour, share: float) -> Colour:
    """Return a colour laid over another, covering it by ``share``."""
    red, green, blue = (round(share * a + (1.0 - share) * b) for a, b in zip(over, under, strict=True))
    return red, green, blue


def luminance(of: Colour) -> float:
    """Return the relative luminance of an sRGB colour, from 0 to 1 (WCAG 2.2, "relative luminance")."""
    linear = [_linear(value / 255.0) for value in of]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: Colour, other: Colour) -> float:
    """Return the contrast ratio of two colours, from 1 to 21 (WCAG 2.2, "contrast ratio")."""
    darker, lighter = sorted((luminance(one), luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


def _linear(value: float) -> float:
    return value / 12.92 if value <= 0.04045 else float(((value + 0.055) / 1.055) ** 2.4)


@dataclass(frozen=True, slots=True)
class Theme:
    """Colours by what they are for.

    Attributes
    ----------
    ground, panel, lane
        Behind everything; cards and strips; every other lane.
    line
        Hairlines and hashes: decoration, which carries no meaning.
    edge
        The outline of what can be pressed.
    ink, dim
        Text and chalk; secondary text.
    boost, cut, right, wrong
        Always with their sign and their word.
    focus
        The ring around what the keyboard is on, and the playhead.
    """

    key: str
    ground: Colour
    panel: Colour
    lane: Colour
    line: Colour
    edge: Colour
    ink: Colour
    dim: Colour
    boost: Colour
    cut: Colour
    right: Colour
    wrong: Colour
    focus: Colour

    @property
    def backs(self) -> tuple[Colour, Colour, Colour]:
        """What text and shapes stand on."""
        return self.ground, self.panel, self.lane


NIGHT = Theme(
    key="night",
    ground=colour("#101a1c"),
    panel=colour("#18282b"),
    lane=colour("#1d3135"),
    line=colour("#3a565c"),
    edge=colour("#76979b"),
    ink=colour("#f3efe4"),
    dim=colour("#aebcb9"),
    boost=colour("#f2a93b"),
    cut=colour("#6cc0f5"),
    right=colour("#6fd6b4"),
    wrong=colour("#ff8a6b"),
    focus=colour("#ffe27a"),
)
DAY = Theme(
    key="day",
    ground=colour("#f4f1e6"),
    panel=colour("#fffdf6"),
    lane=colour("#e9e5d6"),
    line=colour("#a39d88"),
    edge=colour("#7d7764"),
    ink=colour("#17211f"),
    dim=colour("#505b57"),
    boost=colour("#9a5200"),
    cut=colour("#0a5c9c"),
    right=colour("#00694a"),
    wrong=colour("#ab2d19"),
    focus=colour("#7a5a00"),
)
THEMES: dict[str, Theme] = {theme.key: theme for theme in (NIGHT, DAY)}
