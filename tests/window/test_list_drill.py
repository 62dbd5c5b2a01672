"""A drill of lists in the window: answered with keys, the page whole at every size, the foot true, the reveal drawn."""

import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.list_exercise import EXERCISE, KEY
from tests.window.page_troubles import troubles_of
from tests.window.staged import Stage, answer, wait_for_rep
from trainer.practice.catalogue import Catalogue
from trainer.practice.values import Row, number_in, rows_in
from trainer.window import keys
from trainer.window.control import Intent
from trainer.window.gallery import LOOKS, Look, drawn
from trainer.window.lanes import DIGITS
from trainer.window.session import Session
from trainer.window.state import Place


@pytest.fixture
def stage(tmp_path: Path) -> Stage:
    stage = Stage(tmp_path)
    stage.know("Heron")
    stage.assembly.__dict__["catalogue"] = Catalogue({KEY: EXERCISE}, ())
    return stage


@pytest.fixture
def session(stage: Stage) -> Iterator[Session]:
    session = stage.session(learner="Heron")
    session.do(Intent("only", 0))
    wait_for_rep(session, sleep=time.sleep)
    yield session
    session.close()


def press(session: Session, *names: str) -> None:
    """Press keys, by the names the window knows them by."""
    for name in names:
        intent = keys.intent_for(session, name)
        assert intent is not None, f"{name} does nothing here"
        session.do(intent)


def right_rows(session: Session) -> tuple[Row, ...]:
    """Return the rows that are right for the present rep."""
    assert session.drill is not None
    assert session.drill.rep is not None
    return rows_in(session.drill.rep.answer, KEY)


def keys_for(row: Row) -> tuple[str, str]:
    """Return the keys that write a row."""
    octaves = (31.5, 63.0, 125.0, 250.0, 500.0, 1000.0, 2000.0, 4000.0, 8000.0, 16_000.0)
    return DIGITS[octaves.index(number_in(row, "band"))], "up" if row["direction"] == "boost" else "down"


def test_a_list_is_written_with_keys_and_handed_in_with_ctrl_enter(stage: Stage, session: Session) -> None:
    first, second = right_rows(session)
    press(session, *keys_for(second), "return", *keys_for(first), "ctrl return")
    (kept,) = stage.store.log.attempts()
    assert kept.given_answer == {KEY: (second, first)}
    assert kept.right
    assert [one.named for one in kept.evidence] == [True, True]
    assert session.place is Place.REVEAL


def test_enter_hands_nothing_in_and_space_still_flips(stage: Stage, session: Session) -> None:
    press(session, *keys_for(right_rows(session)[0]), "return", "return", "space", "return")
    assert not list(stage.store.log.attempts())
    assert session.place is Place.REP
    assert session.player.sounding.value == "changed"


def test_rows_are_gone_to_and_removed_with_keys(stage: Stage, session: Session) -> None:
    press(session, "5", "up", "return", "7", "down", "shift up", "delete", "ctrl return")
    (kept,) = stage.store.log.attempts()
    assert kept.given_answer == {KEY: ({"band": 2000.0, "direction": "cut"},)}


def test_a_row_that_is_not_whole_is_not_handed_in(stage: Stage, session: Session) -> None:
    press(session, "5", "ctrl return")
    assert not list(stage.store.log.attempts())
    press(session, "x", "ctrl return")
    (kept,) = stage.store.log.attempts()
    assert kept.given_answer == {KEY: ()}
    assert not kept.right


def test_the_foot_says_which_keys_work(session: Session) -> None:
    def foot() -> dict[str, str]:
        return {one.cap: one.words for one in keys.here(session) if one.in_foot}

    assert foot()["Enter"] == "next row"
    assert foot()["Ctrl Enter"] == "answer"
    assert foot()["Del"] == "remove the row"
    assert "Shift ↑ ↓" not in foot()
    press(session, "5", "up", "return")
    assert foot()["Shift ↑ ↓"] == "row"


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.name)
def test_the_pages_of_a_list_are_whole(session: Session, look: Look) -> None:
    pages = {"blank": list(troubles_of(drawn(session, look)))}
    press(session, "5", "up", "return", "7")
    pages["begun"] = list(troubles_of(drawn(session, look)))
    press(session, "x")
    answer(session, rightly=False)
    assert session.place is Place.REVEAL
    pages["reveal, wrong"] = list(troubles_of(drawn(session, look)))
    assert {name: troubles for name, troubles in pages.items() if troubles} == {}
