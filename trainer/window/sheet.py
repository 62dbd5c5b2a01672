"""The sheet: the rows of a list while they are written, each in a form of its own."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Generic, Protocol, TypeVar

from trainer.practice.list_field import ListField
from trainer.practice.values import Answer, Row, Value, is_simple
from trainer.refusal import Refused


class RowForm(Protocol):
    """What a row is filled in with."""

    @property
    def picks(self) -> Mapping[str, Value]:
        """Field key to what is picked."""

    @property
    def answer(self) -> Answer | None:
        """The whole row, or None while something is not picked."""

    def go_to_missing(self) -> None:
        """Send the keys to what is not picked."""


F = TypeVar("F", bound=RowForm)


@dataclass
class Sheet(Generic[F]):
    """The rows of a list as far as they are written, one of them open; a blank one is none.

    ``made_of`` makes a row's form of what it holds.
    """

    listed: ListField
    made_of: Callable[[Row], F] = field(compare=False, repr=False)
    rows: list[F] = field(default_factory=list)
    at: int = 0

    def __post_init__(self) -> None:
        self.rows = self.rows or [self.made_of({})]

    @property
    def row(self) -> F:
        """The row that is open."""
        return self.rows[self.at]

    @property
    def has_room(self) -> bool:
        """Whether another row can be added: there is room, and no blank one."""
        return len(self.rows) < self.listed.most and all(row.picks for row in self.rows)

    @property
    def value(self) -> tuple[Row, ...] | None:
        """The rows that are written; None while one of them is not whole."""
        answers = [row.answer for row in self.rows if row.picks]
        whole = tuple(_simple(answer) for answer in answers if answer is not None)
        return whole if len(whole) == len(answers) else None

    def write(self, value: Value) -> None:
        """Write all rows anew."""
        try:
            rows = self.listed.checked(value)
        except Refused:
            return
        self.rows = [self.made_of(row) for row in rows] or [self.made_of({})]
        self.at = len(self.rows) - 1

    def open(self, place: int) -> None:
        """Open a row; the one after the last is new, where there is room for it."""
        if place >= len(self.rows) and self.has_room:
            self.rows.append(self.made_of({}))
        self.at = min(max(place, 0), len(self.rows) - 1)

    def go_on(self) -> None:
        """Go on to what the open row lacks; from one that is whole, to the first that is not."""
        if self.row.answer is None:
            self.row.go_to_missing()
            return
        unwritten = (place for place, row in enumerate(self.rows) if row.answer is None)
        self.open(next(unwritten, len(self.rows)))

    def remove(self, place: int) -> None:
        """Remove a row; where it was open, the one below it is open then, or the last."""
        del self.rows[place]
        self.rows = self.rows or [self.made_of({})]
        self.at = min(self.at - (place < self.at), len(self.rows) - 1)

    def go_to_missing(self) -> None:
        """Open the first row that is begun and not whole."""
        for place, row in enumerate(self.rows):
            if row.picks and row.answer is None:
                self.at = place
                row.go_to_missing()
                return


def _simple(answer: Answer) -> Row:
    """Return a row's answer, which holds words and numbers only."""
    return {key: value for key, value in answer.items() if is_simple(value)}
