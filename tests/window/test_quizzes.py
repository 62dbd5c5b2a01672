"""Quizzes in the window: nothing is told before the end, every answer is kept, and then everything is told."""

import time
from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from itertools import chain
from pathlib import Path

import pytest

from tests.noise_show import SameNoise
from tests.progress.made_up import attempt as made_up
from tests.progress.made_up import uid_of
from tests.window.staged import Stage, answer, wait_for_rep
from trainer.playback.care import BREAK_AFTER_S
from trainer.playback.player import Version
from trainer.practice.exercise import described
from trainer.progress.errors import StoreError
from trainer.season.quiz import Quiz, keep_quiz
from trainer.season.quiz_marking import score_of, sheets_by_block
from trainer.season.quiz_sittings import allow_sittings
from trainer.season.quiz_wish import QuizWish, part_of
from trainer.window.bands import bands_of
from trainer.window.control import Intent
from trainer.window.gallery import LOOKS, drawn
from trainer.window.keys import here, intent_for
from trainer.window.session import Session
from trainer.window.standing import standing_of
from trainer.window.state import Over, Place

ITEMS = 4
TELL_TALE = ("right", "wrong", "✓", "✗", "score", "it was", "you said", "named", "figure", "size", "dB")
"""Words that would tell how an item went, or how large its change was."""


@pytest.fixture
def stage(tmp_path: Path) -> Stage:
    stage = Stage(tmp_path)
    stage.assembly.__dict__["shows"]["noise"] = SameNoise()
    for learner in ("Heron", "Plover"):
        stage.know(learner)
    return stage


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Quiz:
    stage = Stage(tmp_path_factory.mktemp("maker"))
    stage.assembly.__dict__["shows"]["noise"] = SameNoise()
    part = part_of(stage.assembly.catalogue["octave-tone"], items=ITEMS, sizes=(9.0, 9.0))
    return stage.assembly.new_quiz(QuizWish("Week 3", "noise", 5, (part,)))


@pytest.fixture
def quiz(stage: Stage, made: Quiz) -> Quiz:
    keep_quiz(stage.store, made)
    return made


@pytest.fixture
def session(stage: Stage, quiz: Quiz) -> Iterator[Session]:
    session = stage.session(learner="Heron")
    session.do(Intent("go", Place.QUIZZES))
    assert session.quizzes.chosen is not None
    assert session.quizzes.chosen.quiz == quiz
    yield session
    session.close()


def take(session: Session, *, rightly: tuple[bool, ...]) -> None:
    """Take the quiz the keys are on, or go on with it, and answer so many items."""
    press(session, "return")
    for right in rightly:
        wait_for_rep(session, sleep=time.sleep)
        answer(session, rightly=right)


def press(session: Session, key: str) -> None:
    intent = intent_for(session, key)
    assert intent is not None, f"{key} does nothing on {session.place}"
    session.do(intent)


def told(session: Session) -> list[str]:
    """Return every text on the page, with what has to be pressed on it."""
    canvas = drawn(session, LOOKS[0])
    return [one.words for one in canvas.written]


def _without_head(words: list[str]) -> list[str]:
    """Return a page's texts without which item it is and how long the rest takes."""
    return [one for one in words if not one.startswith("Item ") and not one.endswith(" left")]


def options_of(session: Session) -> set[str]:
    """Return the words of the options on offer: they stand on the page whatever is true."""
    rep = session.drill.rep if session.drill is not None else None
    fields = rep.question.fields if rep is not None else ()
    labels = set(chain.from_iterable(map(one.label, one.options) for one in fields))
    return labels | {label.removesuffix(" Hz") for label in labels}


def test_nothing_on_any_page_tells_how_an_item_went_before_the_end(session: Session, quiz: Quiz) -> None:
    """Every text of every page from the first item to the last, some answered right and some wrong."""
    pages: dict[str, list[str]] = {}
    press(session, "return")
    for number, item in enumerate(quiz.items):
        if session.drill is not None and session.drill.is_waiting:  # the rep may be there already
            pages[f"waiting {number}"] = told(session)
        wait_for_rep(session, sleep=time.sleep)
        pages[f"item {number}"] = told(session)
        offered = options_of(session)
        truth = {*described(item.answer, item.question).split(", "), described(item.answer, item.question)}
        assert not [words for words in pages[f"item {number}"] if words in truth - offered]
        for over in (Over.PAUSE, Over.KEYS):
            session.lay_over(over)
            pages[f"{over.value} {number}"] = told(session)
            session.resume()
        if number < ITEMS - 1:
            answer(session, rightly=number % 2 == 0)
            assert (session.place, session.drill is not None) == (Place.REP, True)
    assert 3 * ITEMS < len(pages) <= 4 * ITEMS
    for name, words in pages.items():
        said = " ".join(words).casefold()
        assert not [word for word in TELL_TALE if word.casefold() in said], (name, words)
    for kind in ("waiting", "item"):
        there = [pages[name] for name in (f"{kind} {number}" for number in range(ITEMS)) if name in pages]
        here_on = list(map(_without_head, there))
        assert here_on == [here_on[0]] * len(there), "a right and a wrong answer leave the same page behind"
    answer(session, rightly=True)
    assert session.place is Place.RESULT
    assert any("wholly right" in words for words in told(session))


def test_the_player_never_holds_the_answer_that_was_given(stage: Stage, session: Session) -> None:
    take(session, rightly=(False, True, False))
    player = stage.players[-1]
    assert player.adds == []
    assert all(set(load) == {Version.PLAIN, Version.CHANGED} for load in player.loads)
    assert session.drill is not None
    assert (session.drill.outcome, session.drill.truth, session.drill.said) == (None, None, None)


def test_the_result_is_the_score_and_every_item_with_what_was_said(
    stage: Stage, session: Session, quiz: Quiz
) -> None:
    """The score itself is held against other code in the tests of the marking."""
    take(session, rightly=(True, False, True))
    wait_for_rep(session, sleep=time.sleep)
    press(session, "g")
    assert session.place is Place.RESULT
    result = session.quizzes.result
    assert result is not None
    assert result.sheet.attempts == sheets_by_block(stage.store, quiz, "Heron")[result.sheet.block].attempts
    words = told(session)
    assert f"Score {100 * score_of(quiz, result.sheet):.0f} %" in words
    assert "2 of 4 wholly right, 1 not answered." in words
    assert sum(one.startswith("you said") for one in words) == 1
    assert sum(one == "not answered" for one in words) == 1
    for item in quiz.items:
        assert any(described(item.answer, item.question) in one for one in words)
    press(session, "escape")
    assert session.place is Place.QUIZZES


def test_giving_up_is_no_answer_and_goes_on(stage: Stage, session: Session) -> None:
    press(session, "return")
    wait_for_rep(session, sleep=time.sleep)
    press(session, "g")
    assert (session.place, session.drill is not None and session.drill.rep) == (Place.REP, None)
    (kept,) = stage.store.log.attempts()
    assert (dict(kept.given_answer), kept.right) == ({}, False)
    assert "give up" not in [binding.words for binding in here(session)]


def test_left_in_the_middle_it_goes_on_from_there_in_another_run_of_the_program(
    stage: Stage, session: Session, quiz: Quiz
) -> None:
    take(session, rightly=(True, True))
    press(session, "escape")
    press(session, "l")
    assert session.place is Place.QUIZZES
    assert "left after 2 of 4" in told(session)
    again = stage.session(learner="Heron")
    assert again.blocks.to_go_on is None, "a quiz is no drill to go on with"
    again.do(Intent("go", Place.QUIZZES))
    press(again, "return")
    wait_for_rep(again, sleep=time.sleep)
    assert again.drill is not None
    assert again.drill.rep is not None
    assert again.drill.rep.code == quiz.items[2].code
    assert f"Item 3 of {ITEMS} · Week 3" in told(again)
    answer(again, rightly=True)
    wait_for_rep(again, sleep=time.sleep)
    answer(again, rightly=True)
    assert again.place is Place.RESULT
    assert len({one.block for one in stage.store.log.attempts()}) == 1
    again.close()


def test_one_sitting_unless_staff_allow_another_and_the_result_stays_to_be_seen(
    stage: Stage, session: Session, quiz: Quiz
) -> None:
    take(session, rightly=(True,) * ITEMS)
    press(session, "return")
    press(session, "return")
    assert session.notice is not None
    assert session.notice.words.startswith("Heron has taken 'Week 3' already")
    assert session.notice.intent is not None
    session.do(session.notice.intent)
    assert session.place is Place.RESULT
    press(session, "escape")
    press(session, "v")
    assert session.place is Place.RESULT
    allow_sittings(stage.store, quiz, "Heron", 2, now=stage.clock())
    press(session, "escape")
    session.do(Intent("take quiz", quiz.uid))
    assert session.place is Place.REP


def test_another_learner_is_asked_the_same_and_sees_nothing_of_the_first(
    session: Session, quiz: Quiz
) -> None:
    take(session, rightly=(True,) * ITEMS)
    session.do(Intent("choose learner", "Plover"))
    session.do(Intent("go", Place.QUIZZES))
    assert "not taken yet" in told(session)
    assert intent_for(session, "v") is None
    press(session, "return")
    wait_for_rep(session, sleep=time.sleep)
    assert session.drill is not None
    assert session.drill.rep is not None
    assert session.drill.rep.code == quiz.items[0].code


def test_a_break_is_suggested_between_two_items(stage: Stage, session: Session) -> None:
    press(session, "return")
    wait_for_rep(session, sleep=time.sleep)
    stage.players[-1].pass_time(BREAK_AFTER_S)
    answer(session, rightly=True)
    assert (session.place, session.over) == (Place.REP, Over.BREAK)
    press(session, "return")
    wait_for_rep(session, sleep=time.sleep)
    assert session.drill is not None
    assert session.drill.block.number == 2


def test_a_quiz_that_cannot_be_made_here_is_left_with_the_reason(
    stage: Stage, session: Session, quiz: Quiz
) -> None:
    items = tuple(replace(item, show="nowhere") for item in quiz.items)
    keep_quiz(stage.store, replace(quiz, uid="cd" * 16, title="From elsewhere", items=items))
    session.do(Intent("go", Place.QUIZZES))
    session.do(Intent("take quiz", "cd" * 16))
    for _ in range(2000):
        session.tick()
        if session.notice is not None:
            break
        time.sleep(0.005)
    assert session.place is Place.QUIZZES
    assert session.notice is not None
    assert "nowhere" in session.notice.words


def test_no_figure_moves_with_a_quiz_before_its_end(stage: Stage, quiz: Quiz) -> None:
    """Leaving after each item to look at one's figures would tell of which band it was, and whether it was right."""
    drilled = [
        made_up(number, at=stage.clock() - timedelta(hours=1), block=uid_of(99)) for number in range(100, 125)
    ]
    stage.store.log.add_all(drilled)
    true, said = {"band": 250.0, "direction": "cut"}, {"band": 500.0, "direction": "cut"}
    given = [
        made_up(
            item.number, at=stage.clock(), block=uid_of(7), quiz_item=quiz.key_of(item), bands={250.0: 1.0},
            right_answer=true, given_answer=said, right=False, score=0.0,
        )
        for item in quiz.items
    ]  # fmt: skip

    def figures() -> tuple[object, ...]:
        today = stage.clock().date()
        standing = standing_of(stage.store, "Heron", now=stage.clock())
        bands = bands_of(stage.store, "Heron", today=today)
        t75_db = tuple(round(one.t75_db, 9) for one in (*standing.ear.bands, *bands.changes))
        return t75_db, standing.counts, standing.confusions.counts, standing.remarks

    before = figures()
    stage.store.log.add_all(given[:-1])
    assert figures() == before
    stage.store.log.add(given[-1])
    assert [one != other for one, other in zip(figures(), before, strict=True)][:3] == [True] * 3


def test_where_the_result_cannot_be_read_the_page_of_quizzes_says_so_and_nothing_is_lost(
    stage: Stage, session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    take(session, rightly=(True,) * (ITEMS - 1))
    wait_for_rep(session, sleep=time.sleep)

    def unreadable(*_: object) -> object:
        raise StoreError("the store cannot be read")

    with monkeypatch.context() as broken:
        broken.setattr("trainer.window.staff.result_of", unreadable)
        answer(session, rightly=True)
    assert (session.place, session.drill) == (Place.QUIZZES, None)
    assert session.notice is not None
    assert "Every answer you gave is kept." in session.notice.words
    assert len(list(stage.store.log.attempts())) == ITEMS
    press(session, "v")
    assert session.place is Place.RESULT
