"""The fields of an answer form with options: how each is read, told in words, marked, and kept as plain values.

Marks for a band (see `trainer.practice.band_scale`) and the factor for a wrong direction (0.4) were chosen by
simulated quizzes for their reliability at moderate sizes; the others follow their shape.
"""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields, replace
from typing import Any, ClassVar, Protocol, Self, TypeVar

from trainer.ensemble.parts import PART_BY_KEY, title_of
from trainer.practice.band_scale import OCTAVE_SCALE, SCALES, BandScale, band_label
from trainer.practice.typed import numbered_options, read_option
from trainer.practice.values import Simple, Value
from trainer.refusal import Refused

AMOUNT_MARKS = (1.0, 0.7, 0.4)
"""What an amount so many steps off is worth; the last for any further step."""
WRONG_DIRECTION_MARK = 0.4
SAME_SECTION_MARK = 0.5
WRONG_CHOICE_MARK = 0.5

KIND = "kind"
"""The key that a field's plain values name its kind under."""


class Field(Protocol):
    """One thing to fill in: how it is answered, told in words, marked, and kept."""

    @property
    def key(self) -> str:
        """The field's name in answers, files and the store."""

    @property
    def title(self) -> str:
        """The field's name in words."""

    @property
    def chance(self) -> float:
        """The chance to be wholly right by guessing."""

    @property
    def hint(self) -> str:
        """What can be answered, and how it is typed."""

    def label(self, value: Value) -> str:
        """Return a value in words."""

    def checked(self, value: object) -> Value:
        """Return a value that can be answered, as the field holds it; `Refused` if it cannot."""

    def read(self, typed: str) -> Value:
        """Return what somebody typed; `Refused` if it is no answer."""

    def mark(self, given: Value, right: Value) -> float:
        """Return what an answer is worth, 1 for right down to 0."""

    def guessed(self, right: Value) -> float:
        """Return what guessing is worth on average."""

    def plain(self) -> dict[str, Any]:
        """Return the field as plain values that JSON can hold; `field_from` makes it again."""


F = TypeVar("F", bound=type[Any])
FIELD_KINDS: dict[str, type[Any]] = {}
"""The kinds of field there are, by the name they are kept under."""


def kept_as(kind: str) -> Callable[[F], F]:
    """Return the decorator that makes a class of fields known by the name it is kept under."""

    def known(made_of: F) -> F:
        FIELD_KINDS[kind] = made_of
        made_of.KIND = kind
        return made_of

    return known


def field_from(plain: Mapping[str, Any]) -> Field:
    """Return the field that `Field.plain` made the values of.

    Raises
    ------
    Refused
        If it is of a kind that no exercise here brings.
    ValueError
        If its values are those of no field.
    """
    kind = plain.get(KIND)
    if kind not in FIELD_KINDS:
        raise Refused(f"a field of the kind {kind!r} comes from an exercise that is not installed here")
    try:
        made: Field = FIELD_KINDS[kind].from_plain(
            {key: value for key, value in plain.items() if key != KIND}
        )
    except (KeyError, TypeError, AttributeError) as why:
        raise ValueError(f"{plain!r} is no field: {why!r}") from why
    return made


@dataclass(frozen=True, slots=True)
class OptionField:
    """A field that is answered with one of its options; subclasses say their words and marks."""

    KIND: ClassVar[str] = ""

    options: tuple[Simple, ...]
    key: str
    title: str

    @property
    def chance(self) -> float:
        """The chance to be right by guessing evenly."""
        return 1.0 / len(self.options)

    @property
    def hint(self) -> str:
        """The options, numbered."""
        return numbered_options([self.label(option) for option in self.options])

    def label(self, value: Value) -> str:
        """Return an option in words."""
        return str(value)

    def short(self, value: Value) -> str:
        """Return an option in few letters, for paper."""
        return self.label(value)

    def checked(self, value: object) -> Simple:
        """Return the option a value is; `Refused` if it is none."""
        for option in self.options:
            if option == value and not isinstance(value, bool):
                return option
        offered = ", ".join(self.label(option) for option in self.options)
        raise Refused(f"the {self.title} was answered with {value!r}; on offer are {offered}")

    def read(self, typed: str) -> Simple:
        """Return the option that somebody typed: its place, its key, its words, or their beginning."""
        return read_option({option: self.label(option) for option in self.options}, typed)

    def mark(self, given: Value, right: Value) -> float:
        """Return 1 for the right option, 0 for another."""
        return float(given == right)

    def guessed(self, right: Value) -> float:
        """Return the mark that guessing evenly gives on average."""
        return math.fsum(self.mark(option, right) for option in self.options) / len(self.options)

    def offering(self, options: tuple[Simple, ...]) -> Self:
        """Return the field with only these options on offer."""
        return replace(self, options=options)

    def plain(self) -> dict[str, Any]:
        """Return the field as plain values."""
        values = {part.name: getattr(self, part.name) for part in fields(self)}
        return {KIND: self.KIND} | {key: _plain(value) for key, value in values.items()}

    @classmethod
    def from_plain(cls, plain: Mapping[str, Any]) -> Self:
        """Return the field of plain values."""
        return cls(**_tuples(plain))


def _plain(value: Any) -> Any:
    """Return tuples as lists, and a mapping as pairs: their order is what is offered, and JSON may sort keys."""
    if isinstance(value, Mapping):
        return [list(pair) for pair in value.items()]
    return list(value) if isinstance(value, tuple) else value


def _tuples(plain: Mapping[str, Any]) -> dict[str, Any]:
    """Return plain values with lists as tuples."""
    return {key: tuple(value) if isinstance(value, list) else value for key, value in plain.items()}


@kept_as("band")
@dataclass(frozen=True, slots=True)
class BandField(OptionField):
    """Which band of a scale."""

    options: tuple[Simple, ...] = OCTAVE_SCALE.names_hz
    key: str = "band"
    title: str = "octave band"
    scale: BandScale = OCTAVE_SCALE

    def label(self, value: Value) -> str:
        """Return a band's nominal frequency with its unit."""
        return band_label(_number(value))

    def short(self, value: Value) -> str:
        """Return a band's nominal frequency as people write it on paper: ``500``, ``2k``."""
        hertz = _number(value)
        return f"{hertz / 1000:g}k" if hertz >= 1000 else f"{hertz:g}"

    def mark(self, given: Value, right: Value) -> float:
        """Return the mark by how many steps of the scale the answer is off."""
        return self.scale.mark(_number(given), _number(right))

    def plain(self) -> dict[str, Any]:
        """Return the field as plain values; its scale by its key."""
        return {KIND: self.KIND, "options": list(self.options), "key": self.key, "title": self.title,
                "scale": self.scale.key}  # fmt: skip

    @classmethod
    def from_plain(cls, plain: Mapping[str, Any]) -> Self:
        """Return the field of plain values; those of before there were scales are of octave bands."""
        scale = SCALES[plain.get("scale", OCTAVE_SCALE.key)]
        return cls(tuple(plain["options"]), plain["key"], plain["title"], scale)


@kept_as("direction")
@dataclass(frozen=True, slots=True)
class DirectionField(OptionField):
    """Boost or cut, up or down: the first option is more of it."""

    options: tuple[Simple, ...] = ("boost", "cut")
    key: str = "direction"
    title: str = "direction"

    def mark(self, given: Value, right: Value) -> float:
        """Return 1, or what the rest of an answer is still worth with the wrong direction."""
        return 1.0 if given == right else WRONG_DIRECTION_MARK


@kept_as("which")
@dataclass(frozen=True, slots=True)
class WhichField(OptionField):
    """Which section, or which stem; a stem of the right section is half right."""

    options: tuple[Simple, ...]
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


@kept_as("amount")
@dataclass(frozen=True, slots=True)
class AmountField(OptionField):
    """How much, from a few steps; ``words`` may name them; ``by_ratio`` says how the nearest one is found."""

    options: tuple[Simple, ...]
    key: str = "amount"
    title: str = "amount"
    unit: str = "dB"
    words: tuple[str, ...] = ()
    by_ratio: bool = False

    def label(self, value: Value) -> str:
        """Return the step with its unit, and its word where it has one."""
        amount = f"{_number(value):g} {self.unit}"
        return f"{self.words[self._steps.index(_number(value))]}, about {amount}" if self.words else amount

    @property
    def _steps(self) -> tuple[float, ...]:
        return tuple(map(_number, self.options))

    def mark(self, given: Value, right: Value) -> float:
        """Return the mark by how many steps the answer is off."""
        steps_off = abs(self._steps.index(_number(given)) - self._steps.index(_number(right)))
        return AMOUNT_MARKS[min(steps_off, len(AMOUNT_MARKS) - 1)]

    def offering(self, options: tuple[Simple, ...]) -> Self:
        """Return the field with only these steps on offer."""
        words = tuple(self.words[self.options.index(option)] for option in options) if self.words else ()
        return replace(self, options=options, words=words)

    def nearest(self, size: float) -> float:
        """Return the step nearest to a size; of two as near the smaller (a size of 0 is nearest to the smallest)."""
        if self.by_ratio:
            return min(self._steps, key=lambda step: max(step, size) / max(min(step, size), 1e-9))
        return min(self._steps, key=lambda step: abs(step - size))

    def size_meant(self, step: Value, size: float) -> float:
        """Return the rep's exact size if the step stands for it, else the step itself."""
        return size if step == self.nearest(size) else _number(step)

    @classmethod
    def from_plain(cls, plain: Mapping[str, Any]) -> Self:
        """Return the field of plain values; those of before were nearest by ratio."""
        return cls(**({"by_ratio": True} | _tuples(plain)))


@kept_as("choice")
@dataclass(frozen=True, slots=True)
class ChoiceField(OptionField):
    """One of a few choices; ``words`` says each in the options' order."""

    options: tuple[Simple, ...]
    key: str
    title: str
    words: tuple[str, ...]

    @classmethod
    def of(cls, key: str, title: str, choices: Mapping[str, str]) -> Self:
        """Return the field of choices by their keys."""
        return cls(tuple(choices), key, title, tuple(choices.values()))

    def label(self, value: Value) -> str:
        """Return a choice in words."""
        return self.words[self.options.index(str(value))]

    def mark(self, given: Value, right: Value) -> float:
        """Return 1, or what the rest of an answer is still worth with the wrong choice."""
        return 1.0 if given == right else WRONG_CHOICE_MARK

    def offering(self, options: tuple[Simple, ...]) -> Self:
        """Return the field with only these choices on offer."""
        return replace(self, options=options, words=tuple(self.label(option) for option in options))

    @classmethod
    def from_plain(cls, plain: Mapping[str, Any]) -> Self:
        """Return the field of plain values; those of before held pairs of a key and its words."""
        if "choices" in plain:
            return cls.of(plain["key"], plain["title"], dict(plain["choices"]))
        return cls(tuple(plain["options"]), plain["key"], plain["title"], tuple(plain["words"]))


def _number(value: Value) -> float:
    """Return the number that a band or an amount is; `ValueError` if it is none."""
    if isinstance(value, int | float):
        return float(value)
    raise ValueError(f"a band or an amount is a number, not {value!r}")
