"""A listing: rows that fill more than one page, and which of them the keys are on."""

from dataclasses import dataclass

from trainer.window.canvas import BIG_TEXT

STOP = "rows"
"""The keyboard's stop at the rows of a listing."""


@dataclass(frozen=True, slots=True)
class PageLength:
    """How many rows a page holds, with text as it is and with big text."""

    rows: int
    big_rows: int

    def at(self, text_scale: float) -> int:
        """Return how many rows fit at a text size."""
        return self.big_rows if text_scale >= BIG_TEXT else self.rows


@dataclass
class Listing:
    """So many rows; ``at`` is the one the keys are on."""

    length: PageLength
    count: int = 0
    at: int = 0

    def hold(self, count: int, at: int = 0) -> None:
        """Hold so many rows, the keys on one of them."""
        self.count, self.at = count, min(max(at, 0), max(count - 1, 0))

    def step(self, rows: int) -> None:
        """Go some rows down, or up."""
        self.hold(self.count, self.at + rows)

    def turn(self, pages: int, text_scale: float) -> None:
        """Go some pages on, or back, to the first row there; past the ends to the last row, or the first."""
        rows = self.length.at(text_scale)
        self.hold(
            self.count,
            (self.at // rows + pages) * rows if self.has_page(pages, text_scale) else self._end(pages),
        )

    def has_page(self, pages: int, text_scale: float) -> bool:
        """Say whether there is a page so many pages on."""
        return 0 <= self.page(text_scale) + pages < self.pages(text_scale)

    def pages(self, text_scale: float) -> int:
        """Return how many pages there are."""
        return max(1, -(-self.count // self.length.at(text_scale)))

    def page(self, text_scale: float) -> int:
        """Return the number of the present page, from 0."""
        return self.at // self.length.at(text_scale)

    def shown(self, text_scale: float) -> range:
        """Return the numbers of the rows on the present page, from 0."""
        rows = self.length.at(text_scale)
        first = self.page(text_scale) * rows
        return range(first, min(first + rows, self.count))

    def _end(self, pages: int) -> int:
        return self.count - 1 if pages > 0 else 0
