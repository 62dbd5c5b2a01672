"""The season book: every page worked out from the store, for `trainer.reports` to draw."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from trainer.practice.sitting import BLOCK_MINUTES
from trainer.progress.ear_figures import EarFigures, figures_of
from trainer.progress.replay import Heard, Replayed
from trainer.progress.roster_replay import replayed_all
from trainer.progress.season_counts import NOTHING_SAID, Done, Said, SeasonDone
from trainer.progress.store import Store
from trainer.progress.tallies import Tally
from trainer.progress.thresholds.belief import Belief
from trainer.season.advice import advice_words
from trainer.season.pages import Book, LearnerPage, RosterPage, RosterRow, WeekDone
from trainer.season.plan import WEEK_DAYS, SeasonPlan
from trainer.season.plan_standing import aims_of, standing_words
from trainer.season.plan_text import plan_of
from trainer.season.plan_words import season_words
from trainer.season.positions import positions_of
from trainer.season.quiz import quizzes_of
from trainer.season.quiz_results import quiz_page
from trainer.season.roster import Member, roster_of

TONE = "octave-tone"
NOTHING_DONE = SeasonDone(Done(), {})
Told = Callable[[int], object]
"""Hears how many learners' pages are worked out."""


@dataclass(frozen=True, slots=True)
class Known:
    """What the pages are made from, read for everybody at once.

    Attributes
    ----------
    begins_on
        The first day of week 1: the plan's, or of the first answer of anybody.
    """

    plan: SeasonPlan | None
    today: date
    begins_on: date
    done: Mapping[str, SeasonDone]
    said: Mapping[str, Said]


def book_of(
    store: Store,
    *,
    today: date,
    title: str = "",
    heard: Heard = lambda _: None,
    told: Told = lambda _: None,
) -> Book:
    """Return the book of everybody on the roster who was not archived, as it is today.

    Parameters
    ----------
    title
        What is on its cover; the plan's title where none is given.
    heard
        Told now and then how many answers were replayed, where days were not kept yet.
    """
    roster, plan = roster_of(store), plan_of(store)
    known = known_of(store, plan, today=today)
    learners = [member.learner for member in roster.present]
    replays = replayed_all(store, learners, today=today, heard=heard)
    pages: list[LearnerPage] = []
    rows: list[RosterRow] = []
    beliefs: dict[str, Belief] = {}
    ears: dict[str, EarFigures] = {}
    for number, member in enumerate(roster.present, 1):
        replay = replays.pop(member.learner)
        tallies = store.sums.tallies(learner=member.learner)
        page = learner_page(member, replay, tallies, known)
        pages.append(page)
        rows.append(_row(page))
        beliefs[member.learner], ears[member.learner] = replay.now.belief, page.ear
        told(number)
    names = {member.learner: member.name for member in roster.members}
    quizzes = [(quiz, list(store.log.attempts(quiz=quiz.uid))) for quiz in quizzes_of(store)]
    return Book(
        title=title or (plan.title if plan is not None else "Season"),
        made_on=today,
        season=season_words(plan, today),
        learners=tuple(pages),
        roster=RosterPage(tuple(rows), positions_of(beliefs, ears, names)),
        quizzes=tuple(quiz_page(quiz, attempts, names=names) for quiz, attempts in quizzes if attempts),
    )


def known_of(store: Store, plan: SeasonPlan | None, *, today: date) -> Known:
    """Return what the pages of a book are made from."""
    begins_on = plan.starts_on if plan is not None else _first_monday(store) or today
    return Known(plan, today, begins_on, store.sums.done(since=begins_on), store.sums.said(exercise=TONE))


def _first_monday(store: Store) -> date | None:
    """Return the Monday of the week in which anybody first answered."""
    first = next(store.log.attempts(), None)
    if first is None:
        return None
    day = first.at.date()
    return day - timedelta(days=day.weekday())


def learner_page(member: Member, replay: Replayed, tallies: Sequence[Tally], known: Known) -> LearnerPage:
    """Return a learner's page."""
    ear, days = figures_of(replay, tallies), sorted({tally.day for tally in tallies})
    done = known.done.get(member.learner, NOTHING_DONE)
    said = known.said.get(member.learner, NOTHING_SAID)
    aims = aims_of(replay.now.belief, known.plan, known.today) if done.whole.answers else ()
    plan = known.plan
    return LearnerPage(
        name=member.name,
        role=member.role,
        section=member.section,
        ear=ear,
        answers=done.whole.answers,
        blocks=done.whole.blocks,
        days=len(days),
        first_day=days[0] if days else None,
        last_day=days[-1] if days else None,
        weeks=_weeks(done, known),
        confusions=said.bands,
        aims=aims,
        standing=standing_words(aims, {change.band_hz for change in ear.bands if change.is_early}),
        advice=advice_words(
            ear,
            said,
            aims,
            days=days,
            today=known.today,
            minutes=BLOCK_MINUTES[1] if plan is None else plan.block_minutes,
        ),
    )


def _weeks(done: SeasonDone, known: Known) -> tuple[WeekDone, ...]:
    """Return what was done week by week until this one; after the season's end until the last answers."""
    last = (known.today - known.begins_on).days // WEEK_DAYS
    if known.plan is not None:
        answered = max((week for week in done.weeks if week <= last), default=0)
        last = min(last, max(known.plan.weeks - 1, answered))
    counts = [(week, done.weeks.get(week, Done())) for week in range(last + 1)]
    return tuple(WeekDone(week + 1, count.answers, count.blocks) for week, count in counts)


def _row(page: LearnerPage) -> RosterRow:
    return RosterRow(
        name=page.name,
        role=page.role,
        section=page.section,
        ear=page.ear,
        answers=page.answers,
        last_day=page.last_day,
        standing=page.standing,
    )
