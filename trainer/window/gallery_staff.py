"""The gallery's pages of a whole staff: quizzes, the season, the roster; what is on them is made for the purpose."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import timedelta

from trainer.practice.fields import OptionField
from trainer.practice.values import Answer
from trainer.season.answer_files import Returned, attempts_of
from trainer.season.plan import ShowDay, usual_plan
from trainer.season.plan_text import keep_plan, plan_of
from trainer.season.quiz import Quiz, QuizItem, keep_quiz
from trainer.season.quiz_wish import QuizWish, part_of
from trainer.season.roster import Role, add_member, roster_of
from trainer.window.control import Intent
from trainer.window.season_desk import SeasonSight
from trainer.window.session import Session
from trainer.window.state import Place

Wait = Callable[[Session], None]
"""Waits until a session's next rep is there."""

SEED = 5
TITLES = ("Week 3", "Week 2: bands of the full mix, and what the snares do", "Before band camp")
SHOWS = (
    (12, "Preview"),
    (33, "Regional"),
    (40, "Saltmarsh Open"),
    (61, "Championship, prelims"),
    (83, "Finals"),
)
NAMES = (
    "Plover", "Avocet", "Curlew", "Dunlin", "Sanderling", "Turnstone", "Lapwing", "Whimbrel", "Greenshank", "Redshank",
    "Bar-tailed Godwit of the second battery", "Ruff", "Knot", "Oystercatcher", "Ringed Plover", "Little Stint",
    "Phalarope", "Snipe",
)  # fmt: skip
STAFF = 5
SECTIONS = ("front ensemble", "battery", "woodwinds, second row", "")
TIMES_OVER = 10
"""How often the items of the long quizzes come again."""


def quiz_scenes(session: Session, wait: Wait) -> Iterator[str]:
    """Lead a session through the pages of quizzes; yield each one's name when it stands there."""
    yield from _without_quizzes(session)
    short, taken = _keep_quizzes(session)
    session.do(Intent("go", Place.QUIZZES))
    session.do(Intent("take quiz", short.uid))
    wait(session)
    yield "rep-quiz"
    session.do(Intent("back"))
    yield "pause-quiz"
    session.do(Intent("leave block"))
    session.do(Intent("take quiz", taken.uid))
    yield "quizzes-refused"
    session.do(Intent("dismiss"))
    session.do(Intent("quiz result"))
    session.do(Intent("page", 1))
    yield "result"
    session.do(Intent("back"))
    session.do(Intent("row", 1))
    yield "quizzes"
    session.do(Intent("back"))


def staff_scenes(session: Session) -> Iterator[str]:
    """Lead a session through the roster and the season, without a plan and with one."""
    session.do(Intent("go", Place.SEASON))
    session.season = SeasonSight(None)
    yield "season-none"
    _keep_staff(session)
    session.do(Intent("go", Place.SEASON))
    yield "season"
    session.do(Intent("go", Place.ROSTER))
    session.do(Intent("sort", 5))
    yield "roster"
    rows = session.roster.rows
    session.roster.rows = tuple(
        replace(row, figures=row.figures if place < 2 else None) for place, row in enumerate(rows)
    )
    session.do(Intent("page", 1))
    yield "roster-reading"
    session.roster.rows = rows
    session.do(Intent("back"))


def _keep_staff(session: Session) -> None:
    """Keep a plan that is half over, and a roster of more than a page, where there is none."""
    now, store = session.now(), session.store
    start = now.date() - timedelta(days=46)
    shows = [ShowDay(start + timedelta(days=days), name) for days, name in SHOWS]
    if plan_of(store) is None:
        keep_plan(store, usual_plan(start, title="The Tide Tables", shows=shows), now=now)
    is_bare = len(roster_of(store).members) == 1
    for number, name in enumerate(NAMES):
        if is_bare:
            role: Role = "audio staff" if number < STAFF else "student"
            add_member(store, name, role=role, section=SECTIONS[number % len(SECTIONS)], now=now)


def _without_quizzes(session: Session) -> Iterator[str]:
    """Show the page that has nothing to show, where there is nothing yet."""
    session.do(Intent("go", Place.QUIZZES))
    entries, session.quizzes.entries = session.quizzes.entries, ()
    yield "quizzes-none"
    session.quizzes.entries = entries


def _keep_quizzes(session: Session) -> tuple[Quiz, Quiz]:
    """Keep a quiz to be taken, a long one that was taken, one that was left, and more; return the first two."""
    exercises, show, now = session.assembly.catalogue.exercises, session.settings.show, session.now()
    parts = tuple(part_of(exercise, items=1) for exercise in exercises.values())
    short = session.assembly.new_quiz(QuizWish(TITLES[0], show, SEED, parts))
    titles = enumerate((*TITLES[1:], *(f"Rookies {number}" for number in range(1, 7))), 1)
    long = replace(short, items=_again(short))
    quizzes = [
        replace(long, uid=session.assembly.uid(), title=title, made_at=now - timedelta(days=7 * week))
        for week, title in titles
    ]
    for quiz in (short, *quizzes):
        keep_quiz(session.store, quiz)
    for quiz, answered in zip(quizzes, (len(quizzes[0].items), 7), strict=False):
        returned = Returned(session.learner, now - timedelta(days=3), session.assembly.uid(), _answers(quiz))
        session.store.log.add_all(attempts_of(quiz, returned, exercises)[:answered])
    return short, quizzes[0]


def _again(quiz: Quiz) -> tuple[QuizItem, ...]:
    items = quiz.items * TIMES_OVER
    return tuple(replace(item, number=number) for number, item in enumerate(items, 1))


def _answers(quiz: Quiz) -> dict[int, Answer]:
    """Return answers of which every third is wrong, and every seventh missing."""
    return {item.number: _answer(item) for item in quiz.items if item.number % 7}


def _answer(item: QuizItem) -> Answer:
    further = item.number % 3 == 0
    return {
        one.key: one.options[
            (one.options.index(one.checked(item.answer[one.key])) + further) % len(one.options)
        ]
        for one in item.question.fields
        if isinstance(one, OptionField)
    }
