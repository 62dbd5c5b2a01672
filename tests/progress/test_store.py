"""The store: what was added comes back, whatever happens to the process, the disk or the file."""

import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlalchemy import Engine, event

from tests.progress.made_up import START, attempt, uid_of
from trainer.practice.attempt import Attempt
from trainer.progress.errors import StoreError
from trainer.progress.store import PAGE, Store, open_store
from trainer.progress.tallies import Tally, tallies_of

ROOT = Path(__file__).parents[2]

WRITER = """
import sys
from datetime import UTC, datetime
from tests.progress.made_up import attempt
from trainer.progress.store import open_store
first, count, path = int(sys.argv[1]), int(sys.argv[2]), sys.argv[3]
store = open_store(path, now=datetime(2031, 2, 3, tzinfo=UTC))
for number in range(first, first + count):
    store.add(attempt(number))
    print(number, flush=True)
"""


def writer(path: Path, *, first: int, count: int) -> "subprocess.Popen[str]":
    command = [sys.executable, "-c", WRITER, str(first), str(count), str(path)]
    return subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "folder" / "yardline.sqlite"


@pytest.fixture
def store(path: Path) -> Iterator[Store]:
    with open_store(path, now=START) as opened:
        yield opened


def test_what_is_added_comes_back_ordered_by_time_then_uid(store: Store) -> None:
    later, second, first = (
        attempt(1, at=START + timedelta(seconds=1)),
        attempt(3),
        attempt(2),
    )
    assert [store.add(one) for one in (later, second, first)] == [True, True, True]
    assert list(store.attempts()) == [first, second, later]


def test_adding_again_changes_nothing(store: Store) -> None:
    assert store.add(attempt()) is True
    assert store.add(attempt()) is False
    assert list(store.attempts()) == [attempt()]


def test_another_attempt_under_the_same_uid_is_refused_and_the_first_kept(store: Store) -> None:
    store.add(attempt())
    with pytest.raises(StoreError, match="remembers another attempt under"):
        store.add(attempt(learner="Plover"))
    with pytest.raises(StoreError, match="nothing was added"):
        store.add_all([attempt(2), attempt(score=0.5)])
    assert list(store.attempts()) == [attempt()]


def test_more_than_a_page_comes_back_whole_even_when_written_meanwhile(store: Store) -> None:
    made = [attempt(number) for number in range(1, 2 * PAGE + 2)]
    assert store.add_all(made) == len(made)
    reading = store.attempts()
    assert next(reading) == made[0]
    store.add(attempt(2 * PAGE + 2))
    assert [next(reading) for _ in made[1:]] == made[1:]


def test_attempts_are_chosen_by_learner_exercise_and_time(store: Store) -> None:
    plover, level, late = (
        attempt(2, learner="Plover"),
        attempt(3, exercise="level"),
        attempt(4, at=START + timedelta(days=7)),
    )
    store.add_all([attempt(1), plover, level, late])
    assert list(store.attempts(learner="Plover")) == [plover]
    assert list(store.attempts(exercise="level")) == [level]
    assert list(store.attempts(since=START + timedelta(days=7))) == [late]
    assert late not in list(store.attempts(before=START + timedelta(days=7)))
    assert list(store.attempts(learner="nobody")) == []
    assert store.learners() == ("Heron", "Plover")


def test_the_attempts_of_one_block_are_found(store: Store) -> None:
    mine, others = uid_of(8), attempt(4, learner="Plover", block=uid_of(8))
    made = [attempt(1), attempt(2, block=mine), attempt(3, block=mine), others]
    store.add_all(made)
    assert list(store.attempts(block=mine)) == made[1:]
    assert list(store.attempts(learner="Heron", block=mine, since=START)) == made[1:3]
    assert list(store.attempts(block=uid_of(9))) == []


def test_tallies_sum_the_weights_by_day_exercise_and_band(store: Store) -> None:
    halves = {125.0: 0.5, 250.0: 0.5}
    tomorrow = START + timedelta(days=1)
    store.add_all([attempt(1), attempt(2, bands=halves), attempt(3, bands=halves, right=False)])
    store.add_all([attempt(4, bands=halves, at=tomorrow), attempt(5, exercise="level"), attempt(1)])
    today = START.date()
    assert store.tallies(learner="Heron") == (
        Tally(today, "level", 1000.0, 1.0, 1.0),
        Tally(today, "octave-tone", 125.0, 1.0, 0.5),
        Tally(today, "octave-tone", 250.0, 1.0, 0.5),
        Tally(today, "octave-tone", 1000.0, 1.0, 1.0),
        Tally(tomorrow.date(), "octave-tone", 125.0, 0.5, 0.5),
        Tally(tomorrow.date(), "octave-tone", 250.0, 0.5, 0.5),
    )
    assert store.tallies(learner="Plover") == ()


def test_settings_are_a_learners_own_and_can_be_changed(store: Store) -> None:
    store.set_setting("Heron", "level_db", -30.5)
    store.set_setting("Heron", "level_db", -28.0)
    store.set_setting("Plover", "level_db", "quiet")
    assert store.get_setting("Heron", "level_db") == -28.0
    assert store.get_setting("Plover", "level_db") == "quiet"
    assert store.get_setting("Curlew", "level_db") is None
    assert store.get_setting("Curlew", "level_db", 0.0) == 0.0


def test_merging_is_a_union_and_merging_twice_changes_nothing(store: Store, tmp_path: Path) -> None:
    store.add_all([attempt(1), attempt(2)])
    with open_store(tmp_path / "other.sqlite", now=START) as other:
        other.add_all([attempt(2), attempt(3)])
        assert store.merge(other) == 1
        assert store.merge(other) == 0
        assert list(other.attempts()) == [attempt(2), attempt(3)]
    assert list(store.attempts()) == [attempt(1), attempt(2), attempt(3)]


NAMES = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), max_size=12)
NUMBERS = st.floats(allow_nan=False, allow_infinity=False)
VALUES = st.one_of(NAMES, NUMBERS)
ANSWERS = st.dictionaries(NAMES, VALUES, max_size=3)
TIMES = st.datetimes(
    timezones=st.sampled_from([UTC, timezone(timedelta(hours=-5)), timezone(timedelta(minutes=345))])
)


def assert_tallies_are_the_attempts(store: Store) -> None:
    """Law: what is kept in passing is what adding up all attempts again gives."""
    for learner in store.learners():
        kept, again = store.tallies(learner=learner), tallies_of(store.attempts(learner=learner))
        assert [(t.day, t.exercise, t.band_hz) for t in kept] == [
            (t.day, t.exercise, t.band_hz) for t in again
        ]
        assert [t.asked for t in kept] == pytest.approx([t.asked for t in again])
        assert [t.right for t in kept] == pytest.approx([t.right for t in again])


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
        assert store.add_all(made) == len(made)
        assert list(store.attempts()) == sorted(made, key=lambda one: (one.at, one.uid))
        assert store.add_all(made) == 0
        assert_tallies_are_the_attempts(store)


@pytest.mark.parametrize(
    ("changed", "told"),
    [
        ({"learner": "Her\udc80n"}, "learner 'Her.udc80n' is not valid Unicode text"),
        ({"given_answer": {"stem": "\ud800"}}, "given_answer .* is not valid Unicode text"),
        ({"show": "a\0b"}, "NUL"),
        ({"size": float("nan")}, "size is a finite number, not nan"),
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
        store.add(attempt(**changed))
    assert list(store.attempts()) == []


def test_an_attempt_survives_the_process_being_killed_at_once(path: Path) -> None:
    """SQLite's own promise (WAL, synchronous=FULL): a committed transaction survives the process."""
    with writer(path, first=1, count=10_000) as process:
        assert process.stdout is not None
        told = [int(process.stdout.readline()) for _ in range(5)]
        process.kill()
        told += [int(line) for line in process.stdout.read().split("\n")[:-1]]
    assert process.returncode != 0
    with open_store(path, now=START) as store:
        kept = {one.uid for one in store.attempts()}
        assert {uid_of(number) for number in told} <= kept
        assert len(kept) <= len(told) + 1
        store.check()
        store.add(attempt(20_000))


def test_two_processes_writing_at_once_lose_nothing(path: Path) -> None:
    """Both also add the same forty, so that they meet on the same rows."""
    with writer(path, first=1, count=120) as one, writer(path, first=81, count=120) as other:
        outputs = [process.communicate()[0].split() for process in (one, other)]
    assert [len(lines) for lines in outputs] == [120, 120]
    assert (one.returncode, other.returncode) == (0, 0)
    with open_store(path, now=START) as store:
        assert sorted(found.uid for found in store.attempts()) == [uid_of(number) for number in range(1, 201)]
        assert_tallies_are_the_attempts(store)


def test_a_store_held_by_another_program_is_told_after_the_wait(path: Path) -> None:
    with open_store(path, now=START, wait_s=0.05, sleep=lambda _: None) as store:
        holder = sqlite3.connect(path, isolation_level=None)
        holder.execute("BEGIN IMMEDIATE")
        with pytest.raises(StoreError, match="in use by another program"):
            store.add(attempt())
        holder.execute("COMMIT")
        holder.close()
        assert store.add(attempt()) is True


def test_a_file_that_is_no_database_is_told_and_kept(tmp_path: Path) -> None:
    path = tmp_path / "yardline.sqlite"
    path.write_bytes(b"The tide comes in twice a day. " * 100)
    with pytest.raises(StoreError, match=r"yardline\.sqlite is damaged or is not a store .* move it aside"):
        open_store(path, now=START)
    assert path.read_bytes() == b"The tide comes in twice a day. " * 100


def test_a_store_damaged_in_the_middle_is_told_when_it_is_checked_or_read(path: Path) -> None:
    with open_store(path, now=START) as store:
        store.add_all(attempt(number) for number in range(1, 200))
        with store._engine.connect() as connection:
            connection.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)")
    whole = path.read_bytes()
    path.write_bytes(whole[:8192] + b"\xa5" * (len(whole) - 8192))
    with (
        pytest.raises(StoreError, match=r"damaged .* it was kept as it is"),
        open_store(path, now=START) as store,
    ):
        store.check()
    with pytest.raises(StoreError, match="damaged"), open_store(path, now=START) as store:
        list(store.attempts())


def test_another_programs_database_is_refused_untouched(tmp_path: Path) -> None:
    path = tmp_path / "other.sqlite"
    raw = sqlite3.connect(path)
    raw.execute("CREATE TABLE recipes (name TEXT)")
    raw.close()
    before = path.read_bytes()
    with pytest.raises(StoreError, match="another program's database"):
        open_store(path, now=START)
    assert path.read_bytes() == before


def test_a_folder_that_cannot_be_made_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way", encoding="utf-8")
    with pytest.raises(StoreError, match=r"the folder .* cannot be made"):
        open_store(tmp_path / "file" / "yardline.sqlite", now=START)


def test_a_place_that_is_a_folder_is_told(tmp_path: Path) -> None:
    with pytest.raises(StoreError, match="cannot be opened"):
        open_store(tmp_path, now=START)


def test_a_store_that_may_not_be_written_is_told(store: Store) -> None:
    """A connection told to only read stands for a read-only file: the super-user may write any file."""
    with store._engine.connect() as connection:
        connection.exec_driver_sql("PRAGMA query_only = ON")
    with pytest.raises(StoreError, match="cannot be written"):
        store.add(attempt())


def test_a_full_disk_is_told_and_nothing_half_written_is_kept(path: Path) -> None:
    """SQLite's max_page_count stands for the disk: it gives the same error, SQLITE_FULL."""

    def small_disk(raw: Any, _record: object) -> None:
        raw.execute("PRAGMA max_page_count = 40")

    with open_store(path, now=START) as store:
        store.add(attempt(1))
    event.listen(Engine, "connect", small_disk)
    try:
        with open_store(path, now=START) as store:
            with pytest.raises(StoreError, match="is full; make room"):
                store.add_all(attempt(number) for number in range(2, 400))
            assert list(store.attempts()) == [attempt(1)]
    finally:
        event.remove(Engine, "connect", small_disk)


@pytest.mark.parametrize(
    ("url", "told"),
    [
        ("nosuch://there", "is no database address"),
        ("://", "is no database address"),
    ],
)
def test_an_address_that_is_none_is_told(url: str, told: str) -> None:
    with pytest.raises(StoreError, match=told):
        open_store(url, now=START)


def test_a_sqlite_url_and_a_path_are_the_same_store(path: Path, store: Store) -> None:
    store.add(attempt())
    with open_store(f"sqlite:///{path}", now=START) as same:
        assert list(same.attempts()) == [attempt()]
        assert same.name == store.name


def test_the_latest_of_a_learner_come_in_their_order_and_no_more_than_wanted(store: Store) -> None:
    mine = [attempt(number, at=START + timedelta(minutes=number)) for number in range(1, 8)]
    others = [
        attempt(number, at=START + timedelta(hours=number), learner="Plover") for number in range(8, 10)
    ]
    store.add_all([*mine, *others])
    assert store.latest(learner="Heron", since=START, most=3) == mine[-3:]
    assert store.latest(learner="Heron", since=START + timedelta(minutes=6), most=3) == mine[-2:]
    assert store.latest(learner="Dunlin", since=START, most=3) == []


def test_what_reads_most_of_the_log_goes_by_time_and_never_sorts_it(store: Store) -> None:
    """SQLite's own EXPLAIN QUERY PLAN; by learner, a page of many learners' rows sorted all that came after it."""
    seen: list[tuple[str, Any]] = []

    @event.listens_for(store._engine, "after_cursor_execute")
    def note(_c: object, _cursor: object, statement: str, given: Any, _x: object, _many: bool) -> None:
        seen.append((statement, given))

    learners = [f"Heron {number}" for number in range(20)]
    store.add_all(
        attempt(n, at=START + timedelta(seconds=n), learner=learners[n % 20]) for n in range(1, 200)
    )
    plans = []
    for read in (
        lambda: list(store.columns(("learner", "size"), learners=learners[:10], since=START)),
        lambda: store.done(since=START.date()),
        lambda: store.said(exercise="octave-tone"),
    ):
        seen.clear()
        read()
        statement, given = next(one for one in seen if one[0].startswith("SELECT"))
        with store._engine.connect() as connection:
            found = connection.exec_driver_sql(f"EXPLAIN QUERY PLAN {statement}", given).fetchall()
        plans.append([str(row[-1]) for row in found])
    assert plans[0] == ["SEARCH attempts USING INDEX attempts_by_time (at_us>?)"]
    assert plans[1][0] == plans[2][0] == "SCAN attempts"
