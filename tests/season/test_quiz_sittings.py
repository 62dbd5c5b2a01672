"""Sittings of quizzes: one each unless staff allow more, and one left in the middle is gone on with."""

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from tests.progress.made_up import attempt, uid_of
from tests.season.quizzes import MADE_AT, TAKEN_AT, tone_quiz
from trainer.practice.deal import Rep
from trainer.progress.store import Store, open_store
from trainer.refusal import Refused
from trainer.season.quiz import QuizItem, keep_quiz, quiz_with_uid
from trainer.season.quiz_sittings import (
    allow_sittings,
    allowed_sittings,
    left_in_the_middle,
    quiz_deals,
    quiz_sitting,
    sittings_taken,
)

ITEMS = 3
QUIZ = tone_quiz(items=ITEMS)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with open_store(tmp_path / "store.sqlite", now=MADE_AT) as opened:
        keep_quiz(opened, QUIZ)
        yield opened


def sit(store: Store, count: int, *, block: int, learner: str = "Heron") -> None:
    """Answer so many items of the quiz under a block's number, a day later for each number."""
    at = TAKEN_AT + timedelta(days=block)
    store.log.add_all(
        attempt(
            100 * block + item.number,
            block=uid_of(block),
            learner=learner,
            at=at,
            quiz_item=QUIZ.key_of(item),
        )
        for item in QUIZ.items[:count]
    )


def test_a_first_sitting_is_begun_now(store: Store) -> None:
    begun = quiz_sitting(store, QUIZ, "Heron", uid=uid_of(1), now=TAKEN_AT)
    assert (begun.uid, begun.begun_at, begun.learner, begun.quiz) == (uid_of(1), TAKEN_AT, "Heron", QUIZ.uid)
    assert (begun.count, begun.exercises, begun.show) == (ITEMS, ("octave-tone",), "noise")
    assert not begun.is_adapted


def test_one_left_in_the_middle_is_gone_on_with_under_its_own_uid(store: Store) -> None:
    sit(store, ITEMS - 1, block=1)
    sit(store, ITEMS, block=3, learner="Plover")
    again = quiz_sitting(store, QUIZ, "Heron", uid=uid_of(2), now=TAKEN_AT + timedelta(days=9))
    assert (again.uid, again.begun_at) == (uid_of(1), TAKEN_AT + timedelta(days=1))
    (taken,) = sittings_taken(store, QUIZ, "Heron")
    assert (taken.answered, left_in_the_middle(QUIZ, [taken])) == (ITEMS - 1, taken)


def test_one_sitting_each_unless_staff_allow_more(store: Store) -> None:
    sit(store, ITEMS, block=1)
    assert allowed_sittings(store, QUIZ, "Heron") == 1
    with pytest.raises(
        Refused, match=r"Heron has taken 'Week 3' already, on 2031-03-05; staff can allow another"
    ):
        quiz_sitting(store, QUIZ, "Heron", uid=uid_of(2), now=TAKEN_AT)
    assert quiz_sitting(store, QUIZ, "Plover", uid=uid_of(2), now=TAKEN_AT).uid == uid_of(2)
    allow_sittings(store, QUIZ, "Heron", 2, now=TAKEN_AT)
    assert [allowed_sittings(store, QUIZ, name) for name in ("Heron", "Plover")] == [2, 1]
    assert quiz_sitting(store, QUIZ, "Heron", uid=uid_of(2), now=TAKEN_AT).uid == uid_of(2)
    sit(store, ITEMS, block=2)
    assert left_in_the_middle(QUIZ, sittings_taken(store, QUIZ, "Heron")) is None
    with pytest.raises(Refused, match="on 2031-03-06"):
        quiz_sitting(store, QUIZ, "Heron", uid=uid_of(3), now=TAKEN_AT)


def test_sittings_taken_come_in_their_order_in_time(store: Store) -> None:
    sit(store, 1, block=2)
    sit(store, ITEMS, block=1)
    assert [one.block for one in sittings_taken(store, QUIZ, "Heron")] == [uid_of(1), uid_of(2)]


def test_each_place_deals_its_item_and_the_same_again_after_a_failure(store: Store) -> None:
    asked: list[QuizItem] = []

    def made(item: QuizItem) -> Rep:
        asked.append(item)
        raise RuntimeError("out of order")

    deals = quiz_deals(quiz_with_uid(store, QUIZ.uid), made=made)
    for one in deals:
        for failures in (0, 1):
            with pytest.raises(RuntimeError, match="out of order"):
                one(failures)
    assert asked == [item for item in QUIZ.items for _ in range(2)]
