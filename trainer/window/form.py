"""The answer form of any exercise: its fields in groups that fit a page, and what the keys pick in them.

A band (with a direction, if there is one) is picked in lanes; a section or a stem in columns, one a section;
everything else in a row. No pictures here, and no keys: places on a page follow from the groups.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import Enum

from trainer.dsp.octave_bands import NOMINAL_HZ
from trainer.ensemble.parts import PART_BY_KEY, SECTIONS
from trainer.practice.fields import BandField, DirectionField, Field, WhichField
from trainer.practice.values import Answer, Value


class Kind(Enum):
    """How a group of fields is laid out."""

    LANES = "lanes"
    COLUMNS = "columns"
    ROW = "row"


@dataclass(frozen=True, slots=True)
class Group:
    """Fields that are picked together: the first is what digits pick, the second (in lanes) which half."""

    kind: Kind
    fields: tuple[Field, ...]

    @property
    def key(self) -> str:
        """Its name on the page."""
        return self.fields[0].key

    @property
    def columns(self) -> tuple[tuple[Value, ...], ...]:
        """The first field's options as they stand side by side; a lane that is not on offer is empty."""
        options = self.fields[0].options
        if self.kind is Kind.LANES:
            return tuple((hz,) if hz in options else () for hz in NOMINAL_HZ)
        if self.kind is Kind.ROW:
            return tuple((option,) for option in options)
        return columns_of(options)


def columns_of(options: Sequence[Value]) -> tuple[tuple[Value, ...], ...]:
    """Return sections, or stems by their section, side by side in the order they stand on the field."""
    by_section = [[key for key in options if _section_of(key) == section.key] for section in SECTIONS]
    strangers = [key for key in options if not _section_of(key)]
    return tuple(tuple(column) for column in (*by_section, strangers) if column)


def _section_of(key: Value) -> str:
    if key in PART_BY_KEY:
        return PART_BY_KEY[str(key)].section
    return str(key) if any(key == section.key for section in SECTIONS) else ""


def groups_of(fields: Sequence[Field]) -> tuple[Group, ...]:
    """Return the groups of some fields, in their order."""
    halves = next((one for one in fields if isinstance(one, DirectionField)), None)
    groups = []
    for one in fields:
        if isinstance(one, BandField):
            groups.append(Group(Kind.LANES, (one, halves) if halves else (one,)))
        elif isinstance(one, WhichField):
            groups.append(Group(Kind.COLUMNS, (one,)))
        elif one is not halves or not any(isinstance(other, BandField) for other in fields):
            groups.append(Group(Kind.ROW, (one,)))
    return tuple(groups)


@dataclass
class Form:
    """What is picked so far; ``active`` is the group the keys go to."""

    fields: tuple[Field, ...]
    picks: dict[str, Value] = field(default_factory=dict)
    active: int = 0
    groups: tuple[Group, ...] = field(init=False)

    def __post_init__(self) -> None:
        self.groups = groups_of(self.fields)

    @property
    def group(self) -> Group:
        """The group the keys go to."""
        return self.groups[self.active]

    @property
    def answer(self) -> Answer | None:
        """The whole answer, or None while something is not picked."""
        if self.missing is not None:
            return None
        return {one.key: self.picks[one.key] for one in self.fields}

    @property
    def missing(self) -> Field | None:
        """The first field that is not picked."""
        return next((one for one in self.fields if one.key not in self.picks), None)

    def pick(self, picks: Mapping[str, Value]) -> None:
        """Pick options of some fields; the keys then go to the group they are in."""
        for key, value in picks.items():
            one = next(one for one in self.fields if one.key == key)
            if value in one.options:
                self.picks[key] = value
                self.active = next(place for place, group in enumerate(self.groups) if one in group.fields)

    def go_to_missing(self) -> None:
        """Send the keys to the first group in which something is not picked."""
        for place, group in enumerate(self.groups):
            if any(one.key not in self.picks for one in group.fields):
                self.active = place
                return

    def digit(self, number: int) -> None:
        """Pick the column of a number from 1 (0 is the tenth); the same again takes the next in it.

        In a row the keys then go on to what is not picked yet.
        """
        group = self.group
        place = (number - 1) % 10
        if place >= len(group.columns) or not group.columns[place]:
            return
        column, key = group.columns[place], group.key
        now = self.picks.get(key)
        self.picks[key] = column[(column.index(now) + 1) % len(column)] if now in column else column[0]
        if group.kind is Kind.ROW:
            self.go_to_missing()

    def arrow(self, right: int, down: int) -> None:
        """Move the pick in the active group: so many columns to the right, so many rows down."""
        group = self.group
        if group.kind is Kind.ROW:
            self._pick_beside(right or down, 0)
        elif group.kind is Kind.LANES and down:
            self._pick_half(down)
        else:
            self._pick_beside(right, down)

    def _pick_half(self, down: int) -> None:
        for half in self.group.fields[1:]:
            self.picks[half.key] = half.options[0 if down < 0 else -1]

    def _pick_beside(self, right: int, down: int) -> None:
        key, columns = self.group.key, [column for column in self.group.columns if column]
        now = self.picks.get(key)
        place = next((place for place, column in enumerate(columns) if now in column), None)
        if place is None:
            self.picks[key] = columns[0 if right >= 0 else -1][0]
            return
        row = columns[place].index(now) if now is not None else 0
        column = columns[min(max(place + right, 0), len(columns) - 1)]
        self.picks[key] = column[min(max(row + down, 0), len(column) - 1)]
