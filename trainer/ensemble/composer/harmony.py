"""Harmony: keys, chords, and a grammar that fills a loop with a progression that wants to go round."""

from dataclasses import dataclass

from trainer.ensemble.composer.dice import Dice, Table
from trainer.ensemble.composer.pitches import PitchClasses

TONICS: Table[int] = (
    (2, 0), (1, 1), (2, 2), (2, 3), (2, 4), (2, 5), (1, 6), (2, 7), (1, 8), (1, 9), (1, 10), (0.5, 11),
)  # fmt: skip
NOTE_NAMES = ("C", "D flat", "D", "E flat", "E", "F", "G flat", "G", "A flat", "A", "B flat", "B")


@dataclass(frozen=True, slots=True)
class Mode:
    """A scale in semitones over its tonic, and which degrees (0 = tonic) serve which function."""

    name: str
    scale: tuple[int, ...]
    degrees: dict[str, Table[int]]


MODES: Table[Mode] = (
    (4, Mode("minor", (0, 2, 3, 5, 7, 8, 10), {
        "tonic": ((6, 0), (2, 5), (1, 2)), "away": ((3, 3), (3, 5), (1, 6)), "leading": ((4, 4), (3, 6))})),
    (2, Mode("dorian", (0, 2, 3, 5, 7, 9, 10), {
        "tonic": ((6, 0), (1, 2)), "away": ((4, 3), (1, 1), (2, 6)), "leading": ((2, 4), (3, 6))})),
    (3, Mode("major", (0, 2, 4, 5, 7, 9, 11), {
        "tonic": ((6, 0), (2, 5), (1, 2)), "away": ((4, 3), (3, 1), (2, 5)), "leading": ((5, 4), (1, 3))})),
    (1, Mode("lydian", (0, 2, 4, 6, 7, 9, 11), {
        "tonic": ((6, 0), (1, 5)), "away": ((4, 1), (1, 2), (1, 5)), "leading": ((3, 1), (3, 4))})),
    (1, Mode("mixolydian", (0, 2, 4, 5, 7, 9, 10), {
        "tonic": ((6, 0), (1, 5)), "away": ((4, 3), (2, 6), (1, 1)), "leading": ((4, 6), (2, 4))})),
)  # fmt: skip

RULES: dict[str, Table[tuple[str, ...]]] = {
    "loop": ((3, ("statement", "turn")), (2, ("statement", "departure", "turn")), (1, ("tonic", "turn"))),
    "statement": ((3, ("tonic", "away")), (2, ("tonic", "departure")), (1, ("tonic", "tonic"))),
    "departure": ((3, ("away", "tonic")), (2, ("away", "away")), (1, ("leading", "tonic"))),
    "turn": ((3, ("away", "leading")), (2, ("tonic", "leading")), (1, ("departure", "leading"))),
    "tonic": ((2, ("tonic", "away")), (2, ("tonic", "tonic")), (1, ("tonic", "leading"))),
    "away": ((2, ("away", "away")), (1, ("away", "tonic"))),
    "leading": ((2, ("away", "leading")), (1, ("leading", "leading"))),
}
"""How a stretch of harmony divides. Every loop ends in a chord that leads back to its beginning."""

FUNCTIONS = ("tonic", "away", "leading")

COLOURS: Table[int] = ((3, 6), (3, 1), (1, 5))
"""The fourth tone of a chord, in scale steps over the root: seventh, ninth, sixth."""


@dataclass(frozen=True, slots=True)
class Chord:
    """Root, third, fifth and colour as pitch classes, and the scale to play over them."""

    tones: PitchClasses
    scale: PitchClasses

    @property
    def root(self) -> int:
        """The pitch class of the root."""
        return self.tones[0]

    @property
    def triad(self) -> PitchClasses:
        """Root, third and fifth."""
        return self.tones[:3]


@dataclass(frozen=True, slots=True)
class Key:
    """A tonic and a mode."""

    tonic: int
    mode: Mode

    @property
    def name(self) -> str:
        """The key in words."""
        return f"{NOTE_NAMES[self.tonic]} {self.mode.name}"

    def chord(self, degree: int, *, colour_steps: int) -> Chord:
        """Return the chord on a degree; a fifth degree in minor gets its leading note."""
        scale = [(self.tonic + step) % 12 for step in self.mode.scale]
        if self.mode.name == "minor" and degree == 4:
            scale[6] = (self.tonic + 11) % 12
        return Chord(tuple(scale[(degree + step) % 7] for step in (0, 2, 4, colour_steps)), tuple(scale))


def draw_key(dice: Dice) -> Key:
    """Return a key."""
    return Key(dice.weighted(TONICS), dice.weighted(MODES))


def progression(dice: Dice, key: Key, *, bars: int, halves: bool) -> list[tuple[float, Chord]]:
    """Return (length in bars, chord) for a loop of so many bars.

    Chords change on bar lines; where ``halves`` allows, now and then in the middle of a bar.
    """
    colour_steps = dice.weighted(COLOURS)
    return [
        (length, key.chord(dice.weighted(key.mode.degrees[function]), colour_steps=colour_steps))
        for length, function in _divide(dice, "loop", float(bars), halves=halves)
    ]


def _divide(dice: Dice, symbol: str, bars: float, *, halves: bool) -> list[tuple[float, str]]:
    if symbol in FUNCTIONS and (bars < 1.0 or (bars == 1.0 and not (halves and dice.chance(0.2)))):
        return [(bars, symbol)]
    children = dice.weighted(RULES[symbol])
    if bars < 1.0 or not (halves or bars > 1.0):
        return _divide(dice, children[-1], bars, halves=halves)
    children = children[-max(2, int(bars)) :]
    lengths = _share(bars, len(children))
    return [
        leaf
        for child, length in zip(children, lengths, strict=True)
        for leaf in _divide(dice, child, length, halves=halves)
    ]


def _share(bars: float, ways: int) -> list[float]:
    """Share bars as evenly as whole bars allow; a single bar is halved."""
    if bars == 1.0:
        return [1.0 / ways] * ways
    whole, over = divmod(int(bars), ways)
    return [float(whole + (index < over)) for index in range(ways)]
