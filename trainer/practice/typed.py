"""What is typed, read: an option by its place, its key, its words or their beginning; a whole answer in one line."""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from trainer.practice.values import Simple, Value
from trainer.refusal import Refused

if TYPE_CHECKING:
    from trainer.practice.fields import Field

MANY = 6
"""With more options than this they stand closer together."""
PARTS = "|"
"""What parts the fields of an answer in one line where one of them is a list."""


def numbered_options(labels: Sequence[str]) -> str:
    """Return options' words in a row, numbered from 1."""
    numbered = [f"{place}: {label}" for place, label in enumerate(labels, start=1)]
    return (" · " if len(numbered) <= MANY else ", ").join(numbered)


def read_option(labels: Mapping[Simple, str], typed: str) -> Simple:
    """Return the option that somebody typed: its place (1, 2, …), its key, its words, or their beginning.

    Parameters
    ----------
    labels
        The options with their words, in the order they are offered.

    Raises
    ------
    Refused
        If it fits no option, or more than one; the message says what would.
    """
    said, options = _folded(typed), tuple(labels)
    named = {option: (_folded(str(option)), _folded(label)) for option, label in labels.items()}
    exact = [option for option, names in named.items() if said in names or _is_same_number(said, option)]
    if len(exact) == 1:
        return exact[0]
    if said.isdigit() and 1 <= int(said) <= len(options):
        return options[int(said) - 1]
    begun = [
        option for option, names in named.items() if said and any(name.startswith(said) for name in names)
    ]
    if len(begun) == 1:
        return begun[0]
    trouble = "fits more than one of" if begun else "is none of"
    raise Refused(f"{typed.strip()!r} {trouble}: {', '.join(labels.values())}")


def read_whole(fields: "Sequence[Field]", typed: str) -> dict[str, Value]:
    """Return an answer typed in one line, field by field: ``500, boost`` or ``500 boost``.

    Raises
    ------
    Refused
        If it has too few or too many parts, or one of them is no answer to its field.
    """
    parts = _parts(typed, is_listed=any(map(_is_list, fields)), count=len(fields))
    if len(parts) != len(fields):
        titles = ", ".join(field.title for field in fields)
        raise Refused(f"{typed.strip()!r} is no answer; an answer in one line is: {titles}")
    return {field.key: field.read(part) for field, part in zip(fields, parts, strict=True)}


def _is_list(field: "Field") -> bool:
    """Return whether a field holds rows: it names the fields they are made of."""
    return isinstance(getattr(field, "of", None), tuple)


def _parts(typed: str, *, is_listed: bool, count: int) -> list[str]:
    """Return the parts of a line; what answers a single field is whole, and a list has its own commas and spaces."""
    if count == 1:
        return [typed]
    if is_listed:
        return typed.split(PARTS)
    return [part for part in (typed.split(",") if "," in typed else typed.split()) if part.strip()]


def read_number(typed: str, *, unit: str) -> float:
    """Return a number typed with or without its unit.

    Raises
    ------
    Refused
        If it is none.
    """
    said = typed.strip().casefold().removesuffix(unit.casefold()).strip()
    try:
        return float(said)
    except ValueError:
        raise Refused(f"{typed.strip()!r} is no number of {unit}") from None


def _folded(text: str) -> str:
    return "".join(text.casefold().replace("-", " ").split())


def _is_same_number(said: str, option: Simple) -> bool:
    hertz = said.removesuffix("hz")
    scale = 1000.0 if hertz.endswith("k") else 1.0
    try:
        return isinstance(option, float) and float(hertz.removesuffix("k")) * scale == option
    except ValueError:
        return False
