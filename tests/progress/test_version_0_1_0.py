"""A season kept by version 0.1.0, made by that version's own code: it says the same of its learners' ears now.

``version_0_1_0`` holds the store and the export of two learners of the demo season (three weeks, 745 answers to the
three exercises, a roster, a plan, a quiz of 30 items that both took), and the T75 that version 0.1.0 gave for them.
"""

import json
import lzma
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest

from trainer.practice.attempt import Attempt
from trainer.practice.question_text import question_from
from trainer.progress.export import read_lines, write_jsonl
from trainer.progress.merging import merge_files
from trainer.progress.replay import ear_of
from trainer.progress.setups import setups_of
from trainer.progress.store import Store, open_store
from trainer.progress.thresholds import t75_of

KEPT = Path(__file__).parent / "version_0_1_0"
NOW = datetime(2026, 11, 29, 12, tzinfo=UTC)
FIGURES = json.loads((KEPT / "figures.json").read_text(encoding="utf-8"))
ATTEMPTS = 805


def unpacked(name: str, folder: Path) -> Path:
    path = folder / name
    path.write_bytes(lzma.decompress((KEPT / f"{name}.xz").read_bytes()))
    return path


@pytest.fixture
def migrated(tmp_path: Path) -> Iterator[Store]:
    with open_store(unpacked("store.sqlite", tmp_path), now=NOW) as store:
        yield store


@pytest.mark.parametrize("learner", FIGURES)
def test_the_log_of_the_old_version_gives_the_thresholds_it_gave_there(migrated: Store, learner: str) -> None:
    """Within 0.02 dB; measured: to the last bit."""
    ear, then = ear_of(migrated, learner, today=NOW.date()), FIGURES[learner]
    for now_db, then_db in zip(
        t75_of(ear.belief), (then["t75_db"], then["low_db"], then["high_db"]), strict=True
    ):
        assert np.max(np.abs(now_db - np.array(then_db))) < 0.02
    assert (list(ear.kinds), ear.seen, ear.answers) == (then["kinds"], then["seen"], then["answers"])


def test_its_export_read_now_holds_the_same_attempts_as_its_store(migrated: Store, tmp_path: Path) -> None:
    lines = read_lines(unpacked("export.jsonl", tmp_path))
    assert [one for one in lines if isinstance(one, Attempt)] == list(migrated.log.attempts())


def test_old_and_new_stores_and_exports_merge_to_one(migrated: Store, tmp_path: Path) -> None:
    """What both know is added once, whichever version wrote it down."""
    new = tmp_path / "new.jsonl"
    write_jsonl(migrated.log.attempts(), new, migrated.records.all())
    (tmp_path / "second").mkdir()
    old_store, old_lines = (unpacked(name, tmp_path / "second") for name in ("store.sqlite", "export.jsonl"))
    with open_store(tmp_path / "third.sqlite", now=NOW) as third:
        merged = merge_files(third, (new, old_store, old_lines), own=tmp_path / "third.sqlite", now=NOW)
        assert [one.attempts for one in merged] == [ATTEMPTS, 0, 0]
        assert list(third.log.attempts()) == list(migrated.log.attempts())


def test_what_was_on_offer_is_kept_once_for_many_attempts(migrated: Store) -> None:
    texts = {attempt.asked for attempt in migrated.log.attempts()}
    assert 3 < len(texts) < ATTEMPTS / 10


def test_every_answer_says_what_it_said_there_and_nothing_of_it_cannot_be(migrated: Store) -> None:
    """In version 0.1.0 band and direction, or which and direction, or which and speed had to be right."""
    subjects = {
        "octave-tone": ("band", "direction"),
        "level": ("which", "direction"),
        "compression": ("which", "speed"),
    }
    seen = 0
    for attempt in migrated.log.attempts():
        (said,) = attempt.evidence
        assert said.named == all(attempt.marks[key] == 1.0 for key in subjects[attempt.exercise])
        assert said.kind.split("/")[0] == attempt.exercise
        assert said.kind.endswith("/quiz") == bool(attempt.quiz_item)
        assert (said.size, said.unit) == (attempt.size, "dB")
        seen += 1
    assert seen == ATTEMPTS


def test_its_quiz_and_its_setup_are_read(migrated: Store) -> None:
    (quiz,) = migrated.records.of_kind("quiz")
    questions = [question_from(item["question"]) for item in json.loads(quiz.body)["items"]]
    assert len(questions) == 30
    assert {question.scope for question in questions} == {"mix"}
    assert [setup.heard_below_db for setup in setups_of(migrated, "Heron")] == [()]
