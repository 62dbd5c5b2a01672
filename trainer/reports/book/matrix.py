"""What was said for what it was: a row a band, counts in the cells, the right ones outlined."""

from collections.abc import Sequence

from trainer.progress.figures.confusions import Confusions
from trainer.reports.book.frame import heading
from trainer.reports.book.words import band_name, counted
from trainer.reports.print.surface import DIM, INK, LINE, PAPER, SMALL, Point, Surface, mixed

DARKEST = 0.42
"""How much ink shades a cell with all its row's answers."""
FAINT_SHARES_UP = 0.6
"""The power a share is shaded by, below 1 so that one answer in ten can still be seen."""
NAMES = 30.0
LEAST_SIZE = 7.0


def draw_confusions(
    paper: Surface, corner: Point, confusions: Confusions, *, cell: Point, of_what: str = "octave tone"
) -> float:
    """Draw the table with its heading; return where it ends."""
    x, y = corner
    all_asked, shares = confusions.asked, confusions.shares
    answers = sum(all_asked)
    heading(paper, x, y, "What was said for what it was", beside=counted(answers, "answer"))
    if not answers:
        paper.words((x, y + 18.0), f"No answers to {of_what} yet.", colour=DIM)
        return y + 22.0
    top = y + 31.0
    left = x + NAMES
    names = [band_name(key) for key in confusions.keys]
    paper.words((left, y + 13.0), "said, Hz →", size=SMALL, colour=DIM)
    paper.words((x, top - 5.0), "was ↓", size=SMALL, colour=DIM)
    for column, name in enumerate(names):
        place = (left + (column + 0.5) * cell[0], top - 5.0)
        paper.words(place, name, size=LEAST_SIZE, bold=True, anchor="middle")
    right = left + len(names) * cell[0]
    ends = (right + 14.0, right + 38.0)
    for end, name in zip(ends, ("none", "asked"), strict=True):
        paper.words((end, top - 5.0), name, size=LEAST_SIZE, colour=DIM, anchor="middle")
    for row, name in enumerate(names):
        base = top + (row + 0.5) * cell[1] + 2.6
        paper.words((left - 4.0, base), name, size=LEAST_SIZE, bold=True, anchor="end")
        _cells(paper, confusions.counts[row], shares[row], (left, top + row * cell[1]), cell)
        for end, number in zip(ends, (confusions.unsaid[row], all_asked[row]), strict=True):
            paper.words((end, base), str(number or "·"), size=LEAST_SIZE, colour=DIM, anchor="middle")
    for right_one in range(len(names)):
        at = (left + right_one * cell[0], top + right_one * cell[1])
        paper.rect(at, cell, stroke=INK, width=1.1)
    return top + len(names) * cell[1]


def _cells(
    paper: Surface, counts: Sequence[int], shares: Sequence[float], corner: Point, cell: Point
) -> None:
    left, top = corner
    for column, (number, share) in enumerate(zip(counts, shares, strict=True)):
        at = (left + column * cell[0], top)
        fill = mixed(DARKEST * share**FAINT_SHARES_UP) if number else PAPER
        paper.rect(at, cell, fill=fill, stroke=LINE, width=0.3)
        if number:
            place = (at[0] + cell[0] / 2, top + cell[1] / 2 + 2.6)
            paper.words(place, str(number), size=LEAST_SIZE, anchor="middle")
