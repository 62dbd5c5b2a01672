"""The log: what was added comes back, to the bit, chosen and in order."""

from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlalchemy import event

from tests.progress.made_up import START, attempt, uid_of
from tests.progress.test_sums import assert_tallies_are_the_attempts
from trainer.practice.attempt import Attempt
from trainer.progress.errors import StoreError
from trainer.progress.log import PAGE
from trainer.progress.store import Store, open_store


def test_what_is_added_comes_back_ordered_by_time_then_uid(store: Store) -> None:
    later, second, first = (
        attempt(1, at=START + timedelta(seconds=1)),
        attempt(3),
        attempt(2),
    )
    assert [store.log.add(one) for one in (later, second, first)] == [True, True, True]
    assert list(store.log.attempts()) == [first, second, later]


def test_adding_again_changes_nothing(store: Store) -> None:
    assert store.log.add(attempt()) is True
    assert store.log.add(attempt()) is False
    assert list(store.log.attempts()) == [attempt()]


def test_another_attempt_under_the_same_uid_is_refused_and_the_first_kept(store: Store) -> None:
    store.log.add(attempt())
    with pytest.raises(StoreError, match="remembers another attempt under"):
        store.log.add(attempt(learner="Plover"))
    with pytest.raises(StoreError, match="nothing was added"):
        store.log.add_all([attempt(2), attempt(score=0.5)])
    assert list(store.log.attempts()) == [attempt()]


def test_more_than_a_page_comes_back_whole_even_when_written_meanwhile(store: Store) -> None:
    made = [attempt(number) for number in range(1, 2 * PAGE + 2)]
    assert store.log.add_all(made) == len(made)
    reading = store.log.attempts()
    assert next(reading) == made[0]
    store.log.add(attempt(2 * PAGE + 2))
    assert [next(reading) for _ in made[1:]] == made[1:]


def test_attempts_are_chosen_by_learner_exercise_and_time(store: Store) -> None:
    plover, level, late = (
        attempt(2, learner="Plover"),
        attempt(3, exercise="level"),
        attempt(4, at=START + timedelta(days=7)),
    )
    store.log.add_all([attempt(1), plover, level, late])
    assert list(store.log.attempts(learner="Plover")) == [plover]
    assert list(store.log.attempts(exercise="level")) == [level]
    assert list(store.log.attempts(since=START + timedelta(days=7))) == [late]
    assert late not in list(store.log.attempts(before=START + timedelta(days=7)))
    assert list(store.log.attempts(learner="nobody")) == []
    assert store.log.learners() == ("Heron", "Plover")


def test_the_attempts_of_one_block_are_found(store: Store) -> None:
    mine, others = uid_of(8), attempt(4, learner="Plover", block=uid_of(8))
    made = [attempt(1), attempt(2, block=mine), attempt(3, block=mine), others]
    store.log.add_all(made)
    assert list(store.log.attempts(block=mine)) == made[1:]
    assert list(store.log.attempts(learner="Heron", block=mine, since=START)) == made[1:3]
    assert list(store.log.attempts(block=uid_of(9))) == []


def test_the_latest_of_a_learner_come_in_their_order_and_no_more_than_wanted(store: Store) -> None:
    mine = [attempt(number, at=START + timedelta(minutes=number)) for number in range(1, 8)]
    others = [
        attempt(number, at=START + timedelta(hours=number), learner="Plover") for number in range(8, 10)
    ]
    store.log.add_all([*mine, *others])
    assert store.log.latest(learner="Heron", since=START, most=3) == mine[-3:]
    assert store.log.latest(learner="Heron", since=START + timedelta(minutes=6), most=3) == mine[-2:]
    assert store.log.latest(learner="Dunlin", since=START, most=3) == []


def test_the_first_answer_of_a_learner_and_their_number_are_read_without_the_attempts(store: Store) -> None:
    later = START + timedelta(days=2)
    store.log.add_all([attempt(1, at=later), attempt(2), attempt(3, learner="Plover", at=later)])
    assert [store.log.first_answer(name) for name in ("Heron", "Plover", "Curlew")] == [START, later, None]
    assert store.log.count() == 3


def test_the_first_attempt_unlike_the_one_remembered_is_found(store: Store) -> None:
    store.log.add_all(attempt(number) for number in range(1, PAGE + 2))
    there = [attempt(number) for number in range(1, PAGE + 2)]
    assert store.log.unlike([*there, attempt(PAGE + 5)]) is None
    changed = attempt(PAGE + 1, score=0.5)
    assert store.log.unlike([*there[:-1], changed]) == changed


NAMES = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), max_size=12)
NUMBERS = st.floats(allow_nan=False, allow_infinity=False)
VALUES = st.one_of(NAMES, NUMBERS)
ANSWERS = st.dictionaries(NAMES, VALUES, max_size=3)
TIMES = st.datetimes(
    timezones=st.sampled_from([UTC, timezone(timedelta(hours=-5)), timezone(timedelta(minutes=345))])
)

ATTEMPTS = st.builds(
    attempt,
    number=st.integers(0, 2**128 - 1),
    at=TIMES.filter(lambda at: 2 < at.year < 9998),
    learner=NAMES,
    seed=st.integers(-(2**63), 2**128),
    size=NUMBERS,
    bands=st.sampled_from([{}, {31.5: 1.0}, {125.0: 0.1, 250.0: 0.7, 16000.0: 0.2}]),
    right_answer=ANSWERS,
    given_answer=ANSWERS,
    options=st.dictionaries(NAMES, st.lists(VALUES, max_size=3).map(tuple), max_size=2),
    marks=st.dictionaries(NAMES, NUMBERS, max_size=2),
    right=st.booleans(),
    response_s=NUMBERS,
)


@given(st.lists(ATTEMPTS, min_size=1, max_size=5, unique_by=lambda one: one.uid))
@settings(max_examples=20, deadline=None)
def test_any_attempts_come_back_equal_and_in_order(made: list[Attempt]) -> None:
    """Law: reading what was written gives the same attempts, to the bit."""
    with TemporaryDirectory() as folder, open_store(Path(folder) / "yardline.sqlite", now=START) as store:
        assert store.log.add_all(made) == len(made)
        assert list(store.log.attempts()) == sorted(made, key=lambda one: (one.at, one.uid))
        assert store.log.add_all(made) == 0
        assert_tallies_are_the_attempts(store)


@pytest.mark.parametrize(
    ("changed", "told"),
    [
        ({"learner": "Her\udc80n"}, "learner 'Her.udc80n' is not valid Unicode text"),
        ({"given_answer": {"stem": "\ud800"}}, "given_answer .* is not valid Unicode text"),
        ({"show": "a\0b"}, "NUL"),
        ({"response_s": float("nan")}, "response_s is a finite number, not nan"),
        ({"response_s": float("inf")}, "response_s is a finite number, not inf"),
        ({"right_answer": {"band": float("nan")}}, "finite"),
        ({"marks": {"band": float("-inf")}}, "finite"),
        ({"bands": {125.0: 0.5}}, "sum to 1"),
        ({"bands": {125.0: 1.5, 250.0: -0.5}}, "sum to 1"),
        ({"at": datetime(2031, 2, 3)}, "needs its zone"),
        ({"uid": "7"}, "32 lower-case hex digits"),
    ],
)
def test_what_cannot_be_remembered_is_refused_in_words(
    store: Store, changed: dict[str, Any], told: str
) -> None:
    with pytest.raises(ValueError, match=told):
        store.log.add(attempt(**changed))
    assert list(store.log.attempts()) == []


def test_what_reads_most_of_the_log_goes_by_time_and_never_sorts_it(store: Store) -> None:
    """SQLite's own EXPLAIN QUERY PLAN; by learner, a page of many learners' rows sorted all that came after it."""
    seen: list[tuple[str, Any]] = []

    @event.listens_for(store.database.engine, "after_cursor_execute")
    def note(_c: object, _cursor: object, statement: str, given: Any, _x: object, _many: bool) -> None:
        seen.append((statement, given))

    learners = [f"Heron {number}" for number in range(20)]
    store.log.add_all(
        attempt(n, at=START + timedelta(seconds=n), learner=learners[n % 20]) for n in range(1, 200)
    )
    plans = []
    for read in (
        lambda: list(store.log.columns(("learner", "size"), learners=learners[:10], since=START)),
        lambda: store.sums.done(since=START.date()),
        lambda: store.sums.said(exercise="octave-tone"),
    ):
        seen.clear()
        read()
        statement, given = next(one for one in seen if one[0].startswith("SELECT"))
        with store.database.engine.connect() as connection:
            found = connection.exec_driver_sql(f"EXPLAIN QUERY PLAN {statement}", given).fetchall()
        plans.append([str(row[-1]) for row in found])
    assert plans[0] == ["SEARCH attempts USING INDEX attempts_by_time (at_us>?)"]
    assert plans[1][0] == plans[2][0] == "SCAN attempts"
