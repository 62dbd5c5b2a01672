"""A newcomer at the window: real keys and clicks on a real display, and what SDL's disk driver received.

Ten reps of all three exercises are answered twice: with the keyboard alone, and with the mouse, the power going
after the third answer, and keys and clicks in turn for some reps after that. What the screen said is held against what
was played.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from tests.heard import distance_db
from tests.window.driven import MISSING, Desk, screen
from trainer.assembly import Assembly
from trainer.practice.attempt import Attempt

pytestmark = pytest.mark.skipif(bool(MISSING), reason=f"not installed: {', '.join(MISSING)}")

REPS = 10
LOST_AFTER = 3
"""The reps that are answered before the power goes."""
IN_TURN = (3, 6, 9)
"""The reps, from 0, at which who works with the mouse takes the keyboard as well: the last of each exercise."""
LISTEN_S = 0.4
AS_PLAYED_DB = -60.0
"""How close what was played is to what was said to play: the level ramps and float32 leave this much."""


@dataclass
class Hands:
    """How somebody works the window: with ``keys``, with the ``mouse``, or with both in turn."""

    desk: Desk
    uses_keys: bool
    uses_mouse: bool
    done: int = 0

    def press(self, control: str, key: str) -> None:
        """Press a control, or the key that does the same."""
        self.done += 1
        by_key = self.uses_keys and (not self.uses_mouse or self.done % 2 == 0)
        if by_key:
            self.desk.key(key)
        else:
            self.desk.click(control)

    def fill_in(self) -> None:
        """Pick something in every group of the form, and answer."""
        desk = self.desk
        if self.uses_mouse:
            desk.look()
            stops = {entry[3]: name for name, entry in reversed(desk.page["controls"].items())}
            for stop, name in stops.items():
                if stop.startswith("field:"):
                    desk.click(name)
                    desk.wait(lambda name=name: desk.is_chosen(name), what=f"{name} chosen")
            self.press("Answer", "Return")
        else:
            while desk.page["place"] == "rep":
                before = desk.page["focus"]
                desk.key("Right", "Up", "Return")
                desk.wait(lambda before=before: self._has_moved_on(before), what="the next group")

    def _has_moved_on(self, before: str) -> bool:
        return bool(self.desk.page["place"] == "reveal" or self.desk.page["focus"] != before)


@dataclass
class Heard:
    """What was played while the screen said so, rep by rep."""

    code: str = ""
    sounds: dict[str, NDArray[np.float32]] = field(default_factory=dict)


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    with screen() as display:
        desk = Desk(tmp_path, display)
        yield desk
        desk.kill()


def begin(hands: Hands) -> None:
    """Come as a newcomer: take the name on offer, turn the level up, start today's block."""
    desk = hands.desk
    desk.wait_for("learners")
    hands.press("That is me", "Return")
    desk.wait_for("setup")
    assert any("comfortable level" in words for words in desk.page["words"])
    level_sound = desk.listen(seconds=0.5)
    assert 0.0 < np.max(np.abs(level_sound)) < 10.0 ** (-30.0 / 20.0)
    for _ in range(3):
        hands.press("louder", "plus")
    hands.press("That is comfortable", "Return")
    desk.wait_for("today")
    hands.press("Start", "Return")


def answer_rep(hands: Hands, *, listens: bool) -> Heard:
    """Hear a rep both ways, answer it, and see it revealed."""
    desk, heard = hands.desk, Heard()
    desk.wait_for("rep", control="Answer")
    for version in ("plain", "changed"):
        if version == "changed":
            hands.press("hear changed", "space")
        desk.wait(
            lambda version=version: desk.is_chosen(f"hear {version}"), what=f"{version} shown as sounding"
        )
        if listens:
            heard.sounds[version] = desk.listen(seconds=LISTEN_S)
    hands.fill_in()
    desk.wait_for("reveal")
    heard.code = next(words for words in desk.page["words"] if words.startswith("rep code: "))[10:]
    if listens and "hear your answer" in desk.page["controls"]:
        desk.wait(lambda: "being made …" not in desk.page["words"], what="how the answer sounds")
        hands.press("hear your answer", "a")
        desk.wait(lambda: desk.is_chosen("hear your answer"), what="the own answer shown as sounding")
        heard.sounds["your answer"] = desk.listen(seconds=LISTEN_S)
    hands.press("Next", "Return")
    return heard


def attempts_in(folder: Path) -> list[Attempt]:
    with Assembly(environ={"YARDLINE_HOME": str(folder / "home")}).open_store() as store:
        return list(store.log.attempts())


@pytest.fixture(scope="module")
def rebuilder() -> Assembly:
    """Return another program, with a note bank of its own."""
    return Assembly(environ={})


def check_heard(heard: Heard, attempt: Attempt, rebuilder: Assembly) -> None:
    """Hold what was played against the rep as its code rebuilds it."""
    rep = rebuilder.rebuilt(heard.code)
    versions = {"plain": rep.plain, "changed": rep.changed}
    if "your answer" in heard.sounds:
        versions["your answer"] = rep.version_for(attempt.given_answer)
    for said, sound in heard.sounds.items():
        distances = {name: distance_db(sound, version.samples) for name, version in versions.items()}
        assert distances[said] < AS_PLAYED_DB, (said, distances)
        assert min(distances, key=lambda name: distances[name]) == said, (said, distances)


@pytest.mark.parametrize("hand", ["keyboard", "mouse"])
def test_a_newcomer_drills_a_block_and_hears_what_the_screen_says(
    hand: str, desk: Desk, rebuilder: Assembly
) -> None:
    hands = Hands(desk, uses_keys=hand == "keyboard", uses_mouse=hand == "mouse")
    begin(hands)
    heard: list[Heard] = []
    kinds: set[str] = set()
    for number in range(REPS):
        desk.wait_for("rep", control="Answer")
        kind = desk.page["words"][0]
        hands.uses_keys = hand == "keyboard" or number in IN_TURN
        heard.append(answer_rep(hands, listens=kind not in kinds))
        kinds.add(kind)
        if hand == "mouse" and number == LOST_AFTER - 1:
            desk.wait_for("rep")
            desk = go_on_after_a_power_cut(hands)
    desk.wait_for("summary")
    assert len(kinds) == 3, kinds
    hands.press("Done", "Return")
    desk.wait_for("today")
    hands.press("foot P", "p")
    desk.wait_for("progress")
    desk.wait(lambda: any("10 answers since" in words for words in said(desk)), what="ten answers")
    hands.press("foot Esc", "Escape")
    desk.wait_for("today")
    leave(hands)
    attempts = attempts_in(desk.folder)
    assert len(attempts) == REPS
    assert [one.rep_code for one in attempts] == [one.code for one in heard]
    assert {one.exercise for one in attempts} == {"octave-tone", "level", "compression"}
    for one, attempt in zip(heard, attempts, strict=True):
        if one.sounds:
            check_heard(one, attempt, rebuilder)


def said(desk: Desk) -> list[str]:
    """Return the words of the page, broken lines put together as well."""
    words = desk.page["words"]
    return [*words, " ".join(words)]


def go_on_after_a_power_cut(hands: Hands) -> Desk:
    """Lose the window, start it again, and go on where it was."""
    old = hands.desk
    old.kill()
    assert len(attempts_in(old.folder)) == LOST_AFTER
    old.capture.unlink()
    hands.desk = desk = Desk(old.folder, old.display)
    desk.wait_for("today", control="Go on")
    hands.press("Go on", "Return")
    desk.wait_for("rep", control="Answer")
    assert f"rep {LOST_AFTER + 1} of {REPS}" in desk.page["words"]
    return desk


def leave(hands: Hands) -> None:
    """Leave by the question that is asked."""
    if hands.uses_keys:
        hands.desk.key("Escape")
        hands.desk.wait_for("today", over="leave")
        hands.press("Leave", "Return")
    else:
        hands.press("foot Esc", "Escape")
        hands.desk.wait_for("today", over="leave")
        hands.press("Leave", "Return")
    assert hands.desk.close() == 0
