"""A quiz's scores: everybody as a dot with its give or take, and what they reached by field and octave band."""

from collections.abc import Iterator, Sequence

from trainer.reports.book.frame import BOTTOM, LEFT, RIGHT, TOP, Leaf, heading
from trainer.reports.book.heat import heat_cell
from trainer.reports.book.matrix import draw_confusions
from trainer.reports.book.words import band_name, counted, percent
from trainer.reports.print.surface import BODY, DIM, INK, LANE, LINE, PAPER, SMALL, Point, Surface
from trainer.reports.print.text import fitted, paragraph, wrapped
from trainer.season.pages import QuizPage, QuizScore, Reliability

A_PAGE = 32
NAMES, PLOT, FIGURES = 112.0, 220.0, LEFT + 346.0
ROWS_TOP = TOP + 34.0
MOST_ROW, TICKS = 17.0, (0.0, 0.25, 0.5, 0.75, 1.0)
BESIDE = LEFT + 512.0
CELL: Point = (18.4, 12.4)
SCORES_HOW = "0: as by guessing, 100: all right · dot: score · whiskers: give or take (standard error)"
PARTS_HOW = "Shown scores in percent, 0 as by guessing · darker and a longer bar: more was reached"


def _x(score: float) -> float:
    """Return how far along a score is, 0 to 1."""
    return LEFT + NAMES + min(max(score, 0.0), 1.0) * PLOT


def score_leaves(quiz: QuizPage, key: str) -> Iterator[Leaf]:
    """Yield the pages of scores, then those by field and band."""
    ordered = sorted(quiz.scores, key=lambda one: -one.score)
    beside = f"quiz of {quiz.made_at.day} {quiz.made_at:%B %Y}"
    for first in range(0, max(1, len(ordered)), A_PAGE):

        def draw(paper: Surface, shown: Sequence[QuizScore] = ordered[first : first + A_PAGE]) -> None:
            draw_scores(paper, quiz, shown)

        title = quiz.title if not first else f"{quiz.title}, continued"
        number = first // A_PAGE + 1
        yield Leaf(title, beside, f"{key}-scores-{number}", "" if first else f"Quiz: {quiz.title}", draw)
    for first in range(0, len(ordered), A_PAGE):

        def draw_these(paper: Surface, shown: Sequence[QuizScore] = ordered[first : first + A_PAGE]) -> None:
            draw_parts(paper, shown)

        number = first // A_PAGE + 1
        yield Leaf(f"{quiz.title}: by field and octave band", beside, f"{key}-parts-{number}", "", draw_these)


def draw_scores(paper: Surface, quiz: QuizPage, scores: Sequence[QuizScore]) -> None:
    """Draw the scores of one page, and what is said of them beside."""
    heading(paper, LEFT, TOP + 6.0, "Scores")
    paper.words((LEFT, TOP + 18.0), SCORES_HOW, size=SMALL, colour=DIM)
    pitch = min(MOST_ROW, (BOTTOM - ROWS_TOP - 14.0) / max(1, len(scores)))
    _scale(paper, len(scores) * pitch)
    for place, score in enumerate(scores):
        _score(paper, score, quiz, (ROWS_TOP + place * pitch, pitch))
    if scores:
        bottom = ROWS_TOP + len(scores) * pitch
        x = _x(quiz.mean)
        paper.line((x, ROWS_TOP), (x, bottom), colour=DIM, width=0.9, dashes=(2.0, 2.0))
    else:
        paper.words((LEFT, ROWS_TOP + 20.0), "Nobody has taken it yet.", colour=DIM)
    _beside(paper, quiz)


def _scale(paper: Surface, height: float) -> None:
    for score in TICKS:
        x = _x(score)
        paper.line((x, ROWS_TOP), (x, ROWS_TOP + height), colour=LINE if score else DIM, width=0.5)
        paper.words((x, ROWS_TOP - 4.0), f"{100 * score:.0f}", size=7.0, colour=DIM, anchor="middle")
    paper.words((LEFT, ROWS_TOP - 4.0), "name", size=7.0, colour=DIM)
    paper.words((FIGURES, ROWS_TOP - 4.0), "score", size=7.0, colour=DIM)
    paper.words((FIGURES + 46.0, ROWS_TOP - 4.0), "wholly right, 90 % interval", size=7.0, colour=DIM)


def _score(paper: Surface, score: QuizScore, quiz: QuizPage, row: tuple[float, float]) -> None:
    top, pitch = row
    y, size = top + pitch / 2, min(BODY, max(7.0, pitch - 4.0))
    paper.words((LEFT, y + 3.0), fitted(score.name, NAMES - 8.0, size=size), size=size)
    x, spread = _x(score.score), quiz.reliability.give_or_take
    paper.line((_x(0.0), y), (_x(1.0), y), width=0.3, dashes=(0.8, 2.4))
    if spread is not None:
        low, high = _x(score.score - spread), _x(score.score + spread)
        paper.line((low, y), (high, y), colour=DIM, width=0.9)
        for end in (low, high):
            paper.line((end, y - 2.2), (end, y + 2.2), colour=DIM, width=0.9)
    paper.dot((x, y), 2.8, fill=INK, stroke=PAPER)
    paper.words((FIGURES, y + 3.0), score_words(score, quiz.reliability), size=size)
    paper.words((FIGURES + 46.0, y + 3.0), right_words(score), size=max(7.0, size - 1.0), colour=DIM)


def score_words(score: QuizScore, reliability: Reliability) -> str:
    """Return a score in percent, with its give or take."""
    spread = reliability.give_or_take
    return f"{100 * score.score:.0f}" + ("" if spread is None else f" ± {100 * spread:.0f}")


def right_words(score: QuizScore) -> str:
    """Return how many items were wholly right, in its interval, and how many were left out."""
    asked = round(score.right.count)
    interval = score.right.interval
    said = f"{round(score.right.value * asked)} of {asked}, {100 * interval.low:.0f}–{percent(interval.high)}"
    return said if score.answered >= asked else f"{said}, {asked - score.answered} empty"


def _beside(paper: Surface, quiz: QuizPage) -> None:
    heading(paper, BESIDE, TOP + 6.0, "What it says")
    width = RIGHT - BESIDE
    top = TOP + 10.0
    for words in (class_words(quiz), *quiz.remarks, *reliability_words(quiz.reliability)):
        top = paragraph(words, width=width, height=60.0).draw(paper, (BESIDE, top)) + 4.0
    draw_confusions(
        paper,
        (BESIDE, min(top + 26.0, BOTTOM - 158.0)),
        quiz.confusions,
        cell=CELL,
        of_what="items on a band",
    )


def class_words(quiz: QuizPage) -> str:
    """Return the class's scores in a sentence."""
    if not quiz.scores:
        return "No sheets yet."
    spread = f", standard deviation {100 * quiz.deviation:.0f}" if len(quiz.scores) > 1 else ""
    return f"{counted(len(quiz.scores), 'sheet')}: the mean score is {100 * quiz.mean:.0f}{spread} (dashed line)."


def reliability_words(reliability: Reliability) -> list[str]:
    """Return the figures of reliability that the remarks do not hold already."""
    if reliability.kr20 is None:
        return []
    return [f"KR-20, of wholly right and wrong: {reliability.kr20:.2f}."]


def columns_of(scores: Sequence[QuizScore]) -> tuple[list[str], list[float]]:
    """Return the fields and the octave bands that anybody has a score in."""
    fields = dict.fromkeys(title for one in scores for title in one.by_field)
    return list(fields), sorted({band_hz for one in scores for band_hz in one.by_band})


def draw_parts(paper: Surface, scores: Sequence[QuizScore]) -> None:
    """Draw the table by field and band of one page."""
    paper.words((LEFT, TOP - 1.0), PARTS_HOW, size=SMALL, colour=DIM)
    fields, bands = columns_of(scores)
    heads = ["score", *fields, *map(band_name, bands)]
    cell = min(58.0, (RIGHT - LEFT - NAMES - 20.0) / len(heads))
    top, pitch = TOP + 26.0, min(18.0, (BOTTOM - TOP - 26.0) / len(scores))
    gaps = [0.0] + [8.0] * len(fields) + [16.0] * len(bands)
    for place, name in enumerate(heads):
        middle = LEFT + NAMES + (place + 0.5) * cell + gaps[place]
        size = BODY if place > len(fields) else 7.0
        lines = wrapped(name, cell - 4.0, size=size, bold=True)[:2]
        for line, words in enumerate(reversed(lines)):
            at = (middle, top - 5.0 - 8.5 * line)
            paper.words(at, words, size=size, bold=True, anchor="middle")
    for row, one in enumerate(scores):
        y = top + row * pitch
        if row % 2 == 0:
            paper.rect((LEFT, y), (NAMES, pitch), fill=LANE)
        size = min(BODY, pitch - 3.0)
        paper.words((LEFT + 3.0, y + pitch / 2 + 3.0), fitted(one.name, NAMES - 8.0, size=size), size=size)
        reached = [one.score, *(one.by_field.get(title) for title in fields), *map(one.by_band.get, bands)]
        for place, share in enumerate(reached):
            corner = (LEFT + NAMES + place * cell + gaps[place], y)
            words = "–" if share is None else f"{100 * share:.0f}"
            heat_cell(paper, corner, (cell, pitch), words, share)
