"""Rows of a list, typed one after the other: written, changed and removed until the learner is done."""

import re
from collections.abc import Callable
from dataclasses import dataclass, field

from trainer.practice.list_field import NOTHING, ListField
from trainer.practice.typed import read_whole
from trainer.practice.values import Row
from trainer.refusal import Refused
from trainer.text.lines import Say

WANTED = re.compile(r"(?P<deed>[rx]) ?(?P<number>\d+)")
"""``r2`` writes row 2 anew, ``x2`` removes it."""
Line = Callable[[str], str]
"""Asks for a line by a prompt; it comes back plain and small."""


@dataclass
class RowsTyped:
    """The rows of one list as they are typed; ``run`` returns them once the learner is done."""

    listed: ListField
    line: Line
    say: Say
    rows: list[Row] = field(default_factory=list)

    def run(self) -> tuple[Row, ...]:
        """Return the rows that the learner wrote."""
        self.say(f"{self.listed.title}: {' / '.join(f'{one.title} ({one.hint})' for one in self.listed.of)}")
        while True:
            said = self.line(self._prompt())
            if said == NOTHING:
                return ()
            if not said and self.rows:
                return tuple(self.rows)
            if not said:
                self.say(f"There is no row yet. Type one, or {NOTHING} if you hear nothing.")
                continue
            if self._taken(said):
                self.say(self._written())

    def _prompt(self) -> str:
        if not self.rows:
            return f"row 1 ({self._columns()}), or {NOTHING}\n> "
        ways = "Enter when done, r1 changes row 1, x1 removes row 1"
        if len(self.rows) == self.listed.most:
            return f"all {self.listed.most} rows are written: {ways}\n> "
        return f"row {len(self.rows) + 1} ({self._columns()}), {ways}\n> "

    def _columns(self) -> str:
        return " / ".join(one.title for one in self.listed.of)

    def _written(self) -> str:
        rows = (f"{place}: {self.listed.row_label(row)}" for place, row in enumerate(self.rows, start=1))
        return " · ".join(rows) or "No row is written."

    def _taken(self, said: str) -> bool:
        """Do what was typed; say why where it cannot be done."""
        wanted = WANTED.fullmatch(said)
        try:
            if wanted is None:
                self._add(said)
            else:
                self._change(wanted["deed"], int(wanted["number"]))
        except Refused as why:
            self.say(f"{why}.")
            return False
        return True

    def _add(self, said: str) -> None:
        if len(self.rows) == self.listed.most:
            raise Refused(f"there is room for {self.listed.most} rows; change one (r1) or remove one (x1)")
        self.rows.append(self._read(said))

    def _change(self, deed: str, number: int) -> None:
        if not 1 <= number <= len(self.rows):
            raise Refused(f"there is no row {number}; {len(self.rows)} are written")
        if deed == "x":
            del self.rows[number - 1]
            return
        row = self.listed.row_label(self.rows[number - 1])
        said = self.line(f"row {number} is {row}; type it anew, or Enter to keep it\n> ")
        if said:
            self.rows[number - 1] = self._read(said)

    def _read(self, said: str) -> Row:
        (row,) = self.listed.checked([read_whole(self.listed.of, said)])
        return row
