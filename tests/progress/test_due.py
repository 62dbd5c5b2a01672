"""What is due: what T75 is told in every day, the rest by turns, and some kinds of question only later on."""

from dataclasses import replace
from datetime import date, timedelta

from tests.progress.made_up import START, attempt
from trainer.practice.catalogue import load
from trainer.progress.due import plan_among
from trainer.progress.thresholds.ear import after, new_ear

TODAY = START.date()
EXERCISES = {key: load()[key] for key in ("compression", "level", "octave-tone")}
LATE = replace(EXERCISES["level"], key="late", from_answers=30)


def plan(answers: int, day: date = TODAY, **more: object) -> tuple[str, ...]:
    ear = new_ear()
    for number in range(1, answers + 1):
        ear = after(ear, attempt(number))
    there = EXERCISES | {key: exercise for key, exercise in more.items()}
    return plan_among(ear, there, today=day, minutes=15, rep_s=30.0).exercises  # type: ignore[arg-type]


def test_a_newcomer_begins_with_what_t75_is_told_in_and_meets_a_few_of_the_rest() -> None:
    assert plan(0, late=LATE) == ("octave-tone", "compression", "level")


def test_what_needs_some_answers_comes_when_there_are_so_many() -> None:
    assert "late" not in plan(29, late=replace(LATE, scopes=("mix",)))
    assert "late" in plan(30, late=LATE, level=EXERCISES["octave-tone"])


def test_only_what_t75_is_told_in_comes_every_day_whatever_else_is_asked_on_the_mix() -> None:
    """Another exercise of the mix goes by turns like the rest."""
    thirds = replace(EXERCISES["octave-tone"], key="thirds")
    assert plan(60, TODAY + timedelta(days=1), thirds=thirds)[0] == "octave-tone"
    ear = new_ear()
    for number in range(1, 60):
        ear = after(ear, attempt(number, exercise="thirds"))
    there = {"thirds": thirds, "octave-tone": EXERCISES["octave-tone"]}
    assert plan_among(ear, there, today=TODAY, minutes=15, rep_s=30.0).exercises == ("octave-tone",)


def test_where_nothing_has_come_yet_everything_there_is_may_be_drilled() -> None:
    assert plan_among(new_ear(), {"late": LATE}, today=TODAY, minutes=3, rep_s=30.0).exercises == ("late",)
