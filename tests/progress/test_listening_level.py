"""Listening levels: begun quietly, kept for a learner, never begun loud."""

import pytest

from trainer.progress.listening_level import (
    FIRST_START_DB,
    LOUDEST_START_DB,
    is_level_set,
    keep_level,
    start_level_db,
)
from trainer.progress.store import Store


def test_a_first_start_is_30_db_down(store: Store) -> None:
    assert FIRST_START_DB == -30.0
    assert not is_level_set(store, "Heron")
    assert start_level_db(store, "Heron") == FIRST_START_DB


@pytest.mark.parametrize(
    ("left_db", "begun_db"),
    [
        (-40.0, -40.0),
        (-24.5, -24.5),
        (LOUDEST_START_DB, LOUDEST_START_DB),
        (-11.9, LOUDEST_START_DB),
        (0.0, -12.0),
    ],
)
def test_later_starts_are_where_it_was_left_but_never_loud(
    store: Store, left_db: float, begun_db: float
) -> None:
    keep_level(store, "Heron", level_db=left_db)
    assert is_level_set(store, "Heron")
    assert start_level_db(store, "Heron") == begun_db
    assert start_level_db(store, "Plover") == FIRST_START_DB
