"""The staff's side of the demo season: a roster, a plan whose finals are to come, a quiz all six took."""

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from audio_demo.season.learners import LEARNERS
from audio_demo.season.simulate import Season
from audio_demo.season.staff import fill_staff
from trainer.practice.catalogue import load
from trainer.practice.rep_code import decode
from trainer.progress.store import Store, open_store
from trainer.season.plan_text import plan_of
from trainer.season.quiz_marking import score_of, sheets_of
from trainer.season.roster import roster_of

NOW = datetime(2031, 5, 8, 12, tzinfo=UTC)
EXERCISES = load().exercises


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with open_store(tmp_path / "store.sqlite", now=NOW) as opened:
        yield opened


def test_all_six_are_on_the_roster_and_took_the_quiz(store: Store) -> None:
    quiz = fill_staff(store, EXERCISES, Season(EXERCISES, NOW, weeks=12, seed=0))
    assert quiz is not None
    assert {member.name for member in roster_of(store).present} == {traits.name for traits in LEARNERS}
    sheets = sheets_of(store.log.attempts(quiz=quiz.uid))
    assert len(sheets) == 6
    assert all(sheet.answered == 30 for sheet in sheets)
    scores = {sheet.learner: score_of(quiz, sheet) for sheet in sheets}
    assert min(scores, key=lambda name: scores[name]) == "Curlew", "the one who hardly learns"
    for item in quiz.items:
        focus = decode(item.code).focus
        said = {"band": focus.band_hz, "direction": "boost" if focus.direction == 1 else "cut"}
        assert (said, focus.size) == (item.answer, item.question.size)


def test_the_finals_are_still_to_come(store: Store) -> None:
    fill_staff(store, EXERCISES, Season(EXERCISES, NOW, weeks=12, seed=0))
    plan = plan_of(store)
    assert plan is not None
    assert plan.week_of(NOW.date()) == plan.weeks == 13
    show = plan.next_show(NOW.date())
    assert show is not None
    assert show.name == "Finals"


def test_a_short_season_has_no_quiz(store: Store) -> None:
    assert fill_staff(store, EXERCISES, Season(EXERCISES, NOW, weeks=2, seed=0)) is None
    assert plan_of(store) is not None
