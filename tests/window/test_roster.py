"""The roster and the season in the window: everybody is there, read some at a time, each with their own figures."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import timedelta
from typing import Any

import pytest

from audio_demo.season.learners import LEARNERS
from audio_demo.season.simulate import Season
from tests.window.staged import Stage
from trainer.dsp.octave_bands import NOMINAL_HZ
from trainer.progress.ear_figures import ear_figures_of
from trainer.progress.figures.reaching import standing_of
from trainer.season.plan import Aims, SeasonPlan, ShowDay, usual_plan
from trainer.season.plan_standing import standings_of
from trainer.season.plan_text import keep_plan
from trainer.season.roster import add_member, archive_member, rename_member
from trainer.window.canvas import Canvas
from trainer.window.control import Intent
from trainer.window.gallery import LOOKS, drawn
from trainer.window.keys import intent_for
from trainer.window.roster_desk import AT_A_TIME
from trainer.window.session import Session
from trainer.window.state import Place

NAMES = tuple(f"Rookie {number:03d}" for number in range(1, 31))
DRILLED = LEARNERS[:2]


@dataclass
class WaitingChores:
    """Keeps chores until a test lets one be done."""

    waiting: list[tuple[Callable[[], Any], Callable[[Any], None]]] = field(default_factory=list)

    def do(self, work: Callable[[], Any], then: Callable[[Any], None], _: object) -> None:
        self.waiting.append((work, then))

    def settle(self) -> bool:
        return False

    def do_all(self) -> None:
        while self.waiting:
            self.do_one()

    def do_one(self) -> None:
        work, then = self.waiting.pop(0)
        then(work())


@pytest.fixture(scope="module")
def stage(tmp_path_factory: pytest.TempPathFactory) -> Stage:
    """Two who drilled for a fortnight, one who began, and a whole band of rookies who did not."""
    stage = Stage(tmp_path_factory.mktemp("home"))
    season = Season(stage.assembly.catalogue.exercises, stage.clock(), 2, 0)
    for traits in DRILLED:
        stage.know(traits.name)
        for attempts in season.attempts(traits):
            stage.store.log.add_all(attempts)
    for name in NAMES:
        add_member(stage.store, name, section="brass", now=stage.clock())
    add_member(stage.store, DRILLED[0].name, role="audio staff", now=stage.clock())
    return stage


@pytest.fixture(scope="module")
def opened(stage: Stage) -> Iterator[Session]:
    session = stage.session(learner=DRILLED[0].name)
    yield session
    session.close()


@pytest.fixture
def session(opened: Session) -> Session:
    """Return a session on the roster's page, sorted by role."""
    if opened.place is not Place.ROSTER:
        opened.do(Intent("go", Place.ROSTER))
    opened.do(Intent("sort", "role"))
    return opened


def press(session: Session, key: str) -> None:
    intent = intent_for(session, key)
    assert intent is not None, f"{key} does nothing on {session.place}"
    session.do(intent)


def words_on(canvas: Canvas) -> list[str]:
    return [one.words for one in canvas.written]


def shown_members(canvas: Canvas) -> list[str]:
    return [one.key.removeprefix("member ") for one in canvas.controls if one.key.startswith("member ")]


@pytest.mark.parametrize("by", ["keys", "mouse"])
def test_everybody_of_a_whole_band_is_reached_by_pages(session: Session, by: str) -> None:
    seen: list[str] = []
    for _ in range(4):
        canvas = drawn(session, LOOKS[0])
        seen += [name for name in shown_members(canvas) if name not in seen]
        if by == "keys":
            press(session, "pagedown")
        else:
            session.do(next(one.intent for one in canvas.controls if one.key == "page on"))
    assert len(seen) == len(NAMES) + len(DRILLED)


def test_the_figures_are_those_of_each_one_s_ear(stage: Stage, session: Session) -> None:
    """Held against the figures the progress page and the season book show, which come by another way."""
    rows = {row.member.learner: row.figures for row in session.roster.rows}
    for traits in DRILLED:
        tallies = stage.store.sums.tallies(learner=traits.name)
        figures = ear_figures_of(
            stage.store,
            traits.name,
            today=stage.clock().date(),
            tallies=tallies,
        )
        found = rows[traits.name]
        assert found is not None
        assert [one.t75_db for one in found.changes] == [one.t75_db for one in figures.bands]
        assert [one.missing for one in found.changes] == [one.missing for one in figures.bands]
        assert found.answers == len(list(stage.store.log.attempts(learner=traits.name)))
    rookie = rows[NAMES[0]]
    assert rookie is not None
    assert all(one.is_early for one in rookie.changes)
    assert "no answers yet" in words_on(drawn(session, LOOKS[0]))


def test_sorted_by_a_band_the_finest_ear_stands_first_and_who_is_too_early_last(session: Session) -> None:
    for key, place in (("5", 4), ("0", 9)):
        press(session, key)
        told = [
            row.figures.changes[place].t75_db
            for row in session.roster.rows
            if row.figures and row.figures.answers
        ]
        assert told == sorted(told)
        first = [row.member.learner for row in session.roster.rows[: len(DRILLED)]]
        assert set(first) == {traits.name for traits in DRILLED}
        assert session.roster.listing.at == 0
    press(session, "n")
    names = [row.member.name for row in session.roster.rows]
    assert names == sorted(names)
    press(session, "n")
    assert session.roster.rows[0].member.role == "audio staff"


def test_enter_on_a_member_lets_them_be_the_learner(session: Session) -> None:
    press(session, "n")
    names = [row.member.learner for row in session.roster.rows]
    for _ in range(names.index(DRILLED[1].name)):
        press(session, "down")
    press(session, "return")
    assert (session.learner, session.place) == (DRILLED[1].name, Place.TODAY)
    session.do(Intent("go", Place.ROSTER))
    canvas = drawn(session, LOOKS[0])
    session.do(next(one.intent for one in canvas.controls if one.key == f"member {shown_members(canvas)[0]}"))
    assert session.learner == shown_members(canvas)[0]


def test_who_was_renamed_shows_under_the_new_name_and_who_was_archived_does_not(
    stage: Stage, session: Session
) -> None:
    rename_member(stage.store, NAMES[7], "Turnstone", now=stage.clock())
    archive_member(stage.store, NAMES[8], now=stage.clock())
    session.do(Intent("go", Place.ROSTER))
    shown = {row.member.name: row.member.learner for row in session.roster.rows}
    assert shown["Turnstone"] == NAMES[7]
    assert NAMES[8] not in shown
    assert any(words.endswith("1 archived not shown") for words in words_on(drawn(session, LOOKS[0])))


def test_figures_are_read_some_at_a_time_and_no_further_once_the_page_is_left(stage: Stage) -> None:
    chores = WaitingChores()
    session = stage.session(learner=DRILLED[0].name, chores=chores)
    chores.do_all()
    session.do(Intent("go", Place.ROSTER))
    everybody = len(session.roster.rows)
    assert f"Reading figures: 0 of {everybody}" in words_on(drawn(session, LOOKS[0]))
    chores.do_one()
    assert session.roster.read == AT_A_TIME
    chores.do_one()
    assert f"Reading figures: {2 * AT_A_TIME} of {everybody}" in words_on(drawn(session, LOOKS[0]))
    session.do(Intent("back"))
    chores.do_all()
    assert session.roster.read <= 3 * AT_A_TIME
    session.do(Intent("go", Place.ROSTER))
    chores.do_all()
    assert session.roster.read == everybody
    session.player.close()


# The season.


def plan_for(stage: Stage) -> SeasonPlan:
    start = stage.clock().date() - timedelta(days=10)
    shows = [ShowDay(start + timedelta(days=3), "Preview"), ShowDay(start + timedelta(days=80), "Finals")]
    plan = usual_plan(start, title="The Tide Tables", shows=shows)
    aims = tuple(float(size_db) for size_db in (15, 12, 9, 8, 7, 6, 5, 4, 3, 2))
    return SeasonPlan(
        plan.title,
        plan.starts_on,
        plan.ends_on,
        plan.rehearsals,
        plan.shows,
        (Aims(1, aims),),
        plan.block_minutes,
    )


def test_the_season_page_says_how_to_make_a_plan_and_then_shows_it(stage: Stage, session: Session) -> None:
    """The chances are held against what `yardline season aims` tells."""
    session.do(Intent("choose learner", DRILLED[0].name))
    press(session, "w")
    assert "yardline season new" in " ".join(words_on(drawn(session, LOOKS[0])))
    plan = plan_for(stage)
    keep_plan(stage.store, plan, now=stage.clock())
    press(session, "escape")
    press(session, "w")
    canvas = drawn(session, LOOKS[0])
    words = words_on(canvas)
    assert "Season · The Tide Tables" in words
    assert {"Preview", "Finals", "today"} <= set(words)
    assert {f"aim {size_db:.1f}" for size_db in plan.aims_in(2)} <= set(words)
    places = {one.words: one.rect.left for one in canvas.written}
    assert places["Preview"] < places["today"] < places["Finals"]
    assert session.season is not None
    (standing,) = [
        one
        for one in standings_of(
            stage.store,
            plan,
            today=stage.clock().date(),
            members=[row.member for row in session.roster.rows if row.member.name == DRILLED[0].name],
        )
    ]
    assert session.season.aims == standing.aims
    assert session.season.words == standing.words
    for said in ("on track", "behind"):
        expected = sum(standing_of(aim.chance) == said for aim in standing.aims)
        assert sum(one.startswith(f"{said}, ") for one in words) == expected
    assert len(standing.aims) == len(NOMINAL_HZ)
