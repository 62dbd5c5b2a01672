"""Records: of two of one kind and key the later holds, in whatever order they come."""

from datetime import timedelta
from itertools import permutations

import pytest

from tests.progress.made_up import START
from trainer.progress.records import Record, record_of
from trainer.progress.store import Store
from trainer.refusal import Refused


def record(kind: str = "member", key: str = "Heron", *, day: int = 0, text: str = "") -> Record:
    return record_of(kind, key, {"text": text}, at=START + timedelta(days=day))


def test_records_come_by_kind_and_key(store: Store) -> None:
    first, second, third = record("member", "Avocet"), record("member", "Heron"), record("plan", "Avocet")
    assert store.records.put([third, second, first]) == 3
    assert store.records.all() == (first, second, third)
    assert store.records.of_kind("member") == (first, second)
    assert store.records.of_kind("quiz") == ()


def test_the_later_holds_and_of_one_time_the_body_that_sorts_last(store: Store) -> None:
    made = record(day=0), record(day=1, text="a"), record(day=1, text="b")
    for number, order in enumerate(permutations(made)):
        key = f"Heron {number}"
        store.records.put(Record(one.kind, key, one.at, one.body) for one in order)
        (kept,) = (one for one in store.records.all() if one.key == key)
        assert (kept.at, kept.body) == (made[2].at, made[2].body)


def test_only_what_was_kept_is_counted(store: Store) -> None:
    assert store.records.put([record(day=1), record("plan")]) == 2
    assert store.records.put([record(day=1), record(day=0), record("plan", day=2)]) == 1


def test_text_that_cannot_be_written_is_refused() -> None:
    with pytest.raises(Refused, match="not valid Unicode"):
        record(text="Her\udc80n")
