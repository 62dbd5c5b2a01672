"""Migrations: a store from every earlier schema keeps its rows on the way to today's, or stays as it was."""

import sqlite3
from pathlib import Path

import pytest
from sqlalchemy import create_engine, inspect

from tests.progress.made_up import START, attempt
from trainer.progress import migrations
from trainer.progress.errors import StoreError
from trainer.progress.migrations import VERSION
from trainer.progress.records import record_of
from trainer.progress.schema import METADATA
from trainer.progress.store import open_store
from trainer.progress.tallies import Tally

LEDGER = "CREATE TABLE schema_version (version INTEGER PRIMARY KEY, applied_us BIGINT NOT NULL);"
VERSION_1 = f"""
{LEDGER}
CREATE TABLE attempts (
    uid VARCHAR(32) NOT NULL PRIMARY KEY, at_us BIGINT NOT NULL, learner TEXT NOT NULL, block TEXT NOT NULL,
    exercise TEXT NOT NULL, rep_code TEXT NOT NULL, show TEXT NOT NULL, seed TEXT NOT NULL,
    size DOUBLE PRECISION NOT NULL, unit TEXT NOT NULL, target TEXT NOT NULL, bands TEXT NOT NULL,
    right_answer TEXT NOT NULL, given_answer TEXT NOT NULL, options TEXT NOT NULL, marks TEXT NOT NULL,
    score DOUBLE PRECISION NOT NULL, "right" BOOLEAN NOT NULL, response_s DOUBLE PRECISION NOT NULL,
    flips INTEGER NOT NULL, version TEXT NOT NULL);
INSERT INTO schema_version VALUES (1, 0);
"""
VERSION_2 = f"""
{LEDGER}
CREATE TABLE attempts (
    uid VARCHAR(32) NOT NULL PRIMARY KEY, at_us BIGINT NOT NULL, learner TEXT NOT NULL, block TEXT NOT NULL,
    exercise TEXT NOT NULL, rep_code TEXT NOT NULL, show TEXT NOT NULL, seed TEXT NOT NULL,
    size DOUBLE PRECISION NOT NULL, unit TEXT NOT NULL, target TEXT NOT NULL, bands TEXT NOT NULL,
    right_answer TEXT NOT NULL, given_answer TEXT NOT NULL, options TEXT NOT NULL, marks TEXT NOT NULL,
    score DOUBLE PRECISION NOT NULL, "right" BOOLEAN NOT NULL, response_s DOUBLE PRECISION NOT NULL,
    flips INTEGER NOT NULL, version TEXT NOT NULL,
    setup TEXT NOT NULL DEFAULT '', quiz_item TEXT NOT NULL DEFAULT '');
INSERT INTO schema_version VALUES (1, 0), (2, 0);
"""
VERSION_3 = (
    VERSION_2.replace("(2, 0);", "(2, 0), (3, 0);")
    + """
CREATE INDEX attempts_by_time ON attempts (at_us, uid);
CREATE INDEX attempts_by_learner ON attempts (learner, at_us, uid);
CREATE TABLE settings (
    learner TEXT NOT NULL, key TEXT NOT NULL, value TEXT NOT NULL, PRIMARY KEY (learner, key));
"""
)
VERSION_4 = (
    VERSION_3
    + """
INSERT INTO schema_version VALUES (4, 0);
CREATE TABLE tallies (learner TEXT NOT NULL, day INTEGER NOT NULL, exercise TEXT NOT NULL,
    band_hz DOUBLE PRECISION NOT NULL, asked DOUBLE PRECISION NOT NULL, "right" DOUBLE PRECISION NOT NULL,
    PRIMARY KEY (learner, day, exercise, band_hz));
INSERT INTO tallies VALUES ('Heron', 22313, 'octave-tone', 1000.0, 1.0, 1.0);
"""
)
VERSION_5 = (
    VERSION_4
    + """
INSERT INTO schema_version VALUES (5, 0);
CREATE TABLE ear_days (learner TEXT NOT NULL, day INTEGER NOT NULL, made_by TEXT NOT NULL, state TEXT NOT NULL,
    PRIMARY KEY (learner, day));
"""
)
ROW = """
INSERT INTO attempts (uid, at_us, learner, block, exercise, rep_code, show, seed, size, unit, target, bands,
    right_answer, given_answer, options, marks, score, "right", response_s, flips, version)
VALUES ('00000000000000000000000000000001', 1927908000000000, 'Heron', '00000000000000000000000000000007',
    'octave-tone', 'octave-tone.1', 'tide-tables', '1', 6.5, 'dB', 'mix', '{"1000.0": 1.0}',
    '{"band": 1000.0, "direction": "boost"}', '{"band": 1000.0, "direction": "boost"}',
    '{"band": [31.5, 63, 125, 250, 500, 1000, 2000, 4000, 8000, 16000], "direction": ["boost", "cut"]}',
    '{"band": 1.0, "direction": 1.0}', 1.0, 1, 7.25, 3, '0.1.0');
"""
VERSION_6 = (
    VERSION_5
    + """
INSERT INTO schema_version VALUES (6, 0);
CREATE TABLE records (kind TEXT NOT NULL, key TEXT NOT NULL, at_us BIGINT NOT NULL, body TEXT NOT NULL,
    PRIMARY KEY (kind, key));
CREATE INDEX attempts_by_quiz ON attempts (quiz_item) WHERE quiz_item <> '';
"""
)
SCHEMAS = {1: VERSION_1, 2: VERSION_2, 3: VERSION_3, 4: VERSION_4, 5: VERSION_5, 6: VERSION_6}
"""What each earlier program made, kept here as it was."""


def old_store(path: Path, script: str) -> Path:
    raw = sqlite3.connect(path)
    raw.executescript(script)
    raw.close()
    return path


def columns(path: Path) -> dict[str, set[str]]:
    engine = create_engine(f"sqlite:///{path}")
    found = inspect(engine)
    read = {
        table: {column["name"] for column in found.get_columns(table)} for table in found.get_table_names()
    }
    engine.dispose()
    return read


def test_every_earlier_schema_is_tested() -> None:
    assert sorted(SCHEMAS) == list(range(1, VERSION))


@pytest.mark.parametrize("version", SCHEMAS)
def test_an_earlier_store_is_brought_up_to_date_with_its_rows(version: int, tmp_path: Path) -> None:
    path = old_store(tmp_path / "old.sqlite", SCHEMAS[version] + ROW)
    with open_store(path, now=START) as store:
        assert list(store.log.attempts()) == [attempt(1, setup="")]
        store.log.add(attempt(2, quiz_item="week-1.3"))
        assert store.sums.tallies(learner="Heron") == (Tally(START.date(), "octave-tone", 1000.0, 2.0, 2.0),)
        store.settings.set("Heron", "level_db", -20.0)
        assert store.records.put([record_of("member", "Heron", {"name": "Heron"}, at=START)]) == 1
    with open_store(path, now=START) as store:
        assert list(store.log.attempts()) == [attempt(1, setup=""), attempt(2, quiz_item="week-1.3")]
    assert columns(path) == columns_of_today()


def columns_of_today() -> dict[str, set[str]]:
    return {table.name: {column.name for column in table.columns} for table in METADATA.tables.values()}


def test_a_new_store_has_exactly_the_tables_and_columns_queries_are_written_for(tmp_path: Path) -> None:
    open_store(tmp_path / "new.sqlite", now=START).close()
    assert columns(tmp_path / "new.sqlite") == columns_of_today()


def test_each_step_is_written_in_the_ledger_with_its_time(tmp_path: Path) -> None:
    path = old_store(tmp_path / "old.sqlite", VERSION_1)
    open_store(path, now=START).close()
    open_store(path, now=START).close()
    raw = sqlite3.connect(path)
    ledger = raw.execute("SELECT version, applied_us FROM schema_version ORDER BY version").fetchall()
    raw.close()
    assert ledger == [(1, 0), *((version, 1927908000000000) for version in range(2, VERSION + 1))]


def test_a_store_from_a_newer_version_is_refused_untouched(tmp_path: Path) -> None:
    path = old_store(
        tmp_path / "newer.sqlite", f"{LEDGER} INSERT INTO schema_version VALUES ({VERSION + 4}, 0);"
    )
    before = path.read_bytes()
    told = rf"newer version of this program \(schema {VERSION + 4}, this one knows up to {VERSION}\)"
    with pytest.raises(StoreError, match=told):
        open_store(path, now=START)
    assert path.read_bytes() == before
    assert [file.name for file in tmp_path.iterdir()] == ["newer.sqlite"]


def test_a_step_that_fails_leaves_the_store_as_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = old_store(tmp_path / "old.sqlite", VERSION_1 + ROW)
    before = columns(path)
    broken = (*migrations.MIGRATIONS, ("ALTER TABLE nowhere ADD COLUMN tide TEXT",))
    monkeypatch.setattr(migrations, "MIGRATIONS", broken)
    with pytest.raises(StoreError, match="nowhere"):
        open_store(path, now=START)
    assert columns(path) == before
    monkeypatch.undo()
    with open_store(path, now=START) as store:
        assert list(store.log.attempts()) == [attempt(1, setup="")]
