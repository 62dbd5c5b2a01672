"""The season book's pages: every figure again from the attempts one by one, and who is in it and who is not."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest
from numpy.random import default_rng
from scipy.stats import norm

from audio_demo.season.learners import LEARNERS
from audio_demo.season.simulate import Season
from tests.progress.made_up import answered, uid_of
from tests.season.quizzes import EXERCISES, class_of, tone_quiz
from trainer.practice.attempt import Attempt
from trainer.practice.evidence import DIRECTION
from trainer.progress.ear_figures import ear_figures_of_attempts
from trainer.progress.figures import band_confusions, confusions
from trainer.progress.figures.improvement import Improvement
from trainer.progress.replay import replay, replayed
from trainer.progress.season_counts import Done
from trainer.progress.store import Store, open_store
from trainer.progress.thresholds.belief import BANDS
from trainer.progress.thresholds.ear import on_day
from trainer.season.answer_files import attempts_of, sitting_of
from trainer.season.book import book_of, known_of, learner_page
from trainer.season.pages import Book, LearnerPage, WeekDone
from trainer.season.plan import SeasonPlan, ShowDay, usual_plan
from trainer.season.plan_standing import standing_words
from trainer.season.plan_text import keep_plan
from trainer.season.quiz import keep_quiz
from trainer.season.roster import add_member, archive_member, rename_member, roster_of

NOW = datetime(2031, 3, 31, 12, tzinfo=UTC)
"""A Monday; the season ended the day before."""
TODAY = NOW.date()
WEEKS = 4
BEGINS = date(2031, 3, 3)
WHO = (LEARNERS[0], LEARNERS[1])


@pytest.fixture(scope="module")
def attempts() -> dict[str, list[Attempt]]:
    season = Season(EXERCISES, NOW, WEEKS, 3)
    return {traits.name: [one for week in season.attempts(traits) for one in week] for traits in WHO}


@pytest.fixture(scope="module")
def store(attempts: dict[str, list[Attempt]], tmp_path_factory: pytest.TempPathFactory) -> Iterator[Store]:
    path: Path = tmp_path_factory.mktemp("book") / "store.sqlite"
    with open_store(path, now=NOW) as store:
        for of_learner in attempts.values():
            store.log.add_all(of_learner)
        quiz = tone_quiz()
        keep_quiz(store, quiz)
        for returned in class_of(quiz, 3, default_rng(1)):
            store.log.add_all(
                attempts_of(quiz, replace(returned, sitting=sitting_of(quiz, returned.learner, 1)), EXERCISES)
            )
        add_member(store, "Heron", role="audio staff", section="brass", now=NOW)
        rename_member(store, "Heron", "Grey Heron", now=NOW + timedelta(seconds=1))
        add_member(store, "Sanderling", now=NOW)
        archive_member(store, "Student 03", now=NOW)
        keep_plan(
            store, usual_plan(BEGINS, title="The Tide Tables", shows=[ShowDay(TODAY, "Finals")]), now=NOW
        )
        yield store


@pytest.fixture(scope="module")
def book(store: Store) -> Book:
    return book_of(store, today=TODAY)


def page_of(book: Book, name: str) -> LearnerPage:
    (page,) = (page for page in book.learners if page.name == name)
    return page


def test_everybody_who_was_not_archived_has_a_page_and_a_line(book: Book) -> None:
    names = ["Grey Heron", "Sanderling", "Plover", "Student 01", "Student 02"]
    assert [page.name for page in book.learners] == [row.name for row in book.roster.rows] == names
    assert (page_of(book, "Grey Heron").role, page_of(book, "Grey Heron").section) == ("audio staff", "brass")
    assert book.title == "The Tide Tables"
    assert book.season == "3 March 2031 to 25 May 2031, week 5 of 12; next show: Finals, 31 March 2031"
    for page, row in zip(book.learners, book.roster.rows, strict=True):
        assert (row.ear, row.answers, row.last_day, row.standing) == (
            page.ear,
            page.answers,
            page.last_day,
            page.standing,
        )


@pytest.mark.parametrize(("learner", "name"), [("Heron", "Grey Heron"), ("Plover", "Plover")])
def test_counts_are_those_of_the_attempts_one_by_one(
    book: Book, attempts: dict[str, list[Attempt]], learner: str, name: str
) -> None:
    page, mine = page_of(book, name), attempts[learner]
    days = sorted({one.at.date() for one in mine})
    assert (page.answers, page.blocks, page.days) == (len(mine), len({one.block for one in mine}), len(days))
    assert (page.first_day, page.last_day) == (days[0], days[-1])
    weeks = Counter((one.at.date() - BEGINS).days // 7 + 1 for one in mine)
    blocks = Counter(
        week for week, _ in {((one.at.date() - BEGINS).days // 7 + 1, one.block) for one in mine}
    )
    assert [(one.week, one.answers, one.blocks) for one in page.weeks] == [
        (week, weeks[week], blocks[week]) for week in range(1, WEEKS + 2)
    ]
    assert page.confusions == band_confusions([one for one in mine if one.exercise == "octave-tone"])


@pytest.mark.parametrize(("learner", "name"), [("Heron", "Grey Heron"), ("Plover", "Plover")])
def test_the_ear_and_its_chances_are_those_of_the_log_replayed_whole(
    book: Book, attempts: dict[str, list[Attempt]], learner: str, name: str
) -> None:
    """The chances against scipy's normal distribution on ln T75."""
    page = page_of(book, name)
    assert page.ear == ear_figures_of_attempts(attempts[learner], today=TODAY)
    belief = on_day(replay(attempts[learner]), TODAY).belief
    aims_db = 8.0 * (5.5 / 8.0) ** (4 / 11)
    deviations = np.sqrt(np.diagonal(belief.covariance)[BANDS])
    theirs = norm.cdf((np.log(aims_db) - belief.mean[BANDS]) / deviations)
    assert [aim.aim_db for aim in page.aims] == pytest.approx([aims_db] * 10)
    assert [aim.chance for aim in page.aims] == pytest.approx(theirs, abs=1e-9)
    assert page.standing == standing_words(page.aims, ())


def test_a_hole_in_an_ear_is_what_its_advice_begins_with(book: Book) -> None:
    """Plover was made with thresholds three times as large at 250 Hz."""
    page = page_of(book, "Plover")
    assert page.advice.startswith(
        "Drill octave tone on the full mix, 8 minutes a day, and listen for 250 Hz ("
    )
    assert "times the change of the other bands" in page.advice
    assert isinstance(page.ear.improvement, Improvement)


def test_somebody_on_the_roster_without_answers_has_a_page_that_claims_nothing(book: Book) -> None:
    page = page_of(book, "Sanderling")
    assert (page.answers, page.blocks, page.days, page.first_day, page.last_day) == (0, 0, 0, None, None)
    assert (page.aims, page.standing) == ((), "")
    assert sum(page.confusions.asked) == 0
    assert page.advice.startswith("Has not drilled yet")
    assert all(change.is_early for change in page.ear.bands)
    assert [one.answers for one in page.weeks] == [0] * 5


def test_the_quiz_is_in_the_book_with_everybody_who_took_it(book: Book) -> None:
    (quiz,) = book.quizzes
    assert [score.name for score in quiz.scores] == ["Student 01", "Student 02", "Student 03"]
    assert page_of(book, "Student 01").answers == 30


def test_positions_are_filled_from_those_in_the_book(book: Book) -> None:
    names = {page.name for page in book.learners}
    for position in book.roster.positions:
        assert 1 <= len(position.candidates) <= 3
        assert {one.name for one in position.candidates} < names
        assert position.words


def test_idle_weeks_after_a_season_are_not_shown_and_none_before_it(store: Store) -> None:
    over = usual_plan(BEGINS, ends_on=BEGINS + timedelta(days=13))
    assert len(weeks_of(store, "Heron", over, TODAY + timedelta(days=100))) == WEEKS, "answers after it are"
    assert len(weeks_of(store, "Sanderling", over, TODAY + timedelta(days=100))) == 2
    assert len(weeks_of(store, "Sanderling", None, TODAY + timedelta(days=7))) == WEEKS + 2
    assert weeks_of(store, "Heron", usual_plan(TODAY + timedelta(days=30)), TODAY) == ()


def weeks_of(store: Store, name: str, plan: SeasonPlan | None, today: date) -> tuple[WeekDone, ...]:
    member, ear = roster_of(store).named(name), replayed(store, name, today=today)
    known = known_of(store, plan, today=today)
    return learner_page(member, ear, store.sums.tallies(learner=name), known).weeks


def test_how_many_pages_are_made_is_told(store: Store) -> None:
    told: list[int] = []
    book_of(store, today=TODAY, title="Week 5", told=told.append)
    assert told == [1, 2, 3, 4, 5]


def test_an_empty_store_makes_an_empty_book(tmp_path: Path) -> None:
    with open_store(tmp_path / "store.sqlite", now=NOW) as store:
        book = book_of(store, today=TODAY)
    assert (book.title, book.season, book.learners, book.quizzes) == ("Season", "No season plan yet.", (), ())
    assert {page.words for page in book.roster.positions} == {"Too early to tell of anybody."}


def test_giving_up_and_other_fields_are_counted_for_what_they_are(tmp_path: Path) -> None:
    """Against the same counts over the attempts, one by one."""
    given = [answered(1, band_hz=250.0, said_hz=500.0), answered(2, band_hz=250.0, said_hz=None)]
    given += [answered(3, band_hz=250.0, said_hz=250.0, said="cut"), answered(4, band_hz=63.0, said_hz=63.0)]
    given += [answered(5, band_hz=63.0, said_hz=63.0, exercise="level")]
    with open_store(tmp_path / "store.sqlite", now=NOW) as store:
        store.log.add_all(given)
        said = store.sums.said(exercise="octave-tone")["Heron"]
    assert said.bands == band_confusions(given[:4])
    assert said.directions == confusions(given[:4], of=DIRECTION, keys=("boost", "cut"))
    assert (said.bands.unsaid[3], said.bands.counts[3][4], said.directions.counts) == (1, 1, ((2, 1), (0, 0)))


def test_weeks_begin_on_any_weekday_and_a_block_over_midnight_is_one_in_all(tmp_path: Path) -> None:
    """Against the same counts over the attempts, one by one, weeks before the day included."""
    first = datetime(2031, 2, 3, tzinfo=UTC)
    given = [
        answered(n, band_hz=250.0, said_hz=250.0, at=first + timedelta(hours=7 * n), block=uid_of(n // 4))
        for n in range(1, 90)
    ]
    with open_store(tmp_path / "store.sqlite", now=NOW) as store:
        store.log.add_all(given)
        for later in range(7, 21):
            begins = first.date() + timedelta(days=later)
            done = store.sums.done(since=begins)["Heron"]
            pairs = [((one.at.date() - begins).days // 7, one.block) for one in given]
            answers, blocks = Counter(week for week, _ in pairs), Counter(week for week, _ in set(pairs))
            assert done.weeks == {week: Done(answers[week], blocks[week]) for week in answers}
            assert done.whole == Done(89, 23)
