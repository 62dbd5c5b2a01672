"""The view: from a session to one drawn page; drawing changes nothing."""

from collections.abc import Callable

from trainer.playback.sdl import pygame
from trainer.window.canvas import Canvas
from trainer.window.keys import here
from trainer.window.page import Foot, page
from trainer.window.screens import (
    learners,
    over,
    progress,
    quizzes,
    rep,
    result,
    reveal,
    roster,
    season,
    setup,
    summary,
    today,
)
from trainer.window.session import Session
from trainer.window.state import Place
from trainer.window.words import minutes_words, where_words

Draw = Callable[[Canvas, pygame.Rect, Session], None]

BODIES: dict[Place, Draw] = {
    Place.LEARNERS: learners.draw,
    Place.SETUP: setup.draw,
    Place.TODAY: today.draw,
    Place.REP: rep.draw,
    Place.REVEAL: reveal.draw,
    Place.SUMMARY: summary.draw,
    Place.PROGRESS: progress.draw,
    Place.QUIZZES: quizzes.draw,
    Place.RESULT: result.draw,
    Place.ROSTER: roster.draw,
    Place.SEASON: season.draw,
}
TITLES: dict[Place, str] = {
    Place.PROGRESS: "Progress",
    Place.SETUP: "Setup",
    Place.SUMMARY: "Drill",
    Place.QUIZZES: "Quizzes",
    Place.ROSTER: "Roster",
    Place.SEASON: "Season",
}


def draw(canvas: Canvas, session: Session) -> None:
    """Draw the page the session is on, and what lies over it."""
    left, middle, right = _head(session)
    body = page(canvas, left=left, middle=middle, right=right, foot=_foot(session), notice=session.notice)
    BODIES[session.place](canvas, body, session)
    over.draw(canvas, session)


def _head(session: Session) -> tuple[str, str, str]:
    if session.place in (Place.REP, Place.REVEAL) and session.drill is not None:
        return _drill_head(session)
    right = session.device_words if session.place is not Place.LEARNERS else ""
    result = session.quizzes.result
    if session.place is Place.RESULT and result is not None:
        return f"Quiz · {result.quiz.title}", "", session.called
    season = session.season
    if session.place is Place.SEASON and season is not None and season.plan is not None:
        return f"Season · {season.plan.title}", "", session.called
    return TITLES.get(session.place, "Yardline"), session.called, right


def _drill_head(session: Session) -> tuple[str, str, str]:
    drill = session.drill
    assert drill is not None, "only a drill has a rep"
    block = drill.block
    shown = len(block.marks) + (drill.outcome is None)
    left_s = (block.count - len(block.marks)) * (session.standing.rep_s if session.standing else 34.0)
    left_words = f"{minutes_words(left_s)} left" if left_s else ""
    if drill.quiz is not None:
        return f"Item {shown} of {block.count} · {drill.quiz.title}", "", left_words
    middle = f"rep {shown} of {block.count}"
    if drill.rep is None:
        return "Drill", middle, ""
    right = " · ".join(filter(None, (where_words(drill.rep), left_words)))
    return f"Drill · {drill.rep.exercise.title}", middle, right


def _foot(session: Session) -> Foot:
    """Return the keys that work here and now; those with one meaning can be pressed on the foot as well."""
    shown = []
    for binding in here(session):
        if binding.in_foot:
            is_one = not callable(binding.intent)
            shown.append(
                (
                    binding.cap,
                    binding.words_for(session),
                    binding.intent_of(binding.keys[0]) if is_one else None,
                )
            )
    return shown
