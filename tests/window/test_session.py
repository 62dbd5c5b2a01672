"""The session: what becomes of what somebody wants, without a display, a device or music."""

import json
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from tests.fakes import RecordingPlayer
from tests.progress.made_up import attempt
from tests.window.staged import BEGIN, Stage, answer, wait, wait_for_rep
from trainer.dsp.octave_bands import NOMINAL_HZ
from trainer.ensemble.parts import title_of
from trainer.playback.care import BREAK_AFTER_S, LEVEL_STEP_DB
from trainer.playback.player import Version
from trainer.practice.alone import target_alone
from trainer.practice.attempt import Attempt
from trainer.practice.change import MIX, Bell, Change, Edit
from trainer.practice.sitting import BLOCK_MINUTES
from trainer.progress.due import FIRST_REPS as REPS
from trainer.progress.errors import StoreError
from trainer.progress.listening_level import FIRST_START_DB, LEVEL_SETTING, LOUDEST_START_DB
from trainer.progress.setups import Setup, keep_setup
from trainer.refusal import Refused
from trainer.window.chores import ThreadChores
from trainer.window.control import Intent
from trainer.window.gallery import LOOKS, drawn
from trainer.window.keys import intent_for
from trainer.window.session import Session
from trainer.window.settings import Settings
from trainer.window.state import Over, Place
from trainer.window.strip import BEING_MADE


@pytest.fixture
def stage(tmp_path: Path) -> Stage:
    return Stage(tmp_path)


@pytest.fixture
def session(stage: Stage) -> Iterator[Session]:
    stage.know("Heron")
    session = stage.session(learner="Heron")
    yield session
    session.close()


def begin(session: Session, exercise: str = "octave-tone") -> None:
    session.do(Intent("only", session.exercises.index(exercise)))
    wait_for_rep(session, sleep=time.sleep)


# Coming in.


def test_a_newcomer_gives_a_name_sets_a_level_and_finds_a_block_due(stage: Stage) -> None:
    session = stage.session()
    assert (session.place, session.typed) == (Place.LEARNERS, "newcomer")
    for _ in session.typed:
        session.do(Intent("erase"))
    session.do(Intent("type", "Plover"))
    session.do(Intent("accept name"))
    assert (session.place, session.learner) == (Place.SETUP, "Plover")
    assert session.sound.level_db == FIRST_START_DB
    assert stage.players[0].levels_db[-1] == FIRST_START_DB
    assert stage.players[0].is_playing
    session.do(Intent("level", 1))
    assert session.sound.level_db == FIRST_START_DB + LEVEL_STEP_DB
    session.do(Intent("back"))
    assert session.place is Place.TODAY
    assert not stage.players[0].is_playing
    assert stage.store.settings.get("Plover", LEVEL_SETTING) == session.sound.level_db
    assert stage.saved[-1].learner == "Plover"
    session.close()


@pytest.mark.parametrize("named", ["argument", "settings"])
def test_a_learner_named_at_the_start_begins_at_the_quietest_the_first_time(stage: Stage, named: str) -> None:
    if named == "argument":
        session = stage.session(settings=Settings(), learner="Dunlin")
    else:
        session = stage.session(settings=Settings(learner="Dunlin"))
    assert session.place is Place.SETUP
    assert session.sound.level_db == FIRST_START_DB
    session.close()


def test_a_level_left_loud_is_not_where_the_next_start_begins(stage: Stage) -> None:
    stage.store.settings.set("Heron", LEVEL_SETTING, 0.0)
    session = stage.session(learner="Heron")
    assert session.sound.level_db == LOUDEST_START_DB
    assert stage.players[0].levels_db == [LOUDEST_START_DB]
    session.close()


def test_an_empty_name_is_not_taken(stage: Stage) -> None:
    session = stage.session()
    for _ in range(20):
        session.do(Intent("erase"))
    session.do(Intent("type", "   "))
    session.do(Intent("accept name"))
    assert session.place is Place.LEARNERS
    session.do(Intent("type", "\x00\n"))
    assert session.typed == "   "
    session.close()


def test_another_learner_has_a_level_and_a_standing_of_their_own(stage: Stage, session: Session) -> None:
    session.do(Intent("level", 1))
    session.do(Intent("go", Place.LEARNERS))
    session.do(Intent("choose learner", "Avocet"))
    assert (session.learner, session.place) == ("Avocet", Place.SETUP)
    assert session.sound.level_db == FIRST_START_DB
    assert stage.store.settings.get("Heron", LEVEL_SETTING) == -24.0 + LEVEL_STEP_DB


# A rep.


def test_a_rep_sounds_plain_first_and_flips(stage: Stage, session: Session) -> None:
    begin(session)
    player = stage.players[0]
    assert player.is_playing
    assert player.sounding is Version.PLAIN
    session.do(Intent("flip"))
    session.do(Intent("hear", Version.PLAIN))
    session.do(Intent("hear", Version.PLAIN))
    assert player.flips == [Version.CHANGED, Version.PLAIN]
    answer(session, rightly=True)
    assert next(stage.store.log.attempts()).flips == 2


def test_an_answer_is_in_the_store_before_it_is_revealed(stage: Stage, session: Session) -> None:
    begin(session)
    stage.clock.pass_time(12.5)
    answer(session, rightly=False)
    assert session.place is Place.REVEAL
    (kept,) = stage.store.log.attempts()
    assert (kept.learner, kept.right) == ("Heron", False)
    assert kept.response_s == pytest.approx(12.5, abs=0.1)
    drill = session.drill
    assert drill is not None
    assert drill.truth is not None
    assert drill.said is not None
    assert drill.is_yours_ready
    session.do(Intent("hear", Version.YOURS))
    assert stage.players[0].sounding is Version.YOURS


def test_a_right_answer_is_not_played_as_a_version_of_its_own(stage: Stage, session: Session) -> None:
    begin(session)
    answer(session, rightly=True)
    session.do(Intent("hear", Version.YOURS))
    assert stage.players[0].sounding is Version.PLAIN
    assert stage.players[0].adds == []


def test_at_the_reveal_what_was_changed_can_be_heard_alone(stage: Stage, session: Session) -> None:
    begin(session, "level")
    player = stage.players[0]
    session.do(Intent("flip"))
    session.do(Intent("alone"))
    assert player.sounding is Version.CHANGED, "before the answer there is nothing alone"
    assert session.drill is not None
    assert session.drill.only_words == ""
    answer(session, rightly=False)
    rep = session.drill.rep
    assert rep is not None
    assert session.drill.only_words == f"only the {title_of(rep.change.edits[0].target)}"
    added = dict(player.adds)
    assert added.keys() == {Version.YOURS, Version.ALONE_PLAIN, Version.ALONE_CHANGED}
    alone = target_alone(rep)
    assert alone is not None
    for version, sound in zip((Version.ALONE_PLAIN, Version.ALONE_CHANGED), alone, strict=True):
        assert (added[version].samples == sound.samples).all()
    heard = []
    for intent in (
        Intent("alone"),
        Intent("flip"),
        Intent("flip"),
        Intent("hear", Version.PLAIN),
        Intent("alone"),
        Intent("alone"),
        Intent("hear", Version.YOURS),
        Intent("flip"),
    ):
        session.do(intent)
        heard.append(player.sounding)
    assert heard == [
        Version.ALONE_CHANGED,
        Version.ALONE_PLAIN,
        Version.ALONE_CHANGED,
        Version.ALONE_PLAIN,
        Version.PLAIN,
        Version.ALONE_PLAIN,
        Version.YOURS,
        Version.CHANGED,
    ]
    assert next(stage.store.log.attempts()).flips == 1, "what is heard after the answer is not counted"
    session.do(Intent("alone"))
    session.do(Intent("next"))
    wait_for_rep(session, sleep=time.sleep)
    assert (player.sounding, session.drill.is_alone_ready) == (Version.PLAIN, False)


def test_a_device_that_goes_while_the_target_is_alone_is_followed_by_one_where_it_is_alone_too(
    stage: Stage, session: Session
) -> None:
    begin(session, "compression")
    answer(session, rightly=True)
    session.do(Intent("alone"))
    stage.players[0].lose()
    session.tick()
    session.do(Intent("appeared"))
    heard = [stage.players[1].sounding]
    session.do(Intent("flip"))
    heard.append(stage.players[1].sounding)
    assert heard == [Version.ALONE_PLAIN, Version.ALONE_CHANGED]


def test_on_the_whole_mix_nothing_is_heard_alone(stage: Stage, session: Session) -> None:
    begin(session)
    assert session.drill is not None
    assert session.drill.rep is not None
    session.drill.rep = replace(session.drill.rep, change=Change((Edit(MIX, Bell(1000.0, 6.0)),)))
    answer(session, rightly=True)
    session.do(Intent("alone"))
    assert (session.drill.only_words, session.drill.is_alone_ready) == ("", False)
    assert stage.players[0].sounding is Version.PLAIN
    assert intent_for(session, "w") is None


def test_while_it_is_made_nothing_is_heard_alone_and_the_strip_says_so(stage: Stage) -> None:
    stage.know("Heron")
    later = LaterChores()
    session = stage.session(learner="Heron", chores=later)
    begin(session, "level")
    later.is_held = True
    answer(session, rightly=True)
    assert session.drill is not None
    assert intent_for(session, "w") is None
    session.do(Intent("alone"))
    assert stage.players[0].sounding is Version.PLAIN
    assert BEING_MADE in {one.words for one in drawn(session, LOOKS[0]).written}
    later.is_held = False
    session.tick()
    assert intent_for(session, "w") == Intent("alone")
    session.do(Intent("alone"))
    canvas = drawn(session, LOOKS[0])
    chosen = {one.key for one in canvas.controls if one.chosen}
    assert {"hear plain", "alone"} <= chosen
    assert "hear changed" not in chosen
    words = session.drill.only_words
    assert {"ONLY", words.removeprefix("only "), words} <= {one.words for one in canvas.written}
    assert {one.intent for one in canvas.controls if one.key in ("alone", "foot W")} == {Intent("alone")}
    session.close()


def test_without_a_device_what_was_changed_is_one_more_file_and_no_key(stage: Stage) -> None:
    stage.know("Heron")
    player = RecordingPlayer()
    session = stage.session(learner="Heron", open_sound=lambda _: (player, ""))
    begin(session, "level")
    answer(session, rightly=True)
    assert player.where
    assert [version for version, _ in player.adds] == [Version.ALONE_PLAIN, Version.ALONE_CHANGED]
    assert intent_for(session, "w") is None
    assert "alone" not in {one.key for one in drawn(session, LOOKS[0]).controls}
    session.close()


class LaterChores:
    """Does its chores when they are asked for, but none while it is held."""

    def __init__(self) -> None:
        self.is_held = False
        self._left: list[Callable[[], None]] = []

    def do(self, work: Callable[[], Any], then: Callable[[Any], None], failed: object) -> None:  # noqa: ARG002
        self._left.append(lambda: then(work()))

    def settle(self) -> bool:
        left = [] if self.is_held else self._left
        self._left = self._left[len(left) :]
        for chore in left:
            chore()
        return bool(left)


def test_enter_on_half_an_answer_asks_for_the_rest_and_keeps_what_is_picked(
    stage: Stage, session: Session
) -> None:
    begin(session, "level")
    form = session.drill.form if session.drill is not None else None
    assert form is not None
    which = form.fields[0].options[0]
    session.do(Intent("pick", {"which": which}))
    session.do(Intent("answer"))
    assert session.place is Place.REP
    assert (form.picks, form.group.key, session.focus) == ({"which": which}, "direction", "field:direction")
    assert list(stage.store.log.attempts()) == []


def test_what_is_picked_after_the_answer_changes_nothing(session: Session) -> None:
    begin(session)
    answer(session, rightly=True)
    form = session.drill.form if session.drill is not None else None
    assert form is not None
    before = dict(form.picks)
    for intent in (Intent("digit", 1), Intent("arrow", (0, -1)), Intent("answer"), Intent("give up")):
        session.do(intent)
    assert form.picks == before
    assert session.place is Place.REVEAL


def test_a_whole_block_ends_in_a_summary_and_then_today(stage: Stage, session: Session) -> None:
    begin(session)
    for number in range(REPS):
        wait_for_rep(session, sleep=time.sleep)
        answer(session, rightly=number % 2 == 0)
        session.do(Intent("next"))
    assert session.place is Place.SUMMARY
    assert session.drill is not None
    assert sum(mark.grade.right for mark in session.drill.block.marks) == REPS // 2
    session.do(Intent("done"))
    assert (session.place, session.drill, session.blocks.to_go_on) == (Place.TODAY, None, None)
    assert session.standing is not None
    assert session.standing.answers == pytest.approx(REPS)
    assert len(list(stage.store.log.attempts())) == REPS


# Pauses and ends.


def test_escape_pauses_and_asks_and_going_on_finds_everything_as_it_was(
    stage: Stage, session: Session
) -> None:
    begin(session)
    session.do(Intent("arrow", (1, 0)))
    form = session.drill.form if session.drill is not None else None
    assert form is not None
    picked = dict(form.picks)
    assert picked
    session.do(Intent("back"))
    assert session.over is Over.PAUSE
    assert not stage.players[0].is_playing
    session.do(Intent("resume"))
    assert session.over is None
    assert stage.players[0].is_playing
    assert session.drill is not None
    assert session.drill.form is not None
    assert session.drill.form.picks == picked


def test_a_block_left_in_the_middle_is_gone_on_with(session: Session) -> None:
    begin(session)
    codes = []
    for _ in range(3):
        wait_for_rep(session, sleep=time.sleep)
        answer(session, rightly=True)
        session.do(Intent("next"))
    wait_for_rep(session, sleep=time.sleep)
    drill = session.drill
    assert drill is not None
    assert drill.rep is not None
    codes.append(drill.rep.code)
    session.do(Intent("back"))
    session.do(Intent("leave block"))
    assert session.place is Place.TODAY
    assert session.blocks.to_go_on is not None
    assert session.blocks.reps_left == REPS - 3
    session.do(Intent("start"))
    wait_for_rep(session, sleep=time.sleep)
    assert session.drill is not None
    assert session.drill.rep is not None
    assert session.drill.rep.code == codes[0]
    assert session.drill.block.number == 4


def test_starting_afresh_leaves_the_old_block_and_loses_no_answer(stage: Stage, session: Session) -> None:
    begin(session)
    answer(session, rightly=True)
    session.do(Intent("leave block"))
    session.do(Intent("start new", ()))
    wait_for_rep(session, sleep=time.sleep)
    assert session.drill is not None
    assert session.drill.block.number == 1
    assert len(list(stage.store.log.attempts())) == 1


def test_a_break_is_suggested_after_twenty_minutes_of_listening_and_not_at_once_again(
    stage: Stage, session: Session
) -> None:
    begin(session)
    answer(session, rightly=True)
    stage.players[0].pass_time(BREAK_AFTER_S - 1.0)
    session.do(Intent("next"))
    assert session.over is None
    wait_for_rep(session, sleep=time.sleep)
    answer(session, rightly=True)
    stage.players[0].pass_time(2.0)
    session.do(Intent("next"))
    assert (session.over, session.place) == (Over.BREAK, Place.REVEAL)
    session.do(Intent("resume"))
    assert (session.over, session.place) == (None, Place.REP)
    wait_for_rep(session, sleep=time.sleep)
    answer(session, rightly=True)
    session.do(Intent("next"))
    assert session.over is None


def test_leaving_is_asked_about(session: Session) -> None:
    session.do(Intent("back"))
    assert (session.over, session.is_over) == (Over.LEAVE, False)
    session.do(Intent("resume"))
    assert not session.is_over
    session.do(Intent("back"))
    session.do(Intent("quit"))
    assert session.is_over


# Trouble.


def refusing(times: int, then: Callable[[Attempt], bool]) -> Callable[[Attempt], bool]:
    left = [times]

    def add(attempt: Attempt) -> bool:
        if left[0]:
            left[0] -= 1
            raise StoreError("the disk holding the store is full; make room and try again")
        return then(attempt)

    return add


def test_an_answer_the_store_refuses_stays_picked_and_is_kept_when_handed_in_again(
    stage: Stage, session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(stage.store.log, "add", refusing(1, stage.store.log.add))
    begin(session)
    answer(session, rightly=True)
    assert session.place is Place.REP
    assert session.notice is not None
    assert "The disk holding the store is full" in session.notice.words
    assert "still here" in session.notice.words
    session.do(Intent("answer"))
    assert session.place is Place.REVEAL
    assert session.notice is None
    assert len(list(stage.store.log.attempts())) == 1


def test_a_device_that_goes_is_told_of_once_and_the_next_one_goes_on(stage: Stage, session: Session) -> None:
    begin(session)
    session.do(Intent("flip"))
    session.do(Intent("digit", 4))
    old = stage.players[0]
    old.pass_time(100.0)
    old.lose("The sound device 'Interface 1' was removed.")
    session.tick()
    assert session.notice is not None
    assert session.notice.words.startswith("The sound device 'Interface 1' was removed.")
    assert session.notice.intent == Intent("reopen")
    session.do(Intent("appeared"))
    new = stage.players[1]
    assert old.is_closed
    assert session.notice is None
    assert (new.sounding, new.is_playing) == (Version.CHANGED, True)
    assert new.loads[0].keys() == old.loads[-1].keys()
    assert new.levels_db[-1] == session.sound.level_db
    assert session.sound.listened_s == pytest.approx(100.0)
    answer(session, rightly=True)
    assert session.place is Place.REVEAL


def test_without_a_device_it_says_where_the_sound_goes_and_tries_again_when_asked(stage: Stage) -> None:
    stage.know("Heron")
    said = ["There is no sound device on this machine. The sounds are written to sounds instead.", ""]

    def open_sound(settings: Settings) -> Any:
        player, _ = stage.open_sound(settings)
        return player, said.pop(0)

    session = stage.session(learner="Heron", open_sound=open_sound)
    assert session.notice is not None
    assert session.notice.words.startswith("There is no sound device on this machine.")
    assert session.notice.intent is not None
    session.do(session.notice.intent)
    assert session.notice is None
    assert len(stage.players) == 2
    session.close()


def test_a_device_that_appears_changes_nothing_while_ours_is_there(stage: Stage, session: Session) -> None:
    begin(session)
    session.do(Intent("appeared"))
    assert len(stage.players) == 1


def test_another_device_is_opened_when_it_is_chosen(stage: Stage, session: Session) -> None:
    session.do(Intent("go", Place.SETUP))
    assert session.devices == ("Interface 1", "Laptop")
    session.do(Intent("set", {"device": "Laptop"}))
    assert len(stage.players) == 2
    assert stage.players[0].is_closed
    assert stage.players[1].is_playing
    assert stage.saved[-1].device == "Laptop"


def test_a_block_that_cannot_be_made_is_left_with_the_reason(
    session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    def unheard(*_: object, **__: object) -> Any:
        raise Refused("a size of 9 dB was too small to be heard")

    monkeypatch.setattr("trainer.practice.running_order.deal", unheard)
    session.do(Intent("only", 0))
    wait(session, lambda: session.notice is not None, sleep=time.sleep)
    assert session.place is Place.TODAY
    assert session.notice is not None
    assert session.notice.words.startswith("A size of 9 dB was too small to be heard.")


def test_a_fault_beside_the_window_is_told_of(
    stage: Stage, session: Session, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def broken(**_: object) -> Any:
        raise RuntimeError("no such luck")

    monkeypatch.setattr(stage.store.sums, "tallies", broken)
    waiting = ThreadChores(wake=lambda: None)
    monkeypatch.setattr(session, "_chores", waiting)
    session.do(Intent("go", Place.PROGRESS))
    wait(session, lambda: session.notice is not None, sleep=time.sleep)
    waiting.close()
    assert session.notice is not None
    assert "no such luck" in session.notice.words
    assert "Every answer you gave is kept." in session.notice.words
    assert "RuntimeError" in capsys.readouterr().err


# Settings.


def test_settings_are_kept_as_they_are_changed(stage: Stage, session: Session) -> None:
    for intent in (Intent("light"), Intent("text", 1), Intent("text", 1), Intent("full screen")):
        session.do(intent)
    last = stage.saved[-1]
    assert (last.theme, last.text_percent, last.full_screen) == ("day", 150, True)
    for _ in range(5):
        session.do(Intent("text", 1))
    assert stage.saved[-1].text_percent == 175


def test_every_page_can_be_left_by_escape(session: Session) -> None:
    for place in (Place.PROGRESS, Place.SETUP, Place.LEARNERS):
        session.do(Intent("go", place))
        assert session.place is place
        session.do(Intent("back"))
        assert (session.place, session.over) == (Place.TODAY, None)


# What is due, and what one listens on.


def test_a_block_is_as_long_as_one_likes(stage: Stage) -> None:
    stage.store.log.add_all(
        [attempt(number, learner="Heron", at=BEGIN - timedelta(days=1)) for number in range(30)]
    )
    stage.know("Heron")
    session = stage.session(learner="Heron")
    counts = {}
    for _ in BLOCK_MINUTES:
        assert session.blocks.plan is not None
        counts[session.settings.block_minutes] = session.blocks.plan.count
        session.do(Intent("other length"))
    assert sorted(counts) == list(BLOCK_MINUTES)
    assert counts[3] < counts[8] < counts[15]
    assert session.settings.block_minutes == 8
    assert session.blocks.ready is not None
    assert session.blocks.ready.block.count == counts[8]


def test_another_setup_is_listened_on_from_the_next_block(stage: Stage, session: Session) -> None:
    keep_setup(stage.store, "Heron", Setup("laptop", "", NOMINAL_HZ[3:9], BEGIN))
    keep_setup(stage.store, "Heron", Setup("headphones", "", NOMINAL_HZ, BEGIN))
    session.do(Intent("go", Place.SETUP))
    assert session.device_words == "headphones · all ten octave bands"
    session.do(Intent("use setup", "laptop"))
    assert session.device_words == "laptop · 250 Hz to 8 kHz"
    assert session.blocks.ready is None
    session.do(Intent("back"))
    begin(session)
    answer(session, rightly=True)
    (kept,) = stage.store.log.attempts()
    assert kept.setup == "laptop"
    offered = {one["key"]: one["options"] for one in json.loads(kept.asked)}
    assert set(offered.get("band", ())) <= set(NOMINAL_HZ[3:9])


def test_why_a_block_came_is_said_only_of_one_that_was_due(stage: Stage, session: Session) -> None:
    session.do(Intent("start"))
    assert session.drill is not None
    assert session.blocks.plan_of(session.drill.block.sitting) is session.blocks.plan
    wait_for_rep(session, sleep=time.sleep)
    answer(session, rightly=True)
    session.do(Intent("leave block"))
    session.do(Intent("start"))  # goes on with it
    assert session.drill is not None
    assert session.blocks.plan_of(session.drill.block.sitting) is None
    begin(session, "compression")
    assert session.drill is not None
    assert session.blocks.plan_of(session.drill.block.sitting) is None
    assert len(list(stage.store.log.attempts())) == 1
