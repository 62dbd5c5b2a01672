"""The programme the benchmark makes: rows as the store itself would have written them."""

from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from trainer.bench.programme import BEGINS, TODAY, learner_names, practice_days, programme_store
from trainer.progress.replay import replay
from trainer.progress.store import Store, open_store


@pytest.fixture(scope="module")
def programme(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Store]:
    path = tmp_path_factory.mktemp("programme") / "store.sqlite"
    programme_store(path, learners=3, attempts=450, seed=2)
    with closing(open_store(path, now=BEGINS)) as store:
        yield store


def test_it_is_what_the_store_would_have_written(programme: Store, tmp_path: Path) -> None:
    """Against `Store.add_all`: the same attempts added one page at a time give the same rows and tallies."""
    with open_store(tmp_path / "other.sqlite", now=BEGINS) as other:
        assert other.log.add_all(programme.log.attempts()) == 450
        assert list(other.log.attempts()) == list(programme.log.attempts())
        assert other.log.unlike(programme.log.attempts()) is None
        for learner in learner_names(3):
            ours, theirs = (store.sums.tallies(learner=learner) for store in (programme, other))
            assert [(one.day, one.exercise, one.band_hz) for one in ours] == [
                (one.day, one.exercise, one.band_hz) for one in theirs
            ]
            assert [(one.asked, one.right) for one in ours] == [
                pytest.approx((one.asked, one.right)) for one in theirs
            ]


def test_everybody_answers_as_often_on_every_practice_day_and_about_three_in_four_right(
    programme: Store,
) -> None:
    assert programme.log.learners() == tuple(sorted(learner_names(3)))
    for learner in learner_names(3):
        attempts = list(programme.log.attempts(learner=learner))
        assert len(attempts) == 150
        assert sorted({attempt.at.date() for attempt in attempts}) == practice_days()
        assert 0.6 < sum(attempt.right for attempt in attempts) / 150 < 0.85
        assert attempts[-1].at.date() < TODAY
        assert len(replay(attempts).kinds) == 2
