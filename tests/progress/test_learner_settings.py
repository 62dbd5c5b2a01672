"""Learners' settings: the last one set holds, for that learner alone."""

from pathlib import Path

import pytest

from tests.progress.made_up import START
from trainer.progress.store import Store, open_store
from trainer.refusal import Refused


def test_settings_are_a_learners_own_and_can_be_changed(store: Store) -> None:
    store.settings.set("Heron", "level_db", -30.5)
    store.settings.set("Heron", "level_db", -28.0)
    store.settings.set("Plover", "level_db", "quiet")
    assert store.settings.get("Heron", "level_db") == -28.0
    assert store.settings.get("Plover", "level_db") == "quiet"
    assert store.settings.get("Curlew", "level_db") is None
    assert store.settings.get("Curlew", "level_db", 0.0) == 0.0


def test_a_setting_is_there_when_the_store_is_opened_again(store: Store, path: Path) -> None:
    store.settings.set("Heron", "words", "sforzando – ƒƒ")
    with open_store(path, now=START) as again:
        assert again.settings.get("Heron", "words") == "sforzando – ƒƒ"


@pytest.mark.parametrize(("learner", "key"), [("Her\udc80n", "level_db"), ("Heron", "level\0db")])
def test_a_name_that_cannot_be_written_is_refused_and_nothing_is_set(
    store: Store, learner: str, key: str
) -> None:
    with pytest.raises(Refused):
        store.settings.set(learner, key, 1.0)
    assert store.settings.get("Heron", "level_db") is None


def test_a_number_that_is_not_finite_leaves_the_setting_as_it_was(store: Store) -> None:
    store.settings.set("Heron", "level_db", -30.5)
    with pytest.raises(ValueError, match="not JSON compliant"):
        store.settings.set("Heron", "level_db", float("nan"))
    assert store.settings.get("Heron", "level_db") == -30.5
