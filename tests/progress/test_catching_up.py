"""Catching up: several processes keep the days of many learners, to the last bit what one alone would have kept."""

from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from trainer.bench.programme import BEGINS, TODAY, programme_store
from trainer.progress import catching_up
from trainer.progress.catching_up import catch_up
from trainer.progress.replay import made_by_of
from trainer.progress.store import Store, open_store

NOW = datetime(2030, 4, 1, tzinfo=UTC)


def kept(store: Store) -> dict[str, tuple[str, ...]]:
    made_by = made_by_of()
    return {name: store.ears.kept(name, made_by=made_by, before=date.max) for name in store.log.learners()}


def test_two_processes_keep_what_one_would_have_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    found, told = [], []
    for cores in (2, 1):
        path = tmp_path / f"{cores}.sqlite"
        programme_store(path, learners=4, attempts=800)
        with open_store(path, now=BEGINS) as store:
            monkeypatch.setattr(catching_up, "WORTH_IT", 100)
            learners = store.log.learners()
            catch_up(store, learners, today=TODAY, now=NOW, heard=told.append, cores=cores)
            if cores == 1:
                assert set(kept(store).values()) == {()}, "one core has nobody to share with"
                catching_up.replayed_all(store, learners, today=TODAY)
            found.append(kept(store))
    assert found[0] == found[1]
    assert all(found[0].values())
    assert told == sorted(told)


def test_few_answers_are_not_worth_a_process(tmp_path: Path) -> None:
    programme_store(tmp_path / "few.sqlite", learners=4, attempts=80)
    with open_store(tmp_path / "few.sqlite", now=BEGINS) as store:
        catch_up(store, store.log.learners(), today=TODAY, now=NOW, cores=2)
        assert set(kept(store).values()) == {()}
