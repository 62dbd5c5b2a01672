"""Which band was said for which, as a square of counts."""

from trainer.progress.figures.confusions import Confusions
from trainer.reports.lanes import label_of
from trainer.reports.print.surface import BODY, DIM, INK, LINE, PAPER, SMALL, Surface

NO_ANSWER = "none"


def draw_matrix(surface: Surface, confusions: Confusions, *, left: float, top: float, cell: float) -> None:
    """Draw the square: a row for what was true, a column for what was said; shade and number say how often."""
    names = [label_of(float(key)) for key in confusions.keys]
    size = min(SMALL, 0.36 * cell)
    asked = sum(confusions.asked)
    if not asked:
        surface.words((left, top + 12), "No octave tone was answered yet.", size=BODY, colour=DIM)
        return
    for place, name in enumerate([*names, NO_ANSWER]):
        surface.words((left + (place + 0.5) * cell, top - 3), name, size=size, colour=DIM, anchor="middle")
    for row, name in enumerate(names):
        y = top + row * cell
        surface.words((left - 4, y + 0.5 * cell + 0.36 * size), name, size=size, colour=DIM, anchor="end")
        for column, count in enumerate((*confusions.counts[row], confusions.unsaid[row])):
            _cell(surface, left + column * cell, y, cell, size, count, confusions.asked[row])
    across = cell * (len(names) + 1)
    surface.rect((left, top), (across, cell * len(names)), stroke=LINE)
    for place in range(len(names)):
        surface.rect((left + place * cell, top + place * cell), (cell, cell), stroke=INK)


def _cell(surface: Surface, x: float, y: float, cell: float, size: float, count: int, asked: int) -> None:
    if not count:
        return
    share = count / asked
    fill = _shade(share)
    surface.rect((x, y), (cell, cell), fill=fill)
    colour = PAPER if share > 0.45 else INK
    surface.words(
        (x + 0.5 * cell, y + 0.5 * cell + 0.36 * size), str(count), size=size, colour=colour, anchor="middle"
    )


def _shade(share: float) -> str:
    """Return a shade from white to dark; words on it stay readable: nothing lies in the middle greys."""
    level = 250 - 110 * share / 0.45 if share <= 0.45 else 96 - 50 * (share - 0.45) / 0.55
    grey = round(level)
    return f"#{grey:02x}{grey:02x}{max(0, grey - 6):02x}"
