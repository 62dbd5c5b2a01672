"""What a class made of a quiz: 24 simulated students, 30 items; figures and words against facts and other code."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.random import default_rng
from scipy.stats import binomtest, pearsonr

from tests.noise_show import SameNoise
from tests.season.list_quiz import ALL, made_of_everything
from tests.season.quizzes import (
    EXERCISES,
    TAKEN_AT,
    answers_of,
    class_of,
    ear_of,
    quiz_of,
    tone_quiz,
    wish_of,
)
from trainer.practice.attempt import Attempt
from trainer.practice.fields import AmountField, WhichField
from trainer.season.answer_files import Returned, attempts_of, sitting_of
from trainer.season.pages import QuizPage
from trainer.season.quiz import Quiz
from trainer.season.quiz_draw import drawn
from trainer.season.quiz_marking import score_of, sheets_of
from trainer.season.quiz_results import quiz_page
from trainer.season.quiz_wish import part_of

STUDENTS = 24


@pytest.fixture(scope="module")
def quiz() -> Quiz:
    return tone_quiz()


def attempts_by(quiz: Quiz, returned: list[Returned]) -> list[Attempt]:
    placed = [replace(one, sitting=sitting_of(quiz, one.learner, 1)) for one in returned]
    return [attempt for one in placed for attempt in attempts_of(quiz, one, EXERCISES)]


@pytest.fixture(scope="module")
def attempts(quiz: Quiz) -> list[Attempt]:
    return attempts_by(quiz, class_of(quiz, STUDENTS, default_rng(24)))


@pytest.fixture(scope="module")
def page(quiz: Quiz, attempts: list[Attempt]) -> QuizPage:
    return quiz_page(quiz, attempts, names={"Student 01": "Ada"})


def table_of(attempts: list[Attempt], value: str) -> np.ndarray:
    rows: dict[str, list[float]] = {}
    for attempt in sorted(attempts, key=lambda one: one.quiz_item):
        rows.setdefault(attempt.learner, []).append(float(getattr(attempt, value)))
    return np.array([rows[name] for name in sorted(rows)])


def test_kr_20_alpha_and_item_rest_correlations_agree_with_independent_code(
    attempts: list[Attempt], page: QuizPage
) -> None:
    """Numpy's covariance matrix and scipy's Pearson correlation on the same 24 by 30 tables."""
    for value, mine in (("score", page.reliability.alpha), ("right", page.reliability.kr20)):
        together = np.cov(table_of(attempts, value), rowvar=False)
        assert mine == pytest.approx(30 / 29 * (1.0 - np.trace(together) / np.sum(together)))
    worth = table_of(attempts, "score")
    for place, item in enumerate(page.items):
        rest = np.delete(worth, place, axis=1).sum(axis=1)
        assert item.discrimination == pytest.approx(pearsonr(worth[:, place], rest).statistic)


def test_difficulties_and_scores_have_wilsons_interval(attempts: list[Attempt], page: QuizPage) -> None:
    """Scipy's binomtest(...).proportion_ci(method="wilson") on the same counts."""
    rights = table_of(attempts, "right")
    counts = [(int(rights[:, n].sum()), STUDENTS, item.difficulty) for n, item in enumerate(page.items)]
    counts += [(int(rights[n].sum()), 30, score.right) for n, score in enumerate(page.scores)]
    for right, asked, found in counts:
        theirs = binomtest(right, asked).proportion_ci(0.90, method="wilson")
        assert found.value == pytest.approx(right / asked)
        assert (found.interval.low, found.interval.high) == pytest.approx((theirs.low, theirs.high), abs=1e-6)


def test_a_score_is_good_to_what_parallel_forms_say() -> None:
    """Two quizzes of the same class correlate as alpha says, on average; 30 items reach about .8 (simulated)."""
    forms = [tone_quiz(seed=1), tone_quiz(seed=2)]
    alphas, pairs = [], []
    for seed in range(30):
        rng = default_rng(seed)
        ears = {f"Student {n:02d}": ear_of(rng, spread=0.35, uneven=0.2) for n in range(STUDENTS)}
        scores = []
        for form in forms:
            returned = [
                Returned(name, form.made_at, "", answers_of(form, ear, rng)) for name, ear in ears.items()
            ]
            made = quiz_page(form, attempts_by(form, returned), names={})
            alphas.append(made.reliability.alpha or 0.0)
            scores.append([score.score for score in made.scores])
        pairs.append(float(np.corrcoef(scores)[0, 1]))
    assert np.mean(pairs) == pytest.approx(np.mean(alphas), abs=0.06)
    assert 0.75 < np.mean(alphas) < 0.92


def test_the_page_says_what_is_there(quiz: Quiz, attempts: list[Attempt], page: QuizPage) -> None:
    sheets = sheets_of(attempts)
    assert [score.name for score in page.scores][:2] == ["Ada", "Student 02"]
    assert [score.score for score in page.scores] == [score_of(quiz, sheet) for sheet in sheets]
    assert page.mean == pytest.approx(np.mean([score.score for score in page.scores]))
    assert sum(map(sum, page.confusions.counts)) == STUDENTS * 30
    assert page.remarks[0].startswith(f"Alpha is {page.reliability.alpha:.2f} (")
    assert page.reliability.give_or_take == pytest.approx(
        page.deviation * np.sqrt(1.0 - (page.reliability.alpha or 0.0))
    )


def test_a_class_that_takes_250_for_500_is_told_so(quiz: Quiz) -> None:
    returned = class_of(quiz, STUDENTS, default_rng(1), spread=0.0)
    swapped = []
    for one in returned:
        answers = {n: dict(answer) for n, answer in one.answers.items()}
        for item in quiz.items:
            if item.answer["band"] == 250.0:
                answers[item.number] = {"band": 500.0, "direction": str(item.answer["direction"])}
        swapped.append(replace(one, answers=answers))
    page = quiz_page(quiz, attempts_by(quiz, swapped), names={})
    assert page.remarks[1] == "250 Hz was taken for 500 Hz 72 times of 72."
    odd = [item for item in page.items if "250 Hz" in item.words]
    assert {item.flag for item in odd} == {"nobody had it right"}


def test_items_and_kr_20_go_by_what_was_named_and_scores_by_marks() -> None:
    """Sections named and amounts missed: items count as named (evidence), sheets as not fully right (marks).

    By hand, of 4, 4 and 2 named items: KR-20 is 4/3 (1 - 2 x 2/3 x 1/3 / (8/9)) = 2/3.
    """
    level = EXERCISES["level"]
    quiz = quiz_of(tuple(drawn(wish_of(part_of(level, items=4, sizes=(12.0, 12.0))), EXERCISES, SameNoise())))
    fields = {one.key: one for one in quiz.items[0].question.fields}
    amount, which = fields["amount"], fields["which"]
    assert isinstance(amount, AmountField)
    assert isinstance(which, WhichField)
    far = {item.number: {**item.answer, "amount": amount.options[0]} for item in quiz.items}
    elsewhere = {
        item.number: {
            **item.answer,
            "which": next(option for option in which.options if option != item.answer["which"]),
        }
        for item in quiz.items[:2]
    }
    returned = [
        Returned("Curlew", TAKEN_AT, "", far),
        Returned("Heron", TAKEN_AT, "", far),
        Returned("Plover", TAKEN_AT, "", {**far, **elsewhere}),
    ]
    page = quiz_page(quiz, attempts_by(quiz, returned), names={})
    assert [item.difficulty.value for item in page.items] == pytest.approx([2 / 3, 2 / 3, 1.0, 1.0])
    assert [score.right.value for score in page.scores] == [0.0] * 3
    assert 0.0 < page.scores[2].score < page.scores[0].score < 1.0
    assert page.reliability.kr20 == pytest.approx(2 / 3)


def test_bands_of_every_exercise_and_scale_are_confused_by_their_octaves() -> None:
    """A third-octave band is told of as the octave it lies in; what was said for it is counted with octave tone's."""
    made = made_of_everything().quiz
    answers = {3: {"band": 4000.0, "direction": "boost"}, 4: {"band": 2000.0, "direction": "boost"}}
    returned = [Returned(f"Student {n}", TAKEN_AT, f"{n:032x}", answers) for n in range(1, 4)]
    attempts = [attempt for one in returned for attempt in attempts_of(made, one, ALL)]
    page = quiz_page(made, attempts, names={})
    assert page.remarks[1:] == (
        "1 kHz was taken for 2 kHz 3 times of 6.",
        "1 kHz was taken for 4 kHz 3 times of 6.",
    )


def test_of_few_learners_nothing_is_claimed(quiz: Quiz) -> None:
    for count in (0, 1, 2):
        page = quiz_page(quiz, attempts_by(quiz, class_of(quiz, count, default_rng(1))), names={})
        assert page.reliability.alpha is None
        assert page.reliability.give_or_take is None
        assert page.remarks[0] == f"How far the scores can be trusted cannot be told from {count} sheets."
        assert {item.flag for item in page.items} == {""}
