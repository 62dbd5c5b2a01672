"""The assembly: joins the rooms into one program; the only place that knows them all."""

import uuid
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime
from functools import cached_property, partial
from pathlib import Path
from threading import Event

from numpy.random import Generator, default_rng

from trainer.ensemble.bank import NoteBank
from trainer.ensemble.lending import lent
from trainer.ensemble.shows import GeneratedShow, Show, generated_shows
from trainer.practice import catalogue
from trainer.practice.ahead import Deal, dealt_ahead
from trainer.practice.attempt import Attempt
from trainer.practice.block import Block, mark_of
from trainer.practice.deal import Rep, deal
from trainer.practice.exercise import Focus, Scope
from trainer.practice.rep_code import MOST_SEED, RepSpec, decode
from trainer.practice.running_order import Propose, around_start, deals_of
from trainer.practice.sitting import Sitting
from trainer.progress.due import Plan, plan_among
from trainer.progress.listening_level import level_left_db
from trainer.progress.places import data_folder, place_for_store
from trainer.progress.proposals import proposals_of
from trainer.progress.replay import ear_of
from trainer.progress.setups import Setup, chosen_setup, listening_on
from trainer.progress.sittings import answered_of, keep_answer, sitting_left, tidy_away
from trainer.progress.store import Store, open_store
from trainer.refusal import Refused
from trainer.season.quiz import Quiz, QuizItem, quiz_with_uid
from trainer.season.quiz_draw import drawn, items_of
from trainer.season.quiz_sittings import quiz_deals, quiz_sitting
from trainer.season.quiz_wish import QuizWish


def utc_now() -> datetime:
    """Return the time, in UTC."""
    return datetime.now(UTC)


def new_uid() -> str:
    """Return a new UUID as 32 hex digits."""
    return uuid.uuid4().hex


@dataclass(frozen=True, slots=True)
class _Course:
    """What a sitting asks: its deals, place by place, what hears each answer, and the keys of a quiz's items."""

    deals: Sequence[Deal]
    take: Callable[[Attempt], object] = lambda _: None
    quiz_items: tuple[str, ...] = ()


@dataclass
class Assembly:
    """The parts of one run of the program, each made when it is first needed.

    ``environ`` says where the memory lives; ``rng`` deals; ``now`` and ``uid`` are the clock and the source
    of UUIDs.
    """

    environ: Mapping[str, str]
    rng: Generator = field(default_factory=default_rng)
    now: Callable[[], datetime] = utc_now
    uid: Callable[[], str] = new_uid

    @cached_property
    def catalogue(self) -> catalogue.Catalogue:
        """The exercises."""
        return catalogue.load()

    @cached_property
    def shows(self) -> dict[str, GeneratedShow]:
        """The shows by key; they share one note bank."""
        return generated_shows(NoteBank())

    @property
    def folder(self) -> Path:
        """The folder that holds the memory."""
        return data_folder(environ=self.environ)

    def show(self, key: str) -> GeneratedShow:
        """Return a show.

        Raises
        ------
        Refused
            If there is none of this key.
        """
        if key not in self.shows:
            raise Refused(f"there is no show {key!r}; there are {', '.join(self.shows)}")
        return self.shows[key]

    def open_store(self) -> Store:
        """Open the store, its folder made if need be."""
        return open_store(place_for_store(environ=self.environ), now=self.now())

    def rep(
        self, exercise: str, *, show: str, seed: int, size: float | None = None, scope: Scope | None = None
    ) -> Rep:
        """Return a rep of an exercise; its size is the ladder's start where none is given."""
        found = self.catalogue[exercise]
        focus = Focus(size=found.ladder.start if size is None else size, scope=scope)
        return deal(RepSpec(exercise, show, seed, focus), found, self.show(show))

    def rebuilt(self, code: str) -> Rep:
        """Return the rep a code stands for."""
        spec = decode(code)
        return deal(spec, self.catalogue[spec.exercise], self.show(spec.show))

    def plan(self, store: Store, learner: str, *, minutes: float, rep_s: float) -> Plan:
        """Return the block that is due for a learner today, so many minutes long at so many seconds a rep."""
        today = self.now().date()
        ear = ear_of(store, learner, today=today)
        return plan_among(ear, self.catalogue.exercises, today=today, minutes=minutes, rep_s=rep_s)

    def new_sitting(
        self,
        learner: str,
        exercises: Sequence[str],
        show: str,
        count: int,
        size: float | None = None,
        *,
        is_adapted: bool = True,
    ) -> Sitting:
        """Return a sitting to begin a block with; its sizes follow the learner's ear, but for one given."""
        seed = int(self.rng.integers(MOST_SEED))
        return Sitting(self.uid(), learner, tuple(exercises), show, count, seed, size, self.now(), is_adapted)

    def open_sitting(self, store: Store, learner: str) -> Sitting | None:
        """Return the sitting a learner left in the middle, if there is one that can be gone on with."""
        sitting = sitting_left(store, learner)
        try:
            if sitting is not None:
                self._deals(sitting, around_start, lambda: True)
        except Refused:  # its exercises or its show are no longer there
            return None
        return sitting

    def new_quiz(self, wish: QuizWish, *, told: Callable[[int], object] = lambda _: None) -> Quiz:
        """Return a quiz as it was wished for: every item is made once, to be sure that it can be heard."""
        reps = drawn(wish, self.catalogue.exercises, self.show(wish.show))
        return Quiz(self.uid(), wish.title, self.now(), items_of(reps, told=told))

    def quiz_reps(self, quiz: Quiz) -> Iterator[Rep]:
        """Yield the reps of a quiz's items, in their order, each made now."""
        return map(self.rebuilt, (item.code for item in quiz.items))

    def quiz_sitting(self, store: Store, quiz: Quiz, learner: str) -> Sitting:
        """Return the sitting in which a learner takes a quiz; `Refused` if they have had all they are allowed."""
        return quiz_sitting(store, quiz, learner, uid=self.uid(), now=self.now())

    @contextmanager
    def block(self, store: Store, sitting: Sitting) -> Iterator[Block]:
        """Give the block of a sitting, from its first rep that was not answered; that one is begun at once.

        Raises
        ------
        Refused
            If its reps cannot be made: an exercise or the show is no longer there, or the size is off a ladder.
        """
        answered, left = answered_of(store, sitting), Event()
        setup = chosen_setup(store, sitting.learner)
        course = self._course(store, sitting, answered, setup, left.is_set)

        def remember(attempt: Attempt) -> None:
            keep_answer(store, sitting, attempt, is_first=not block.marks)
            course.take(attempt)

        with dealt_ahead(course.deals[len(answered) :]) as reps:
            block = Block(
                sitting,
                reps=reps,
                remember=remember,
                now=self.now,
                new_uid=self.uid,
                marks=map(mark_of, answered),
                setup="" if setup is None else setup.name,
                quiz_items=course.quiz_items,
            )
            try:
                yield block
            finally:
                left.set()
        if block.finished:
            tidy_away(store, sitting)

    def _course(
        self,
        store: Store,
        sitting: Sitting,
        answered: Sequence[Attempt],
        setup: Setup | None,
        is_over: Callable[[], bool],
    ) -> _Course:
        """Return what a sitting asks: a quiz's items, or what is proposed for the learner's ear."""
        if sitting.quiz:
            quiz = quiz_with_uid(store, sitting.quiz)
            deals = quiz_deals(quiz, made=partial(self._made, is_over=is_over))
            return _Course(deals, quiz_items=tuple(map(quiz.key_of, quiz.items)))
        listening = listening_on(setup, level_db=level_left_db(store, sitting.learner))
        proposals = proposals_of(store, sitting, answered, listening=listening)
        propose = proposals if sitting.is_adapted else partial(around_start, listening=listening)
        return _Course(self._deals(sitting, propose, is_over), proposals.take)

    def _deals(self, sitting: Sitting, propose: Propose, is_over: Callable[[], bool]) -> list[Deal]:
        """Return the deals of a drill; one that is under way when it is over ends soon."""
        exercises = [self.catalogue[key] for key in sitting.exercises]
        return deals_of(sitting, exercises, self._lent(sitting.show, is_over), propose=propose)

    def _made(self, item: QuizItem, *, is_over: Callable[[], bool]) -> Rep:
        """Return the rep of a quiz's item, on the show and of the exercise it names."""
        return deal(decode(item.code), self.catalogue[item.exercise], self._lent(item.show, is_over))

    def _lent(self, show: str, is_over: Callable[[], bool]) -> Show:
        """Return a show on which a deal that is no longer wanted ends soon."""
        return lent(self.show(show), is_over=is_over)
