"""A cell of a table that shows its number twice more: by how dark it is, and by the length of a bar."""

from trainer.reports.print.surface import BODY, DIM, INK, PAPER, Point, Surface, mixed

DARKEST = 0.34
"""How much ink shades a full cell: words on it keep a contrast of 4.5 (WCAG 2.2)."""
BAR = 2.2
GAP = 1.0


def heat_cell(paper: Surface, corner: Point, size: Point, words: str, share: float | None) -> None:
    """Draw a cell: ``share`` of what is most, 0 to 1; None where there is no figure."""
    x, y = corner[0] + GAP, corner[1] + GAP
    wide, high = size[0] - 2 * GAP, size[1] - 2 * GAP
    middle = (x + wide / 2, y + (high - BAR) / 2 + 3.2)
    if share is None:
        paper.words(middle, words, size=BODY, colour=DIM, anchor="middle")
        return
    part = min(max(share, 0.0), 1.0)
    paper.rect((x, y), (wide, high), fill=mixed(DARKEST * part) if part else PAPER)
    paper.rect((x, y + high - BAR), (wide * part, BAR), fill=INK)
    paper.words(middle, words, size=BODY - 0.5, anchor="middle")
