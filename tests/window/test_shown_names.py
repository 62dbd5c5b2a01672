"""Members in the window: let in by the name that is shown, their answers kept under their own."""

from pathlib import Path

import pytest

from tests.progress.made_up import START
from tests.window.staged import Stage
from trainer.season.roster import add_member, rename_member
from trainer.window.control import Intent
from trainer.window.settings import Settings
from trainer.window.state import Place


def test_the_window_lets_members_in_by_the_shown_name(tmp_path: Path) -> None:
    stage = Stage(tmp_path)
    add_member(stage.store, "Heron", now=START)
    rename_member(stage.store, "Heron", "Grey", now=START)
    session = stage.session()
    assert session.known_learners == ("Grey",)
    session.do(Intent("choose learner", "Grey"))
    assert (session.learner, session.called, stage.saved[-1].learner) == ("Heron", "Grey", "Heron")
    session.close()


@pytest.mark.parametrize("named", ["argument", "settings"])
def test_the_window_asks_who_it_is_where_a_name_is_only_nearly_somebodys(tmp_path: Path, named: str) -> None:
    stage = Stage(tmp_path)
    add_member(stage.store, "Heron", now=START)
    session = stage.session(
        **({"learner": "heron"} if named == "argument" else {"settings": Settings(learner="heron")})
    )
    assert (session.place, session.learner) == (Place.LEARNERS, "")
    assert session.notice is not None
    assert "looks like 'Heron'" in session.notice.words
    session.do(Intent("choose learner", "HERON"))
    assert session.learner == ""
    session.do(Intent("choose learner", "Heron"))
    assert session.learner == "Heron"
    session.close()
