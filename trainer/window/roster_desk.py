"""The roster desk: everybody on the roster with their figures, as far as they are read, in the order asked for."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from trainer.progress.names import folded
from trainer.season.roster import Member, Roster
from trainer.window.bands import Bands
from trainer.window.listing import Listing, PageLength

ROSTER_LENGTH = PageLength(13, 8)
AT_A_TIME = 8
"""So many members' figures are read in one go; what else is asked for comes between."""

Order = str | int
"""``role``, ``name``, or the number of an octave band from 0: the smallest T75 first."""


@dataclass(frozen=True, slots=True)
class Row:
    """A line of the roster; ``figures`` is None until they are read."""

    member: Member
    figures: Bands | None = None


@dataclass
class RosterDesk:
    """The roster's lines; ``reading`` counts how often they were read afresh, so that late figures are told."""

    rows: tuple[Row, ...] = ()
    archived: int = 0
    order: Order = "role"
    reading: int = 0
    listing: Listing = field(default_factory=lambda: Listing(ROSTER_LENGTH))

    @property
    def chosen(self) -> Row | None:
        """The line the keys are on."""
        return self.rows[self.listing.at] if self.rows else None

    @property
    def read(self) -> int:
        """How many members' figures are there."""
        return sum(row.figures is not None for row in self.rows)

    @property
    def unread(self) -> tuple[Member, ...]:
        """Those whose figures are read next."""
        return tuple(row.member for row in self.rows if row.figures is None)[:AT_A_TIME]

    def begin(self, roster: Roster) -> int:
        """Show everybody, without figures yet; return which reading this is."""
        self.rows = tuple(map(Row, roster.present))
        self.archived = len(roster.members) - len(roster.present)
        self.reading += 1
        self.listing.hold(len(self.rows), self.listing.at)
        self._arrange()
        return self.reading

    def take(self, figures: Mapping[str, Bands]) -> None:
        """Take in some members' figures; the keys stay on whom they were on."""
        self.rows = tuple(
            replace(row, figures=figures.get(row.member.learner, row.figures)) for row in self.rows
        )
        self._arrange()

    def sort(self, order: Order) -> None:
        """Sort by something, from the first row; by name once more is by role."""
        self.order = "role" if order == "name" == self.order else order
        self._arrange()
        self.listing.hold(len(self.rows), 0)

    def _arrange(self) -> None:
        chosen = self.chosen
        self.rows = tuple(sorted(self.rows, key=self._place))
        if chosen is not None:
            names = [row.member.learner for row in self.rows]
            self.listing.hold(len(names), names.index(chosen.member.learner))

    def _place(self, row: Row) -> tuple[object, ...]:
        name = folded(row.member.name), row.member.learner
        if isinstance(self.order, int):
            change = row.figures.changes[self.order] if row.figures is not None else None
            is_told = change is not None and not change.is_early
            return (0, change.t75_db, *name) if change is not None and is_told else (1, 0.0, *name)
        return name if self.order == "name" else (_ROLES.get(row.member.role, len(_ROLES)), *name)


_ROLES = {"audio staff": 0, "student": 1, "guest": 2}
