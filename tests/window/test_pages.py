"""The pages as they are drawn: whole, in their places, at every size; and drawing them changes nothing."""

import copy
import re
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from audio_demo.season.learners import LEARNERS
from audio_demo.season.simulate import Season
from tests.lengths import length
from tests.window.page_troubles import troubles_of
from tests.window.staged import Stage, wait_for_rep
from trainer.playback.sdl import pygame
from trainer.window.control import Intent
from trainer.window.gallery import LOOKS, Look, drawn, opening_page, scenes, trouble_page
from trainer.window.session import Session
from trainer.window.settings import Settings

WEEKS = 3
TELLING = re.compile(r"\d\.\d–\d|week 1|smallest change|too early")
"""Words of the learner's figures: beside a size that is heard they would give the band away."""
SEEN = length(tuple(LOOKS[place] for place in (0, 3, 5, 6)), full=LOOKS)
"""Every size with every size of text, each in one theme; YARDLINE_FULL_TESTS=1 takes both themes of each."""
DRAWN_TWICE = (LOOKS[0], LOOKS[3])
"""Night at 100 %, and day at 175 %."""


def snapshot(session: Session) -> object:
    """Return everything of a session that a drawing could change."""
    drill = session.drill
    kept = {name: value for name, value in vars(session).items() if not name.startswith("_")}
    form = copy.deepcopy((drill.form.picks, drill.form.active)) if drill is not None and drill.form else None
    calls = list(session.player.calls)
    return {name: value for name, value in kept.items()}, form, calls


@pytest.fixture(scope="module")
def session(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Session]:
    stage = Stage(tmp_path_factory.mktemp("home"))
    stage.know("Heron")
    season = Season(stage.assembly.catalogue.exercises, stage.clock(), WEEKS, 0)
    for attempts in season.attempts(LEARNERS[0]):
        stage.store.log.add_all(attempts)
    session = stage.session(learner="Heron")
    yield session
    session.close()


@pytest.fixture(scope="module")
def seen(session: Session) -> dict[tuple[str, str], list[str]]:
    """Return the troubles of every page in every look; some looks are drawn twice on the way."""
    found: dict[tuple[str, str], list[str]] = {}
    for name in scenes(session, sleep=time.sleep):
        for look in SEEN:
            before = snapshot(session)
            one = drawn(session, look)
            found[name, look.name] = list(troubles_of(one))
            if look in DRAWN_TWICE:
                again = drawn(session, look)
                if pygame.image.tobytes(one.surface, "RGB") != pygame.image.tobytes(again.surface, "RGB"):
                    found[name, look.name].append("drawn differently the second time")
            if name.startswith("rep-"):
                told = [text.words for text in one.written if TELLING.search(text.words)]
                found[name, look.name] += [f"tells of figures: {words!r}" for words in told]
            if snapshot(session) != before:
                found[name, look.name].append("drawing changed the session")
    return found


@pytest.mark.parametrize("look", SEEN, ids=lambda look: look.name)
def test_every_page_is_whole_and_drawing_changes_nothing(
    look: Look, seen: dict[tuple[str, str], list[str]]
) -> None:
    pages = {name: troubles for (name, its_look), troubles in seen.items() if its_look == look.name}
    assert len(pages) >= 20
    assert {name: troubles for name, troubles in pages.items() if troubles} == {}


@pytest.mark.parametrize("look", SEEN, ids=lambda look: look.name)
def test_the_first_frame_and_trouble_are_whole(look: Look) -> None:
    sentence = (
        "The store /home/heron/.local/share/yardline/yardline.sqlite is damaged or is not a store (file is not a "
        "database); it was kept as it is: move it aside to start afresh, or put a copy of it in its place."
    )
    for canvas in (opening_page(Settings(), look), trouble_page(Settings(), look, sentence)):
        assert list(troubles_of(canvas)) == []
        assert canvas.written


def test_the_looks_seen_are_every_size_with_every_text_and_both_themes() -> None:
    assert {(look.width, look.text_percent) for look in SEEN} == {(w.width, w.text_percent) for w in LOOKS}
    assert {look.theme for look in SEEN} == {look.theme for look in LOOKS}
    assert set(DRAWN_TWICE) <= set(SEEN)


def test_the_check_of_pages_sees_what_is_wrong() -> None:
    """The checks themselves: text that overlaps, is cut or lies outside, and controls that are too small."""
    canvas = opening_page(Settings(), LOOKS[0])
    canvas.write("over", (24, 88))
    canvas.write("far too long for this", (500, 690), width=20)
    canvas.write("out", (1270, 700))
    kinds = {trouble.split(":")[0] for trouble in troubles_of(canvas)}
    assert kinds == {"overlap of text", "cut", "outside"}


def test_the_check_of_pages_sees_the_learner_s_figures(session: Session) -> None:
    told = [one.words for one in drawn(session, LOOKS[0]).written if TELLING.search(one.words)]
    assert len(told) >= 5, "today's page tells many"


def test_no_version_shows_as_sounding_while_nothing_is_heard(tmp_path: Path) -> None:
    stage = Stage(tmp_path)
    stage.know("Heron")
    session = stage.session(learner="Heron")
    session.do(Intent("only", session.exercises.index("octave-tone")))
    wait_for_rep(session, sleep=time.sleep)

    def chosen() -> set[str]:
        canvas = drawn(session, LOOKS[0])
        return {one.key for one in canvas.controls if one.chosen and one.key.startswith("hear ")}

    assert chosen() == {"hear plain"}
    session.do(Intent("flip"))
    assert chosen() == {"hear changed"}
    stage.players[0].lose()
    assert chosen() == set()
    session.close()
