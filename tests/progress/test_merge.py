"""Merging: a union in any order, of stores that stay as they are; whole after a kill, refused before it begins."""

import os
import signal
import sqlite3
import subprocess
import sys
from collections.abc import Callable, Iterator
from datetime import timedelta
from itertools import permutations
from pathlib import Path

import pytest

from tests.progress.made_up import START, attempt, uid_of
from tests.progress.test_migrations import ROW, SCHEMAS, old_store
from trainer.progress.export import write_csv, write_jsonl
from trainer.progress.merging import Merged, merge_files
from trainer.progress.migrations import VERSION
from trainer.progress.records import record_of
from trainer.progress.store import Store, open_store
from trainer.progress.tallies import tallies_of
from trainer.refusal import Refused
from trainer.season.roster import add_member, rename_member, roster_of
from trainer.season.roster_csv import write_roster

ROOT = Path(__file__).parents[2]
MANY = 2500


@pytest.fixture
def own(tmp_path: Path) -> Path:
    return tmp_path / "own" / "yardline.sqlite"


@pytest.fixture
def store(own: Path) -> Iterator[Store]:
    with open_store(own, now=START) as opened:
        yield opened


def filled(path: Path, *numbers: int) -> Path:
    with open_store(path, now=START) as store:
        store.log.add_all(attempt(number) for number in numbers)
    return path


def merged(store: Store, own: Path, *paths: Path) -> list[tuple[int, int]]:
    return [(one.attempts, one.records) for one in merge_files(store, paths, own=own, now=START)]


def contents_of_files(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}


def laptops(folder: Path) -> list[Path]:
    """Return three laptops' files, the third also as an export: attempts on two or three of them, one learner known
    by other names on each, and a record that was written at the same time on all.
    """
    paths = [folder / f"{number}.sqlite" for number in range(3)]
    for number, path in enumerate(paths):
        with open_store(path, now=START) as store:
            store.log.add_all(
                attempt(
                    n,
                    learner=("Heron", "青鷺", "=Plover")[n % 3],
                    at=START + timedelta(minutes=7 * n % 30),
                    bands={125.0: 0.1, 250.0: 0.7, 16000.0: 0.2},
                )
                for n in range(20 * number, 20 * number + 50)
            )
            add_member(store, "Heron", section=f"section {number}", now=START)
            add_member(store, ("Avocet", "Curlew", "Avocet")[number], now=START)
            rename_member(store, "Heron", f"Heron {number % 2}", now=START + timedelta(hours=number % 2))
            store.records.put([record_of("plan", "season", {"weeks": number}, at=START)])
    export = folder / "2.jsonl"
    with open_store(paths[2], now=START) as store:
        write_jsonl(store.log.attempts(), export, store.records.all())
    return [*paths, export]


def exports(store: Store, folder: Path) -> tuple[bytes, ...]:
    paths = [folder / name for name in ("all.csv", "all.jsonl", "roster.csv")]
    write_csv(store.log.attempts(), paths[0])
    write_jsonl(store.log.attempts(), paths[1], store.records.all())
    write_roster(roster_of(store), paths[2])
    return tuple(path.read_bytes() for path in paths)


def assert_whole(store: Store) -> None:
    store.check()
    for learner in store.log.learners():
        again = tallies_of(store.log.attempts(learner=learner))
        kept = store.sums.tallies(learner=learner)
        assert [t.asked for t in kept] == pytest.approx([t.asked for t in again])


def test_three_laptops_in_any_order_and_again_give_the_same_bytes(tmp_path: Path) -> None:
    """Law: a union hangs neither on the order nor on how often; ties between records fall alike everywhere."""
    *stores, export = laptops(tmp_path)
    before, seen = contents_of_files(tmp_path), set()
    for number, stores_in_order in enumerate(permutations(stores)):
        order = [export if path == stores[2] and number % 2 else path for path in stores_in_order]
        folder = tmp_path / f"order {number}"
        own = folder / "yardline.sqlite"
        with open_store(own, now=START) as store:
            counts = merged(store, own, *order)
            assert sum(attempts for attempts, _ in counts) == store.log.count() == 90
            seen.add(exports(store, folder))
            assert merged(store, own, *order) == [(0, 0)] * 3
            seen.add(exports(store, folder))
            assert_whole(store)
    assert len(seen) == 1
    assert contents_of_files(tmp_path) == before


def test_what_was_new_is_said_file_by_file(store: Store, own: Path, tmp_path: Path) -> None:
    store.log.add(attempt(1))
    first, second = filled(tmp_path / "a.sqlite", 1, 2), filled(tmp_path / "b.sqlite", 2, 3, 4)
    assert merge_files(store, (first, second), own=own, now=START) == (
        Merged(first, 1, 0),
        Merged(second, 2, 0),
    )


def test_how_far_it_is_is_told_up_to_the_whole(store: Store, own: Path, tmp_path: Path) -> None:
    path = tmp_path / "a.jsonl"
    write_jsonl([attempt(number) for number in range(1, 30)], path)
    heard: list[tuple[int, int]] = []
    merge_files(store, (path,), own=own, now=START, told=lambda done, total: heard.append((done, total)))
    assert [done for done, _ in heard] == list(range(1, 3 * 29 + 1))
    assert heard[-1] == (3 * 29, 3 * 29)


@pytest.mark.parametrize("version", SCHEMAS)
def test_an_older_store_is_read_from_a_copy_and_stays_as_old_as_it_is(
    store: Store, own: Path, tmp_path: Path, version: int
) -> None:
    path = old_store(tmp_path / "old.sqlite", SCHEMAS[version] + ROW)
    before = contents_of_files(tmp_path)
    assert merged(store, own, path) == [(1, 0)]
    assert list(store.log.attempts()) == [attempt(1, setup="")]
    assert contents_of_files(tmp_path) == before


LEFT = """
import os, signal, sys
from datetime import UTC, datetime
from tests.progress.made_up import attempt
from trainer.progress.store import open_store
store = open_store(sys.argv[1], now=datetime(2031, 2, 3, tzinfo=UTC))
store.log.add_all(attempt(number) for number in range(1, 40))
os.kill(os.getpid(), signal.SIGKILL)
"""


@pytest.mark.parametrize("carried", ["with what SQLite shares", "the database and its log alone"])
def test_what_a_killed_program_left_in_the_log_is_merged_and_the_log_stays(
    store: Store, own: Path, tmp_path: Path, carried: str
) -> None:
    """SQLite, Write-Ahead Logging: what was committed may be in the -wal file alone; -shm holds no data."""
    path = tmp_path / "left.sqlite"
    subprocess.run([sys.executable, "-c", LEFT, str(path)], cwd=ROOT, check=False)
    if carried != "with what SQLite shares":
        (tmp_path / "left.sqlite-shm").unlink()
    before = contents_of_files(tmp_path)
    assert "left.sqlite-wal" in before
    assert merged(store, own, path) == [(39, 0)]
    after = contents_of_files(tmp_path)
    assert sorted(after) == sorted(before)
    assert all(after[name] == before[name] for name in ("left.sqlite", "left.sqlite-wal"))


def test_a_store_that_is_open_elsewhere_is_merged_as_it_is_now(
    store: Store, own: Path, tmp_path: Path
) -> None:
    with open_store(tmp_path / "other.sqlite", now=START) as other:
        other.log.add_all(attempt(number) for number in range(1, 20))
        assert merged(store, own, tmp_path / "other.sqlite") == [(19, 0)]
        other.log.add(attempt(20))
        assert merged(store, own, tmp_path / "other.sqlite") == [(1, 0)]


def damaged(path: Path) -> None:
    filled(path, *range(1, 200))
    whole = path.read_bytes()
    path.write_bytes(whole[:8192] + b"\xa5" * (len(whole) - 8192))


def of_another_program(path: Path) -> None:
    raw = sqlite3.connect(path)
    raw.execute("CREATE TABLE recipes (name TEXT)")
    raw.close()


def newer(path: Path) -> None:
    filled(path, 1)
    raw = sqlite3.connect(path)
    raw.execute(f"INSERT INTO schema_version VALUES ({VERSION + 1}, 0)")
    raw.commit()
    raw.close()


def with_garbage(path: Path) -> None:
    filled(path, 1)
    raw = sqlite3.connect(path)
    raw.execute("UPDATE attempts SET evidence = 'tide'")
    raw.commit()
    raw.close()


def with_another_attempt(path: Path) -> None:
    with open_store(path, now=START) as store:
        store.log.add_all([attempt(8, learner="Plover"), attempt(7, learner="Plover")])


ODD: dict[str, tuple[Callable[[Path], object], str]] = {
    "missing.sqlite": (lambda _: None, "missing.sqlite is not there"),
    "folder.sqlite": (Path.mkdir, "folder.sqlite is a folder"),
    "damaged.sqlite": (damaged, "damaged.sqlite is damaged"),
    "recipes.sqlite": (of_another_program, "recipes.sqlite is another program's database"),
    "newer.sqlite": (newer, "newer.sqlite was made by a newer version"),
    "garbage.sqlite": (with_garbage, "garbage.sqlite is damaged: something in it cannot be read"),
    "other.sqlite": (with_another_attempt, "other.sqlite holds another attempt than the store under 0{31}7"),
    "empty.sqlite": (Path.touch, "empty.sqlite is neither a store .* nor an export"),
    "song.wav": (lambda path: path.write_bytes(b"RIFF\xff\xfe"), "song.wav is neither a store"),
    "all.csv": (lambda path: path.write_text("uid,at\n"), "all.csv is neither .* a CSV is for spreadsheets"),
    "odd.jsonl": (lambda path: path.write_text('{"uid": 1}\n'), "odd.jsonl, line 1 is no attempt: it has no"),
    "cut.jsonl": (lambda path: path.write_text('{"uid": "1'), "cut.jsonl, line 1 is no attempt"),
    "record.jsonl": (
        lambda path: path.write_text(
            '{"record": {"kind": "a", "key": "b", "at": "2031-02-03T00:00Z", "body": 1}}'
        ),
        "record.jsonl, line 1 is no record: its body is an object of JSON, not int",
    ),
    "timeless.jsonl": (
        lambda path: path.write_text('{"record": {"kind": "a", "key": "b", "at": "2031-02-03", "body": {}}}'),
        "timeless.jsonl, line 1 is no record: a time needs its zone",
    ),
}


@pytest.mark.parametrize("name", ODD)
def test_a_file_that_cannot_be_merged_is_told_before_anything_is_written(
    store: Store, own: Path, tmp_path: Path, name: str
) -> None:
    make, told = ODD[name]
    make(tmp_path / name)
    good = filled(tmp_path / "good.sqlite", 1, 2)
    store.log.add(attempt(7))
    before = contents_of_files(tmp_path)
    with pytest.raises(Refused, match=rf"^nothing was merged: .*{told}") as refused:
        merge_files(store, (good, tmp_path / name), own=own, now=START)
    assert "\n" not in str(refused.value)
    assert list(store.log.attempts()) == [attempt(7)]
    assert contents_of_files(tmp_path) == before


def test_the_store_itself_is_refused_by_whatever_name(store: Store, own: Path, tmp_path: Path) -> None:
    (tmp_path / "link.sqlite").symlink_to(own)
    for path in (own, tmp_path / "link.sqlite"):
        with pytest.raises(Refused, match="is the store itself"):
            merge_files(store, (path,), own=own, now=START)


def test_an_empty_export_adds_nothing(store: Store, own: Path, tmp_path: Path) -> None:
    (tmp_path / "none.jsonl").touch()
    assert merged(store, own, tmp_path / "none.jsonl") == [(0, 0)]


def test_a_merge_that_is_killed_in_the_middle_leaves_a_whole_store_and_can_be_done_again(
    tmp_path: Path,
) -> None:
    """The real command, killed (SIGKILL) as soon as another process sees attempts arrive."""
    home, source = tmp_path / "home", tmp_path / "many.sqlite"
    with open_store(source, now=START) as store:
        store.log.add_all(
            attempt(number, at=START + timedelta(seconds=number)) for number in range(1, MANY + 1)
        )
    path = home / "yardline.sqlite"
    open_store(path, now=START).close()
    environ = {**os.environ, "YARDLINE_HOME": str(home)}
    command = [sys.executable, "-m", "trainer", "merge", str(source)]
    with open_store(path, now=START) as watching, subprocess.Popen(command, cwd=ROOT, env=environ) as merging:
        while watching.log.count() == 0:
            assert merging.poll() is None, "it ended before anything was seen to arrive"
        merging.kill()
        assert merging.wait() == -signal.SIGKILL
    with open_store(path, now=START) as store:
        kept = store.log.count()
        assert 0 < kept < MANY
        assert [one.uid for one in store.log.attempts()] == [uid_of(number) for number in range(1, kept + 1)]
        assert_whole(store)
        assert merged(store, path, source) == [(MANY - kept, 0)]
        assert_whole(store)
        assert store.log.count() == MANY
