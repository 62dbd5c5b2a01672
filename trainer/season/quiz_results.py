"""What a class made of a quiz: scores, how far they can be trusted, how each item did, what was confused."""

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from trainer.practice.attempt import Attempt
from trainer.practice.band_scale import OCTAVE_SCALE, band_label
from trainer.progress.figures.confusions import Confusions, band_confusions
from trainer.progress.figures.intervals import Estimate, wilson
from trainer.progress.figures.item_analysis import ItemFigure, item_figures
from trainer.progress.figures.reliability import alpha_interval, cronbach_alpha, kr20, standard_error
from trainer.season.pages import QuizItemPage, QuizPage, QuizScore, Reliability
from trainer.season.quiz import Quiz, QuizItem
from trainer.season.quiz_marking import Sheet, score_of, scores_by_band, scores_by_field, sheets_of
from trainer.season.sheet import key_line

Matrix = NDArray[np.float64]
FEWEST_CONFUSED = 3
"""So often a band must have been said for another before it is remarked on."""
MOST_REMARKED = 3


def quiz_page(quiz: Quiz, attempts: Sequence[Attempt], *, names: Mapping[str, str]) -> QuizPage:
    """Return a quiz's page.

    Parameters
    ----------
    attempts
        All answers to the quiz.
    names
        What people are called, by the name their answers are kept under; others are called by that.
    """
    sheets = sheets_of(attempts)
    counted = [attempt for sheet in sheets for attempt in sheet.attempts.values()]
    worth = _matrix([[sheet.credit(item) for item in quiz.items] for sheet in sheets], quiz)
    named = _matrix([[float(sheet.is_named(item)) for item in quiz.items] for sheet in sheets], quiz)
    shown = [score_of(quiz, sheet) for sheet in sheets]
    deviation = float(np.std(shown, ddof=1)) if len(shown) > 1 else 0.0
    reliability = _reliability(worth, named, deviation)
    figures = item_figures(worth, named)
    confused = band_confusions(counted)
    return QuizPage(
        title=quiz.title,
        made_at=quiz.made_at,
        scores=tuple(_score(quiz, sheet, names.get(sheet.learner, sheet.learner)) for sheet in sheets),
        mean=float(np.mean(shown)) if shown else 0.0,
        deviation=deviation,
        reliability=reliability,
        items=tuple(_item(item, figure) for item, figure in zip(quiz.items, figures, strict=True)),
        confusions=confused,
        remarks=tuple(_remarks(reliability, confused, len(sheets))),
    )


def _matrix(rows: list[list[float]], quiz: Quiz) -> Matrix:
    return np.array(rows, dtype=np.float64).reshape(-1, len(quiz.items))


def _reliability(worth: Matrix, named: Matrix, deviation: float) -> Reliability:
    alpha = cronbach_alpha(worth)
    learners, items = worth.shape
    return Reliability(
        alpha=alpha,
        alpha_interval=None if alpha is None else alpha_interval(alpha, learners=learners, items=items),
        kr20=kr20(named),
        give_or_take=None if alpha is None else standard_error(deviation, alpha),
    )


def _score(quiz: Quiz, sheet: Sheet, name: str) -> QuizScore:
    right, asked = sum(sheet.is_right(item) for item in quiz.items), len(quiz.items)
    return QuizScore(
        name=name,
        score=score_of(quiz, sheet),
        right=Estimate(right / asked, wilson(right, asked), asked),
        answered=sheet.answered,
        by_field=scores_by_field(quiz, sheet),
        by_band=scores_by_band(quiz, sheet),
    )


def _item(item: QuizItem, figure: ItemFigure) -> QuizItemPage:
    return QuizItemPage(
        number=item.number,
        words=key_line(item),
        size=item.question.size,
        unit=item.unit,
        difficulty=figure.difficulty,
        mean_score=figure.mean_credit,
        discrimination=figure.discrimination,
        flag=figure.flag,
    )


def _remarks(reliability: Reliability, confused: Confusions, learners: int) -> list[str]:
    return [_trust_words(reliability, learners), *_confused_words(confused)]


def _trust_words(reliability: Reliability, learners: int) -> str:
    """Return how far the scores can be trusted, in words."""
    interval, give_or_take = reliability.alpha_interval, reliability.give_or_take
    if reliability.alpha is None or interval is None or give_or_take is None:
        return f"How far the scores can be trusted cannot be told from {learners} sheets."
    return (
        f"Alpha is {reliability.alpha:.2f} ({interval.low:.2f} to {interval.high:.2f}): a score is good to about "
        f"± {100 * give_or_take:.0f} points."
    )


def _confused_words(confused: Confusions) -> list[str]:
    """Return which bands were said for which most often, as sentences."""
    pairs = [
        (count, true, said, asked)
        for true, row, asked in zip(OCTAVE_SCALE.names_hz, confused.counts, confused.asked, strict=True)
        for said, count in zip(OCTAVE_SCALE.names_hz, row, strict=True)
        if true != said and count >= FEWEST_CONFUSED
    ]
    worst = sorted(pairs, key=lambda pair: (-pair[0] / pair[3], pair[1], pair[2]))[:MOST_REMARKED]
    return [
        f"{band_label(true)} was taken for {band_label(said)} {count} times of {asked}."
        for count, true, said, asked in worst
    ]
