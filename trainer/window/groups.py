"""The groups of an answer form: which fields are picked together, and how their options lie on a page.

A band (with a direction, if there is one) is picked in lanes, one an octave; a section or a stem in columns, one a
section; where a control is set on a slider; rows of a list on a sheet; everything else in a row.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import Enum

from trainer.ensemble.parts import PART_BY_KEY, SECTIONS
from trainer.practice.band_scale import OCTAVE_SCALE
from trainer.practice.control_field import ControlField
from trainer.practice.fields import BandField, DirectionField, Field, OptionField, WhichField
from trainer.practice.list_field import ListField
from trainer.practice.values import Simple, Value


class Kind(Enum):
    """How a group of fields is laid out."""

    LANES = "lanes"
    FAN = "fan"
    """Lanes of which one opens into the bands it holds."""
    COLUMNS = "columns"
    ROW = "row"
    SLIDER = "slider"
    SHEET = "sheet"
    """Rows of a list, each filled in with groups of its own."""
    ELSEWHERE = "elsewhere"
    """A field the window has no form for: it is answered in the terminal."""


UNDER = "."
"""What parts the key of a list from that of a field of its rows, in the names of groups."""
Column = tuple[Simple, ...]


@dataclass(frozen=True, slots=True)
class Group:
    """Fields that are picked together: the first is what digits pick, the second (in lanes) which half.

    ``under`` is the key of the list that it fills in a row of, with a dot; empty for the form's own groups.
    """

    kind: Kind
    fields: tuple[Field, ...]
    under: str = ""

    @property
    def key(self) -> str:
        """The key of its first field."""
        return self.fields[0].key

    @property
    def stop(self) -> str:
        """Its name on the page: no other group's."""
        return f"{self.under}{self.key}"

    @property
    def halves(self) -> DirectionField | None:
        """The direction that is picked as the upper or the lower half of a lane."""
        return next((one for one in self.fields[1:] if isinstance(one, DirectionField)), None)

    @property
    def bands(self) -> BandField | None:
        """The bands that its lanes hold."""
        one = self.fields[0]
        return one if isinstance(one, BandField) else None

    @property
    def columns(self) -> tuple[Column, ...]:
        """The first field's options as they stand side by side; a lane of which nothing is on offer is empty."""
        one = self.fields[0]
        if not isinstance(one, OptionField):
            return ()
        if self.bands is not None:
            return lanes_of(self.bands)
        if self.kind is Kind.COLUMNS:
            return columns_of(one.options)
        return tuple((option,) for option in one.options)

    def named(self, picks: Mapping[str, Value]) -> dict[str, Value]:
        """Return picks by the names that the whole form knows them by."""
        return {f"{self.under}{key}": value for key, value in picks.items()}


def lanes_of(one: BandField) -> tuple[Column, ...]:
    """Return the bands on offer in each octave's lane, low to high."""
    return tuple(tuple(hz for hz in bands if hz in one.options) for bands in whole_lanes_of(one))


def whole_lanes_of(one: BandField) -> tuple[Column, ...]:
    """Return all bands of each octave's lane, on offer or not."""
    return tuple(one.scale.within(octave_hz) for octave_hz in OCTAVE_SCALE.names_hz)


def columns_of(options: Sequence[Simple]) -> tuple[Column, ...]:
    """Return sections, or stems by their section, side by side in the order they stand on the field."""
    by_section = [[key for key in options if _section_of(key) == section.key] for section in SECTIONS]
    strangers = [key for key in options if not _section_of(key)]
    return tuple(tuple(column) for column in (*by_section, strangers) if column)


def _section_of(key: Simple) -> str:
    if key in PART_BY_KEY:
        return PART_BY_KEY[str(key)].section
    return str(key) if any(key == section.key for section in SECTIONS) else ""


def groups_of(fields: Sequence[Field], *, under: str = "") -> tuple[Group, ...]:
    """Return the groups of some fields, in their order."""
    halves = next((one for one in fields if isinstance(one, DirectionField)), None)
    bands = next((one for one in fields if isinstance(one, BandField)), None)
    groups = []
    for one in fields:
        if one is bands:
            groups.append(Group(kind_of(one), (one, halves) if halves else (one,), under))
        elif one is not halves or bands is None:
            groups.append(Group(kind_of(one), (one,), under))
    return tuple(groups)


def kind_of(one: Field) -> Kind:
    """Return how a field is laid out."""
    if isinstance(one, BandField):
        return Kind.LANES if one.scale.per_octave == 1 else Kind.FAN
    kinds = {
        WhichField: Kind.COLUMNS,
        OptionField: Kind.ROW,
        ControlField: Kind.SLIDER,
        ListField: Kind.SHEET,
    }
    return next((kind for made_of, kind in kinds.items() if isinstance(one, made_of)), Kind.ELSEWHERE)
