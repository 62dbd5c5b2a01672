"""A quiz's items: how many were right, with the interval as a mark, how well each tells apart, and what is odd."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from trainer.reports.book.frame import BOTTOM, LEFT, RIGHT, TOP, Leaf
from trainer.reports.book.words import counted, percent
from trainer.reports.print.surface import BODY, DIM, INK, LANE, LINE, PAPER, SMALL, WRONG, Surface, mixed
from trainer.reports.print.text import Paragraph, paragraph
from trainer.season.pages import QuizItemPage, QuizPage

HOW = (
    "Wholly right: share of the class, with its 90 % interval (Wilson). Credit: mean mark of an item. Tells apart: "
    "correlation with the rest of the quiz, from −1 to 1."
)
NUMBER, WORDS, WORDS_WIDTH = LEFT + 14.0, LEFT + 22.0, 232.0
PLOT, PLOT_WIDTH = LEFT + 266.0, 138.0
SHARE, CREDIT, APART = PLOT + PLOT_WIDTH + 12.0, LEFT + 508.0, LEFT + 514.0
APART_WIDTH, FLAG = 60.0, LEFT + 618.0
ROWS_TOP = TOP + 32.0
LEAST_ROW, WORDS_SIZE = 13.6, 7.5


@dataclass(frozen=True, slots=True)
class Row:
    """A line of the table, and how high it is."""

    item: QuizItemPage
    words: Paragraph
    flag: Paragraph

    @property
    def height(self) -> float:
        """Its height, by its words."""
        return max(LEAST_ROW, self.words.height + 3.0, self.flag.height + 3.0)


def item_leaves(quiz: QuizPage, key: str) -> Iterator[Leaf]:
    """Yield the pages of items."""
    for number, rows in enumerate(_pages(quiz.items), 1):

        def draw(paper: Surface, rows: Sequence[Row] = rows) -> None:
            draw_items(paper, rows)

        beside = f"{counted(len(quiz.items), 'item')}, {counted(len(quiz.scores), 'sheet')}"
        yield Leaf(f"{quiz.title}: the items", beside, f"{key}-items-{number}", "", draw)


def _pages(items: Sequence[QuizItemPage]) -> list[list[Row]]:
    pages: list[list[Row]] = []
    top = BOTTOM
    for item in items:
        row = Row(
            item,
            paragraph(item.words, width=WORDS_WIDTH, size=WORDS_SIZE, height=30.0),
            paragraph(item.flag, width=RIGHT - FLAG - 10.0, size=WORDS_SIZE, height=30.0),
        )
        if top + row.height > BOTTOM:
            pages.append([])
            top = ROWS_TOP
        pages[-1].append(row)
        top += row.height
    return pages


def draw_items(paper: Surface, rows: Sequence[Row]) -> None:
    """Draw the items of one page."""
    paper.words((LEFT, TOP + 2.0), HOW, size=SMALL, colour=DIM)
    height = sum(row.height for row in rows)
    _heads(paper)
    top = ROWS_TOP
    for place, row in enumerate(rows):
        if place % 2 == 0:
            paper.rect((LEFT, top), (RIGHT - LEFT, row.height), fill=LANE)
        top += row.height
    _scales(paper, height)
    top = ROWS_TOP
    for row in rows:
        _row(paper, row, top)
        top += row.height


def _heads(paper: Surface) -> None:
    base = ROWS_TOP - 5.0
    paper.words((WORDS, base), "what was true", size=7.0, colour=DIM)
    for share in (0.0, 0.5, 1.0):
        words = percent(share)
        at = (PLOT + share * PLOT_WIDTH, base)
        paper.words(at, words, size=7.0, colour=DIM, anchor="middle")
    paper.words((SHARE + 4.0, base), "wholly right", size=7.0, colour=DIM)
    paper.words((CREDIT, base), "credit", size=7.0, colour=DIM, anchor="end")
    for share, words in ((0.0, "−1"), (0.5, "0"), (1.0, "1")):
        place = (APART + 12.0 + share * APART_WIDTH, base)
        paper.words(place, words, size=7.0, colour=DIM, anchor="middle")
    middle = APART + 12.0 + APART_WIDTH / 2
    paper.words((middle, base - 9.0), "tells apart", size=7.0, colour=DIM, anchor="middle")
    paper.words((FLAG, base), "what is odd", size=7.0, colour=DIM)


def _scales(paper: Surface, height: float) -> None:
    for left, width in ((PLOT, PLOT_WIDTH), (APART + 12.0, APART_WIDTH)):
        for share in (0.0, 0.5, 1.0):
            x = left + share * width
            paper.line((x, ROWS_TOP), (x, ROWS_TOP + height), colour=LINE, width=0.5)


def _row(paper: Surface, row: Row, top: float) -> None:
    item, y = row.item, top + row.height / 2
    base = y + 2.8
    paper.words((NUMBER, base), str(item.number), size=BODY - 1.0, bold=True, anchor="end")
    row.words.draw(paper, (WORDS, y - row.words.height / 2))
    found = item.difficulty
    low, high = (PLOT + share * PLOT_WIDTH for share in (found.interval.low, found.interval.high))
    paper.rect((low, y - 2.6), (high - low, 5.2), fill=mixed(0.22))
    for end in (low, high):
        paper.line((end, y - 2.6), (end, y + 2.6), colour=DIM, width=0.8)
    paper.dot((PLOT + found.value * PLOT_WIDTH, y), 2.4, fill=INK, stroke=PAPER)
    paper.words((SHARE, base), share_words(item), size=SMALL)
    paper.words((CREDIT, base), f"{item.mean_score:.2f}", size=SMALL, anchor="end")
    _apart(paper, item, y)
    row.flag.draw(paper, (FLAG + (9.0 if item.flag else 0.0), y - row.flag.height / 2))
    if item.flag:
        paper.polygon([(FLAG, y + 3.0), (FLAG + 6.0, y + 3.0), (FLAG + 3.0, y - 3.2)], fill=WRONG)


def _apart(paper: Surface, item: QuizItemPage, y: float) -> None:
    zero = APART + 12.0 + APART_WIDTH / 2
    found = item.discrimination
    if found is not None:
        end = zero + found * APART_WIDTH / 2
        paper.rect((min(zero, end), y - 2.0), (abs(end - zero), 4.0), fill=mixed(0.62))
    words = apart_words(item)
    paper.words((FLAG - 5.0, y + 2.8), words, size=7.0, colour=DIM, anchor="end")


def share_words(item: QuizItemPage) -> str:
    """Return how many were wholly right, with the interval."""
    found = item.difficulty
    return f"{percent(found.value)} ({100 * found.interval.low:.0f}–{100 * found.interval.high:.0f})"


def apart_words(item: QuizItemPage) -> str:
    """Return how well an item tells apart; a dash where it cannot be told."""
    found = item.discrimination
    return "–" if found is None else f"{found:.2f}".replace("-", "−")
