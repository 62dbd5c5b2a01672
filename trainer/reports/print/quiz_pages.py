"""A quiz's pages: the class's scores with what they are good to, the items, what was confused."""

from collections.abc import Sequence

from trainer.reports.print.learner_page import counted, day_words
from trainer.reports.print.matrix import draw_matrix
from trainer.reports.print.surface import (
    DIM,
    HEADING,
    HEIGHT_PT,
    INK,
    LINE,
    MARGIN_PT,
    PAPER,
    SHADE,
    SMALL,
    TITLE,
    WIDTH_PT,
    WRONG,
    Surface,
    fitted,
    paragraph,
)
from trainer.season.pages import QuizItemPage, QuizPage, QuizScore

LEARNERS_A_PAGE, ITEMS_A_PAGE = 34, 34
FIRST = 118.0
BOTTOM = HEIGHT_PT - MARGIN_PT
SCORES_WIDE = 330.0
COLUMN = MARGIN_PT + SCORES_WIDE + 50


def draw_quiz(surface: Surface, page: QuizPage, *, key: str) -> None:
    """Draw a quiz: its scores on as many pages as it takes, then its items."""
    ordered = sorted(page.scores, key=lambda one: (-one.score, one.name))
    starts = range(0, max(1, len(ordered)), LEARNERS_A_PAGE)
    for number, start in enumerate(starts):
        _begin(
            surface,
            page,
            key if number == 0 else f"{key}-{number + 1}",
            "" if number == 0 else ", more scores",
        )
        _scores(surface, page, ordered[start : start + LEARNERS_A_PAGE])
        if number == 0:
            _beside(surface, page)
    for start in range(0, len(page.items), ITEMS_A_PAGE):
        _begin(surface, page, f"{key}-items-{start}", ", its items")
        _items(surface, page.items[start : start + ITEMS_A_PAGE])


def _begin(surface: Surface, page: QuizPage, key: str, what: str) -> None:
    title = f"{page.title}{what}"
    surface.page(title, key=key)
    surface.words((MARGIN_PT, 52), fitted(title, 560, size=TITLE, bold=True), size=TITLE, bold=True)
    made = f"{counted(len(page.items), 'item')}, {counted(len(page.scores), 'learner')}"
    surface.words((WIDTH_PT - MARGIN_PT, 52), made, anchor="end")
    when = f"made on {day_words(page.made_at.date())}"
    surface.words((WIDTH_PT - MARGIN_PT, 68), when, colour=DIM, anchor="end")


def _scores(surface: Surface, page: QuizPage, scores: Sequence[QuizScore]) -> None:
    """Draw a line a learner: the score as a dot, what it is good to as a whisker."""
    surface.words((MARGIN_PT, 76), "Scores", size=HEADING, bold=True)
    good_to = page.reliability.give_or_take
    whisker = "" if good_to is None else "; whisker: what a score is good to"
    surface.words(
        (MARGIN_PT, 88), f"0 % is guessing, 100 % everything right{whisker}", size=SMALL, colour=DIM
    )
    step = min(15.0, (BOTTOM - 30 - FIRST) / max(1, len(scores)))
    zero, wide = MARGIN_PT + 118, SCORES_WIDE - 118 - 30
    end = FIRST + step * len(scores)
    for share in (0.0, 0.25, 0.5, 0.75, 1.0):
        at = zero + wide * share
        surface.line((at, FIRST - 10), (at, end), width=0.4)
        surface.words((at, FIRST - 14), f"{100 * share:.0f} %", size=SMALL, colour=DIM, anchor="middle")
    at = zero + wide * page.mean
    surface.line((at, FIRST - 10), (at, end), colour=DIM, dashes=(3.0, 2.0))
    surface.words((at, end + 10), f"mean {100 * page.mean:.0f} %", size=SMALL, colour=DIM, anchor="middle")
    for number, score in enumerate(scores):
        y = FIRST + (number + 0.5) * step
        surface.words((MARGIN_PT, y + 2.6), fitted(score.name, 110, size=SMALL + 0.5), size=SMALL + 0.5)
        if good_to is not None:
            ends = [zero + wide * min(max(score.score + sign * good_to, 0.0), 1.0) for sign in (-1, 1)]
            surface.line((ends[0], y), (ends[1], y), colour=DIM, width=0.9)
        surface.dot((zero + wide * score.score, y), 2.6, fill=INK)
        text = f"{100 * score.score:.0f} %"
        surface.words((MARGIN_PT + SCORES_WIDE, y + 2.6), text, size=SMALL + 0.5, anchor="end")


def _beside(surface: Surface, page: QuizPage) -> None:
    """Draw beside the scores: what stands out, and what was confused."""
    wide = WIDTH_PT - MARGIN_PT - COLUMN
    surface.words((COLUMN, 100), "What stands out", size=HEADING, bold=True)
    y = 116.0
    for remark in page.remarks:
        y = paragraph(surface, (COLUMN, y), remark, width=wide, most_lines=3) + 3
    if page.reliability.kr20 is not None:
        y = paragraph(
            surface, (COLUMN, y), f"KR-20 of right and wrong is {page.reliability.kr20:.2f}.", width=wide
        )
    surface.words((COLUMN, 236), "Which band was said for which", size=HEADING, bold=True)
    explained = "a row for what it was, a column for what was said; numbers are answers"
    surface.words((COLUMN, 248), explained, size=SMALL, colour=DIM)
    draw_matrix(surface, page.confusions, left=COLUMN + 28, top=272, cell=25.0)


def _items(surface: Surface, items: Sequence[QuizItemPage]) -> None:
    """Draw a line an item: how many had it right, with Wilson's interval; whether it goes with the rest."""
    columns = (
        (MARGIN_PT, "item, and what it was"),
        (MARGIN_PT + 300, "wholly right, with its 90 % interval"),
        (MARGIN_PT + 526, "goes with the rest"),
        (MARGIN_PT + 620, "what is odd"),
    )
    for x, words in columns:
        surface.words((x, 84), words, size=SMALL, colour=DIM)
    zero, wide = MARGIN_PT + 300, 150.0
    step = min(15.0, (BOTTOM - 110) / max(1, len(items)))
    end = 104 + step * len(items)
    for share in (0.0, 0.5, 1.0):
        at = zero + wide * share
        surface.line((at, 98), (at, end), width=0.4)
        surface.words((at, 95), f"{100 * share:.0f} %", size=SMALL, colour=DIM, anchor="middle")
    for number, item in enumerate(items):
        y = 104 + (number + 0.5) * step
        surface.words((MARGIN_PT + 14, y + 2.6), str(item.number), size=SMALL + 0.5, bold=True, anchor="end")
        surface.words((MARGIN_PT + 22, y + 2.6), fitted(item.words, 262, size=SMALL + 0.5), size=SMALL + 0.5)
        low, high = (
            zero + wide * edge for edge in (item.difficulty.interval.low, item.difficulty.interval.high)
        )
        surface.rect((low, y - 3), (high - low, 6), fill=SHADE)
        surface.dot((zero + wide * item.difficulty.value, y), 2.4, fill=INK)
        surface.words(
            (zero + wide + 36, y + 2.6),
            f"{100 * item.difficulty.value:.0f} %",
            size=SMALL + 0.5,
            anchor="end",
        )
        _together(surface, item, MARGIN_PT + 526, y)
        surface.words(
            (MARGIN_PT + 620, y + 2.6),
            fitted(item.flag, 154, size=SMALL + 0.5),
            size=SMALL + 0.5,
            colour=WRONG,
        )


def _together(surface: Surface, item: QuizItemPage, x: float, y: float) -> None:
    """Draw an item's correlation with the rest as a bar from 0, to either side."""
    zero = x + 30
    surface.line((zero, y - 5), (zero, y + 5), width=0.5, colour=LINE)
    if item.discrimination is None:
        surface.words((zero + 34, y + 2.6), "–", size=SMALL, colour=DIM)
        return
    reach = 30 * item.discrimination
    surface.rect(
        (min(zero, zero + reach), y - 2), (abs(reach), 4), fill=DIM if reach >= 0 else PAPER, stroke=DIM
    )
    surface.words((zero + 56, y + 2.6), f"{item.discrimination:+.2f}", size=SMALL + 0.5, anchor="end")
