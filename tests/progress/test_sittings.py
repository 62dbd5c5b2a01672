"""Sittings in the store: a drill left in the middle is found again, one that is over or was never begun is not."""

from dataclasses import replace
from datetime import timedelta

import pytest

from tests.progress.made_up import START, attempt, uid_of
from trainer.practice.sitting import Sitting, to_text
from trainer.progress.errors import StoreError
from trainer.progress.sittings import SITTING_SETTING, answered_of, keep_answer, sitting_left, tidy_away
from trainer.progress.store import Store

DRILL = Sitting(uid_of(7), "Heron", ("octave-tone",), "tide-tables", 3, 1, None, START)


def answer(store: Store, sitting: Sitting, count: int, *, first: int = 1, **changed: object) -> None:
    """Answer so many reps of a sitting from its first one on."""
    for number in range(first, first + count):
        one = attempt(number, block=sitting.uid, learner=sitting.learner, **changed)
        keep_answer(store, sitting, one, is_first=number == first)


def test_a_drill_is_left_from_its_first_answer_to_its_last(store: Store) -> None:
    found = [sitting_left(store, "Heron")]
    for number in (1, 2, 3):
        keep_answer(store, DRILL, attempt(number), is_first=number == 1)
        found.append(sitting_left(store, "Heron"))
    assert found == [None, DRILL, DRILL, None]
    assert answered_of(store, DRILL) == [attempt(1), attempt(2), attempt(3)]
    assert sitting_left(store, "Plover") is None


def test_the_drill_begun_last_is_the_one_that_was_left(store: Store) -> None:
    other = replace(DRILL, uid=uid_of(8))
    answer(store, DRILL, 1)
    answer(store, other, 2, first=10)
    assert sitting_left(store, "Heron") == other
    assert answered_of(store, DRILL) == [attempt(1)]


def test_a_quiz_is_no_drill_to_go_on_with(store: Store) -> None:
    answer(store, replace(DRILL, quiz=uid_of(9)), 1)
    assert store.settings.get("Heron", SITTING_SETTING) is None
    assert store.log.count() == 1


def test_a_sitting_kept_under_another_name_is_not_theirs(store: Store) -> None:
    answer(store, DRILL, 1)
    store.settings.set("Plover", SITTING_SETTING, to_text(DRILL))
    assert sitting_left(store, "Plover") is None


def test_only_the_sitting_that_is_noted_is_tidied_away(store: Store) -> None:
    answer(store, DRILL, 1)
    tidy_away(store, replace(DRILL, uid=uid_of(8)))
    assert sitting_left(store, "Heron") == DRILL
    tidy_away(store, DRILL)
    assert store.settings.get("Heron", SITTING_SETTING) == ""


@pytest.mark.parametrize("kept", ["", "{", "0", 7.0, "another day", '{"uid": "1"}'])
def test_a_damaged_setting_is_no_open_sitting(store: Store, kept: str | float) -> None:
    store.settings.set("Heron", SITTING_SETTING, kept)
    assert sitting_left(store, "Heron") is None


def test_a_store_that_cannot_be_read_is_told_and_not_taken_for_nothing_open(store: Store) -> None:
    with store.database.engine.connect() as connection, connection.begin():
        connection.exec_driver_sql("DROP TABLE settings")
    with pytest.raises(StoreError, match="lacks a table"):
        sitting_left(store, "Heron")
    tidy_away(store, DRILL)  # nothing hangs on it: nothing is said


def test_a_clock_put_back_does_not_lose_what_was_answered(store: Store) -> None:
    answer(store, DRILL, 1, at=START - timedelta(hours=2))
    assert len(answered_of(store, DRILL)) == 1
    assert sitting_left(store, "Heron") == DRILL
