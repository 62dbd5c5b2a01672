"""The fields of an answer form: what the learner fills in, how it is read, and what a near miss is worth.

Marks for a band (1, 0.5, 0.2, 0 for 0, 1, 2, 3 or more octaves off) and the factor for a wrong direction
(0.4) were chosen by simulated quizzes for their reliability at moderate sizes; the others follow their shape.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Protocol, Self

from trainer.dsp.octave_bands import NOMINAL_HZ
from trainer.ensemble.parts import PART_BY_KEY, title_of
from trainer.practice.attempt import Value
from trainer.refusal import Refused

BAND_MARKS = (1.0, 0.5, 0.2)
"""What a band so many octaves off is worth; further off is worth nothing."""
AMOUNT_MARKS = (1.0, 0.7, 0.4)
"""What an amount so many steps off is worth; the last for any further step."""
WRONG_DIRECTION_MARK = 0.4
SAME_SECTION_MARK = 0.5
WRONG_CHOICE_MARK = 0.5


class Field(Protocol):
    """One thing to fill in: its options in order, their words, and the mark of an answer."""

    @property
    def key(self) -> str:
        """The field's name in answers, files and the store."""

    @property
    def title(self) -> str:
        """The field's name in words."""

    @property
    def options(self) -> tuple[Value, ...]:
        """What can be answered, in the order it is offered."""

    def label(self, value: Value) -> str:
        """Return an option in words."""

    def mark(self, given: Value, right: Value) -> float:
        """Return what an answer is worth, 1 for right down to 0."""

    def offering(self, options: tuple[Value, ...]) -> Self:
        """Return the field with only these options on offer."""


@dataclass(frozen=True, slots=True)
class BandField:
    """Which octave band."""

    options: tuple[Value, ...] = NOMINAL_HZ
    key: str = "band"
    title: str = "octave band"

    def label(self, value: Value) -> str:
        """Return a band's nominal frequency with its unit."""
        return band_label(float(value))

    def mark(self, given: Value, right: Value) -> float:
        """Return the mark by how many octaves the answer is off."""
        octaves_off = abs(NOMINAL_HZ.index(float(given)) - NOMINAL_HZ.index(float(right)))
        return BAND_MARKS[octaves_off] if octaves_off < len(BAND_MARKS) else 0.0

    def offering(self, options: tuple[Value, ...]) -> Self:
        """Return the field with only these bands on offer."""
        return replace(self, options=options)


@dataclass(frozen=True, slots=True)
class DirectionField:
    """Boost or cut, up or down."""

    options: tuple[Value, ...] = ("boost", "cut")
    key: str = "direction"
    title: str = "direction"

    def label(self, value: Value) -> str:
        """Return the direction itself: the options are words."""
        return str(value)

    def mark(self, given: Value, right: Value) -> float:
        """Return 1, or what the rest of an answer is still worth with the wrong direction."""
        return 1.0 if given == right else WRONG_DIRECTION_MARK

    def offering(self, options: tuple[Value, ...]) -> Self:
        """Return the field with only these directions on offer."""
        return replace(self, options=options)


@dataclass(frozen=True, slots=True)
class WhichField:
    """Which section, or which stem; a stem of the right section is half right."""

    options: tuple[Value, ...]
    key: str = "which"
    title: str = "which"

    def label(self, value: Value) -> str:
        """Return the words for a section or a stem."""
        return title_of(str(value))

    def mark(self, given: Value, right: Value) -> float:
        """Return 1, a half for another stem of the same section, or 0."""
        if given == right:
            return 1.0
        parts = [PART_BY_KEY.get(str(value)) for value in (given, right)]
        sections = [part.section for part in parts if part]
        return SAME_SECTION_MARK if len(sections) == 2 and sections[0] == sections[1] else 0.0

    def offering(self, options: tuple[Value, ...]) -> Self:
        """Return the field with only these sections or stems on offer."""
        return replace(self, options=options)


@dataclass(frozen=True, slots=True)
class AmountField:
    """How much, from a few steps; ``words`` may name them."""

    options: tuple[Value, ...]
    key: str = "amount"
    title: str = "amount"
    unit: str = "dB"
    words: tuple[str, ...] = ()

    def label(self, value: Value) -> str:
        """Return the step with its unit, and its word where it has one."""
        amount = f"{float(value):g} {self.unit}"
        return f"{self.words[self.options.index(value)]}, about {amount}" if self.words else amount

    def mark(self, given: Value, right: Value) -> float:
        """Return the mark by how many steps the answer is off."""
        steps_off = abs(self.options.index(float(given)) - self.options.index(float(right)))
        return AMOUNT_MARKS[min(steps_off, len(AMOUNT_MARKS) - 1)]

    def offering(self, options: tuple[Value, ...]) -> Self:
        """Return the field with only these steps on offer."""
        words = tuple(self.words[self.options.index(option)] for option in options) if self.words else ()
        return replace(self, options=options, words=words)

    def nearest(self, size: float) -> float:
        """Return the step nearest to a size, by ratio (a size of 0 is nearest to the smallest step)."""
        steps = [float(step) for step in self.options]
        return min(steps, key=lambda step: max(step, size) / max(min(step, size), 1e-9))

    def size_meant(self, step: Value, size: float) -> float:
        """Return the rep's exact size if the step stands for it, else the step itself."""
        return size if step == self.nearest(size) else float(step)


@dataclass(frozen=True, slots=True)
class ChoiceField:
    """One of a few choices in words."""

    key: str
    title: str
    choices: Mapping[str, str] = field(hash=False)

    @property
    def options(self) -> tuple[Value, ...]:
        """The choices' keys, in order."""
        return tuple(self.choices)

    def label(self, value: Value) -> str:
        """Return a choice in words."""
        return self.choices[str(value)]

    def mark(self, given: Value, right: Value) -> float:
        """Return 1, or what the rest of an answer is still worth with the wrong choice."""
        return 1.0 if given == right else WRONG_CHOICE_MARK

    def offering(self, options: tuple[Value, ...]) -> Self:
        """Return the field with only these choices on offer."""
        return replace(self, choices={str(key): self.choices[str(key)] for key in options})


def band_label(nominal_hz: float) -> str:
    """Return a band's nominal frequency as the trade writes it: ``31.5 Hz``, ``500 Hz``, ``16 kHz``."""
    return f"{nominal_hz / 1000:g} kHz" if nominal_hz >= 1000 else f"{nominal_hz:g} Hz"


def read(answer_field: Field, typed: str) -> Value:
    """Return the option that somebody typed: its place (1, 2, …), its key, its words, or their beginning.

    Raises
    ------
    Refused
        If it fits no option, or more than one; the message says what would.
    """
    said = _plain(typed)
    named = {
        option: (_plain(str(option)), _plain(answer_field.label(option))) for option in answer_field.options
    }
    exact = [option for option, names in named.items() if said in names or _same_number(said, option)]
    if len(exact) == 1:
        return exact[0]
    if said.isdigit() and 1 <= int(said) <= len(answer_field.options):
        return answer_field.options[int(said) - 1]
    begun = [
        option for option, names in named.items() if said and any(name.startswith(said) for name in names)
    ]
    if len(begun) == 1:
        return begun[0]
    offered = ", ".join(answer_field.label(option) for option in answer_field.options)
    trouble = "fits more than one of" if begun else "is none of"
    raise Refused(f"{typed.strip()!r} {trouble}: {offered}")


def read_whole(fields: Sequence[Field], typed: str) -> dict[str, Value]:
    """Return an answer typed in one line, field by field: ``500, boost`` or ``500 boost``.

    Raises
    ------
    Refused
        If it has too few or too many parts, or one of them fits no option.
    """
    words = [word for word in (typed.split(",") if "," in typed else typed.split()) if word.strip()]
    if len(words) != len(fields):
        titles = ", ".join(field.title for field in fields)
        raise Refused(f"{typed.strip()!r} is no answer; an answer in one line is: {titles}")
    return {field.key: read(field, word) for field, word in zip(fields, words, strict=True)}


def _plain(text: str) -> str:
    return "".join(text.casefold().replace("-", " ").split())


def _same_number(said: str, option: Value) -> bool:
    hertz = said.removesuffix("hz")
    scale = 1000.0 if hertz.endswith("k") else 1.0
    try:
        return isinstance(option, float) and float(hertz.removesuffix("k")) * scale == option
    except ValueError:
        return False
