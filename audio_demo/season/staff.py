"""The staff's side of the season: a roster, a plan, and a quiz that all six took in the tenth week."""

import zlib
from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime, timedelta

from numpy.random import Generator, SeedSequence, default_rng

from audio_demo.season.answers import answer
from audio_demo.season.learners import LEARNERS, Ear, Traits
from audio_demo.season.simulate import SHOW, Season
from trainer.practice.band_scale import OCTAVE_SCALE
from trainer.practice.change import MIX
from trainer.practice.exercise import Exercise, Focus, Question
from trainer.practice.fields import BandField, DirectionField
from trainer.practice.rep_code import MOST_SEED, RepSpec, encode
from trainer.practice.values import Answer, number_in
from trainer.progress.store import Store
from trainer.season.answer_files import Returned
from trainer.season.plan import Aims, SeasonPlan, ShowDay, usual_plan
from trainer.season.plan_text import keep_plan
from trainer.season.quiz import Quiz, QuizItem, keep_quiz
from trainer.season.quiz_draw import foci_of
from trainer.season.quiz_marking import mark
from trainer.season.quiz_wish import part_of
from trainer.season.roster import Role, add_member

ROSTER: dict[str, tuple[Role, str]] = {
    "Heron": ("audio staff", "console"),
    "Plover": ("audio staff", "electronics"),
    "Avocet": ("student", "front ensemble"),
    "Curlew": ("guest", ""),
    "Dunlin": ("student", "battery"),
    "Sanderling": ("student", "brass"),
}
TITLE = "Saltmarsh Signal: The Tide Tables"
FIRST_AIM_DB, LAST_AIM_DB = 13.0, 7.0
QUIZ_WEEK, QUIZ_TITLE = 10, "Quiz of week 10"
QUIZ_SIZES = (6.0, 9.0)


def fill_staff(store: Store, exercises: Mapping[str, Exercise], season: Season) -> Quiz | None:
    """Put roster, plan and quiz into a store that holds the season; return the quiz, if the season is that long."""
    for name, (role, section) in ROSTER.items():
        add_member(store, name, role=role, section=section, since=season.start.date(), now=season.now)
    keep_plan(store, plan_of_season(season), now=season.now)
    if season.weeks < QUIZ_WEEK:
        return None
    day = 7 * (QUIZ_WEEK - 1) + 3
    quiz = quiz_of_season(
        exercises["octave-tone"], season, made_at=season.start + timedelta(days=day, hours=9)
    )
    keep_quiz(store, quiz)
    mark(store, quiz, [_answers(quiz, traits, season, day=day) for traits in LEARNERS], exercises)
    return quiz


def plan_of_season(season: Season) -> SeasonPlan:
    """Return the plan: the simulated weeks and one more, at whose end the finals are still to come."""
    start, weeks = season.start.date(), season.weeks + 1
    names = {max(1, weeks // 2): "Premiere", weeks: "Finals"}
    shows = [ShowDay(start + timedelta(days=7 * week - 2), name) for week, name in names.items()]
    plan = usual_plan(start, title=TITLE, ends_on=start + timedelta(days=7 * weeks - 1), shows=shows)
    aims = ((1, FIRST_AIM_DB), (weeks, LAST_AIM_DB))
    return replace(plan, aims=tuple(Aims(week, (size_db,) * len(OCTAVE_SCALE)) for week, size_db in aims))


def quiz_of_season(tone: Exercise, season: Season, *, made_at: datetime) -> Quiz:
    """Return the quiz: thirty octave tones on the full mix, three a band; no sound is made for it."""
    rng = default_rng(SeedSequence([season.seed, zlib.crc32(QUIZ_TITLE.encode())]))
    uid = rng.bytes(16).hex()
    foci = foci_of(part_of(tone, sizes=QUIZ_SIZES), tone, rng)
    items = tuple(_item(tone, focus, number, rng) for number, focus in enumerate(foci, 1))
    return Quiz(uid, QUIZ_TITLE, made_at, items)


def _item(tone: Exercise, focus: Focus, number: int, rng: Generator) -> QuizItem:
    seed, band_hz = int(rng.integers(MOST_SEED)), float(focus.band_hz or 0.0)
    text = "In the full mix: which octave band is boosted or cut?"
    question = Question(text, (BandField(), DirectionField()), MIX, focus.size, "mix")
    right: Answer = {"band": band_hz, "direction": "boost" if focus.direction == 1 else "cut"}
    code = encode(RepSpec(tone.key, SHOW, seed, focus))
    bands = {band_hz: 1.0}
    return QuizItem(
        number,
        tone.key,
        tone.title,
        code,
        SHOW,
        seed,
        tone.ladder.unit,
        question,
        right,
        bands,
        tone.kind("mix"),
    )


def _answers(quiz: Quiz, traits: Traits, season: Season, *, day: int) -> Returned:
    rng = default_rng(SeedSequence([season.seed, zlib.crc32(f"{traits.name} {QUIZ_TITLE}".encode())]))
    ear = Ear.of(traits, default_rng(SeedSequence([season.seed, zlib.crc32(traits.name.encode())])))
    answers: dict[int, Answer] = {
        item.number: answer(
            item.question,
            item.answer,
            threshold=ear.t75_db(number_in(item.answer, "band"), day=day),
            says_up=traits.says_up,
            rng=rng,
        )
        for item in quiz.items
    }
    return Returned(traits.name, season.start + timedelta(days=day, hours=18), "", answers)
