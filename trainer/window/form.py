"""The answer form of any exercise: what is picked so far, and what the keys pick in it.

No pictures here, and no keys: places on a page follow from the groups. A list is filled in on a sheet, each row of it
in a form of its own; the keys go to the row that is open.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import partial

from trainer.practice.control_field import ControlField
from trainer.practice.fields import DirectionField, Field
from trainer.practice.list_field import ListField
from trainer.practice.values import Answer, Row, Value
from trainer.refusal import Refused
from trainer.window.groups import UNDER, Group, Kind, groups_of, whole_lanes_of
from trainer.window.moves import LARGE_STEP, beside, moved, next_in, start_of
from trainer.window.sheet import Sheet


@dataclass
class Form:
    """What is picked so far.

    Attributes
    ----------
    picks
        Field key to value; rows of a list are on its sheet.
    under
        The key of the list that it is a row of, with a dot; empty for a whole form.
    active
        The place of the group that the keys go to.
    opened
        The place of the lane that is open; None while none is.
    """

    fields: tuple[Field, ...]
    picks: dict[str, Value] = field(default_factory=dict)
    under: str = ""
    active: int = 0
    opened: int | None = None
    groups: tuple[Group, ...] = field(init=False)
    sheets: "dict[str, Sheet[Form]]" = field(init=False)

    def __post_init__(self) -> None:
        self.groups = groups_of(self.fields, under=self.under)
        lists = (one for one in self.fields if isinstance(one, ListField))
        self.sheets = {one.key: Sheet(one, partial(_row_form, one)) for one in lists}
        self._open_lane_of_pick()

    # What is picked.

    @property
    def group(self) -> Group:
        """The group that is active."""
        return self.groups[self.active]

    @property
    def sheet(self) -> "Sheet[Form] | None":
        """The sheet that is active."""
        return self.sheets.get(self.group.key)

    @property
    def innermost(self) -> "Form":
        """The form the keys go to: on a sheet, that of its open row."""
        return self if self.sheet is None else self.sheet.row

    @property
    def stops(self) -> tuple[str, ...]:
        """The names of all groups the keys can go to."""
        return tuple(stop for group in self.groups for stop in self._stops_of(group))

    def _stops_of(self, group: Group) -> tuple[str, ...]:
        sheet = self.sheets.get(group.key)
        return (group.stop,) if sheet is None else sheet.row.stops

    @property
    def answer(self) -> Answer | None:
        """The whole answer, or None while something is not picked."""
        values = {one.key: self._value_of(one) for one in self.fields}
        whole = {key: value for key, value in values.items() if value is not None}
        return whole if len(whole) == len(values) else None

    @property
    def missing(self) -> Field | None:
        """The first field that is not picked."""
        return next((one for one in self.fields if self._value_of(one) is None), None)

    def _value_of(self, one: Field) -> Value | None:
        sheet = self.sheets.get(one.key)
        return self.picks.get(one.key) if sheet is None else sheet.value

    # What is wanted of it.

    def pick(self, picks: Mapping[str, Value]) -> None:
        """Pick values of some fields, those of an open row by the list's key and theirs; the keys then go there."""
        for name, value in picks.items():
            key, _, within = name.partition(UNDER)
            one = next(one for one in self.fields if one.key == key)
            if within:
                self.sheets[key].row.pick({within: value})
            elif key in self.sheets:
                self.sheets[key].write(value)
            else:
                self._pick_one(one, value)
            self._go_to_field(one)

    def _pick_one(self, one: Field, value: Value) -> None:
        try:
            self.picks[one.key] = one.checked(value)
        except Refused:
            return
        self._open_lane_of_pick()

    def _go_to_field(self, one: Field) -> None:
        self.active = next(place for place, group in enumerate(self.groups) if one in group.fields)

    def go_to(self, stop: str) -> None:
        """Send the keys to the group of a name."""
        for place, group in enumerate(self.groups):
            if stop in self._stops_of(group):
                self.active = place
                if self.sheet is not None:
                    self.sheet.row.go_to(stop)

    def go_to_missing(self) -> None:
        """Send the keys to the first group in which something is not picked."""
        for place, group in enumerate(self.groups):
            if any(self._value_of(one) is None for one in group.fields):
                self.active = place
                if self.sheet is not None:
                    self.sheet.go_to_missing()
                return

    def digit(self, number: int) -> None:
        """Pick the column of a number from 1 (0 is the tenth); the same again takes the next in it.

        In a row the keys then go on to what is not picked yet. Of lanes that hold several bands it opens one; the
        next digit picks a band in it. 0 sets a control back.
        """
        group, place = self.group, (number - 1) % 10
        if self.sheet is not None:
            self.sheet.row.digit(number)
        elif group.kind is Kind.FAN:
            self._digit_in_fan(group, place)
        elif isinstance(group.fields[0], ControlField):
            if number == 0:
                self.picks[group.key] = start_of(group.fields[0])
        elif place < len(group.columns) and group.columns[place]:
            self.picks[group.key] = next_in(group.columns[place], self.picks.get(group.key))
            if group.kind is Kind.ROW:
                self.go_to_missing()

    def _digit_in_fan(self, group: Group, place: int) -> None:
        if self.opened is None or group.bands is None:
            self._open(group, place)
            return
        bands = whole_lanes_of(group.bands)[self.opened]
        if place < len(bands):
            self._pick_one(group.bands, bands[place])

    def arrow(self, right: int, down: int, *, is_large: bool = False) -> None:
        """Move the pick in the active group: so many columns to the right, so many rows down."""
        group, one = self.group, self.group.fields[0]
        if self.sheet is not None:
            self.sheet.row.arrow(right, down, is_large=is_large)
        elif isinstance(one, ControlField):
            steps = (right or -down) * (LARGE_STEP if is_large else 1)
            self.picks[one.key] = moved(one, self.picks.get(one.key), steps)
        elif down and group.bands is not None:
            if group.halves is not None:
                self._pick_half(group.halves, down)
        elif down and isinstance(one, DirectionField):
            self._pick_half(one, down)
        else:
            self._pick_beside(group, right, down)

    def _pick_half(self, halves: DirectionField, down: int) -> None:
        self.picks[halves.key] = halves.options[0 if down < 0 else -1]

    def _pick_beside(self, group: Group, right: int, down: int) -> None:
        columns, now = group.columns, self.picks.get(group.key)
        if group.kind is Kind.ROW:
            right, down = right or down, 0
        elif group.kind is Kind.FAN:
            columns = tuple((band,) for lane in columns for band in lane)
        there = beside(columns, now, right=right, down=down)
        if there is not None:
            self._pick_one(group.fields[0], there)

    # Lanes that open.

    def open_lane(self, stop: str, place: int) -> None:
        """Open a lane of a group; what was picked in another is no longer. The open one is closed again."""
        self.go_to(stop)
        form = self.innermost
        if form.opened == place:
            form.opened = None
        else:
            form._open(form.group, place)

    def close_lane(self) -> None:
        """Close the open lane; what is picked stays picked."""
        self.innermost.opened = None

    def _open(self, group: Group, place: int) -> None:
        if not group.columns[place]:
            return
        self.opened = place
        if self.picks.get(group.key) not in group.columns[place]:
            self.picks.pop(group.key, None)

    def _open_lane_of_pick(self) -> None:
        group = next((one for one in self.groups if one.kind is Kind.FAN), None)
        now = self.picks.get(group.key) if group is not None else None
        if group is not None and now is not None:
            self.opened = next(place for place, lane in enumerate(group.columns) if now in lane)

    # Sheets.

    def open_row(self, key: str, place: int) -> None:
        """Open a row of a list, written or new."""
        self._go_to_field(self.sheets[key].listed)
        self.sheets[key].open(place)

    def step_row(self, rows: int) -> None:
        """Open the row so many below."""
        if self.sheet is not None:
            self.sheet.open(self.sheet.at + rows)

    def next_row(self) -> None:
        """Go on from the open row of the sheet to what is not written."""
        if self.sheet is not None:
            self.sheet.go_on()

    def remove_row(self, key: str = "", place: int | None = None) -> None:
        """Remove a row of a list: the open one, if none is named."""
        sheet = self.sheets.get(key, self.sheet)
        if sheet is not None:
            sheet.remove(sheet.at if place is None else place)


def _row_form(listed: ListField, row: Row) -> Form:
    """Return the form of a row of a list, written or blank."""
    return Form(listed.of, dict(row), f"{listed.key}{UNDER}")


DEEDS: dict[str, Callable[..., None]] = {
    "open lane": Form.open_lane,
    "close lane": Form.close_lane,
    "open row": Form.open_row,
    "step row": Form.step_row,
    "next row": Form.next_row,
    "remove row": Form.remove_row,
}
"""What can be wanted of a form beside picking, by name."""
