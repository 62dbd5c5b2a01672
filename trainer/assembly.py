"""The assembly: joins the rooms into one program; the only place that knows them all."""

import uuid
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from functools import cached_property, partial
from pathlib import Path
from threading import Event

from numpy.random import Generator, default_rng

from trainer.dsp.octave_bands import NOMINAL_HZ
from trainer.ensemble.bank import NoteBank
from trainer.ensemble.lending import lent
from trainer.ensemble.shows import GeneratedShow, Show, generated_shows
from trainer.playback.player import NoDevice, Player
from trainer.playback.wave_files import WaveFilePlayer
from trainer.practice import catalogue
from trainer.practice.ahead import Deal, dealt_ahead
from trainer.practice.attempt import Attempt
from trainer.practice.block import Block, Mark, mark_of
from trainer.practice.deal import Rep, deal
from trainer.practice.exercise import Focus, Scope
from trainer.practice.rep_code import MOST_SEED, RepSpec, decode
from trainer.practice.running_order import Propose, around_start, deals_of
from trainer.practice.sitting import Sitting, from_text, to_text
from trainer.progress.due import Plan, plan_of
from trainer.progress.errors import StoreError
from trainer.progress.places import data_folder, store_path
from trainer.progress.proposals import Proposals
from trainer.progress.replay import ear_of
from trainer.progress.setups import chosen_setup
from trainer.progress.store import Store, open_store
from trainer.progress.thresholds.ear import Ear
from trainer.refusal import Refused
from trainer.season.quiz import Quiz, QuizItem, allowed_sittings, quizzes_of, sittings_taken
from trainer.season.quiz_draw import drawn, items_of
from trainer.season.quiz_wish import QuizWish

LEVEL_SETTING = "listening-level-db"
FIRST_START_DB = -30.0
"""The listening level of somebody's first start: to be turned up from."""
LOUDEST_START_DB = -12.0
"""The loudest level any later start begins at: the headphones may be others by then."""

SITTING_SETTING = "open-sitting"
"""The sitting that a learner answered something of last."""
CLOCK_SLACK = timedelta(days=1)
"""How far a clock may have been put back since a sitting was begun."""


def utc_now() -> datetime:
    """Return the time, in UTC."""
    return datetime.now(UTC)


def new_uid() -> str:
    """Return a new UUID as 32 hex digits."""
    return uuid.uuid4().hex


def start_level_db(store: Store, learner: str) -> float:
    """Return the listening level to begin at: where the learner left it, but never loud."""
    left_at_db = store.settings.get(learner, LEVEL_SETTING, FIRST_START_DB)
    return min(float(FIRST_START_DB if left_at_db is None else left_at_db), LOUDEST_START_DB)


def chosen_player(
    wave: Path | None,
    *,
    fallback: Path,
    environ: Mapping[str, str],
    device_name: str | None = None,
    is_quick: bool = False,
) -> tuple[Player, str]:
    """Return a player, and what is to be said about it.

    Parameters
    ----------
    wave
        The folder that sounds are wanted in; None for the sound device.
    fallback
        The folder they are written to where there is no device.
    device_name
        The device; the default one where none is named.
    is_quick
        Whether flips are heard sooner, at the risk of gaps on a busy machine.
    """
    if wave is not None:
        return WaveFilePlayer(wave), f"The sounds are written to {wave}."
    from trainer.playback.device import CHUNK_FRAMES, FAST_CHUNK_FRAMES, open_player, prepare_process

    chunk_frames = FAST_CHUNK_FRAMES if is_quick else CHUNK_FRAMES
    try:
        player = open_player(environ=environ, device_name=device_name, chunk_frames=chunk_frames)
    except NoDevice as why:
        return WaveFilePlayer(fallback), f"{why} The sounds are written to {fallback} instead."
    prepare_process()
    return player, ""


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
        path = store_path(environ=self.environ)
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise Refused(
                f"the folder {path.parent} cannot be made ({error.strerror}): set YARDLINE_HOME to one that can"
            ) from error
        return open_store(path, now=self.now())

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

    @property
    def starts(self) -> dict[str, float]:
        """The size each exercise's ladder starts at."""
        return {key: exercise.ladder.start for key, exercise in self.catalogue.exercises.items()}

    def ear(self, store: Store, learner: str) -> Ear:
        """Return what is believed of a learner's ear now."""
        return ear_of(store, learner, starts=self.starts, today=self.now().date())

    def plan(self, store: Store, learner: str, *, minutes: float, rep_s: float) -> Plan:
        """Return the block that is due for a learner today, so many minutes long at so many seconds a rep."""
        exercises = self.catalogue.exercises
        tells_of_all_bands = [key for key in exercises if "mix" in exercises[key].scopes]
        others = [key for key in exercises if key not in tells_of_all_bands]
        ear = self.ear(store, learner)
        return plan_of(
            ear,
            (*tells_of_all_bands, *others),
            today=self.now().date(),
            minutes=minutes,
            rep_s=rep_s,
            daily=tells_of_all_bands,
        )

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

    def new_quiz(self, wish: QuizWish, *, told: Callable[[int], object] = lambda _: None) -> Quiz:
        """Return a quiz as it was wished for: every item is made once, to be sure that it can be heard."""
        reps = drawn(wish, self.catalogue.exercises, self.show(wish.show))
        return Quiz(self.uid(), wish.title, self.now(), items_of(reps, told=told))

    def quiz_reps(self, quiz: Quiz) -> Iterator[Rep]:
        """Yield the reps of a quiz's items, in their order, each made now."""
        return map(self.rebuilt, (item.code for item in quiz.items))

    def quiz_sitting(self, store: Store, quiz: Quiz, learner: str) -> Sitting:
        """Return the sitting in which a learner takes a quiz: the one they left in the middle, or a new one.

        Raises
        ------
        Refused
            If they have had all the sittings they are allowed.
        """
        taken = sittings_taken(store, quiz, learner)
        begun = next((one for one in taken if one.answered < len(quiz.items)), None)
        if begun is None and len(taken) >= allowed_sittings(store, quiz, learner):
            raise Refused(
                f"{learner} has taken {quiz.title!r} already, on {taken[-1].begun_at:%Y-%m-%d}; staff can allow "
                "another sitting with `yardline quiz allow`"
            )
        uid, begun_at = (self.uid(), self.now()) if begun is None else (begun.block, begun.begun_at)
        exercises = tuple(dict.fromkeys(item.exercise for item in quiz.items))
        show = quiz.items[0].show
        return Sitting(uid, learner, exercises, show, len(quiz.items), 0, None, begun_at, quiz=quiz.uid)

    def open_sitting(self, store: Store, learner: str) -> Sitting | None:
        """Return the sitting a learner left in the middle, if there is one that can be gone on with."""
        try:
            sitting = from_text(str(store.settings.get(learner, SITTING_SETTING, "")))
        except StoreError:
            raise
        except ValueError:  # nothing, or nothing that this version of the program has written
            return None
        if sitting.learner != learner or not 0 < len(self.marks(store, sitting)) < sitting.count:
            return None
        try:
            self._deals(sitting, is_over=lambda: True)
        except Refused:  # its exercises or its show are no longer there
            return None
        return sitting

    def marks(self, store: Store, sitting: Sitting) -> list[Mark]:
        """Return the marks of what was answered of a sitting so far."""
        return [mark_of(attempt) for attempt in self._answered(store, sitting)]

    def quiz(self, store: Store, uid: str) -> Quiz:
        """Return the quiz of a uid."""
        return next(quiz for quiz in quizzes_of(store) if quiz.uid == uid)

    def _answered(self, store: Store, sitting: Sitting) -> list[Attempt]:
        since = sitting.begun_at - CLOCK_SLACK
        return list(store.log.attempts(learner=sitting.learner, block=sitting.uid, since=since))

    @contextmanager
    def block(self, store: Store, sitting: Sitting) -> Iterator[Block]:
        """Give the block of a sitting, from its first rep that was not answered; that one is begun at once.

        Raises
        ------
        Refused
            If its reps cannot be made: an exercise or the show is no longer there, or the size is off a ladder.
        """
        answered, left = self._answered(store, sitting), Event()
        marks = [mark_of(attempt) for attempt in answered]
        setup = chosen_setup(store, sitting.learner)
        usable_hz = NOMINAL_HZ if setup is None else setup.usable_hz
        proposals = self._proposals(store, sitting, answered, usable_hz)
        propose = proposals if sitting.is_adapted else partial(around_start, usable_hz=usable_hz)
        quiz = self.quiz(store, sitting.quiz) if sitting.quiz else None

        def remember(attempt: Attempt) -> None:
            if not block.marks and quiz is None:
                store.settings.set(sitting.learner, SITTING_SETTING, to_text(sitting))
            store.log.add(attempt)
            proposals.take(attempt)

        deals = (
            self._deals(sitting, is_over=left.is_set, propose=propose)
            if quiz is None
            else self._quiz_deals(quiz, is_over=left.is_set)
        )
        with dealt_ahead(deals[len(marks) :]) as reps:
            block = Block(
                sitting,
                reps=reps,
                remember=remember,
                now=self.now,
                new_uid=self.uid,
                marks=marks,
                setup="" if setup is None else setup.name,
                quiz_items=() if quiz is None else tuple(map(quiz.key_of, quiz.items)),
            )
            try:
                yield block
            finally:
                left.set()
        if block.finished:
            self._tidy_away(store, sitting)

    def _tidy_away(self, store: Store, sitting: Sitting) -> None:
        """Forget that a finished sitting was begun; nothing hangs on it, so nothing is said where it fails."""
        with suppress(StoreError):
            if store.settings.get(sitting.learner, SITTING_SETTING) == to_text(sitting):
                store.settings.set(sitting.learner, SITTING_SETTING, "")

    def _proposals(
        self, store: Store, sitting: Sitting, answered: Sequence[Attempt], usable_hz: tuple[float, ...]
    ) -> Proposals:
        """Return what a sitting asks: it hangs on the log before it and its own answers, and on nothing else."""
        today, starts = sitting.begun_at.date(), self.starts

        def load() -> Ear:
            before = sitting.begun_at
            return ear_of(store, sitting.learner, starts=starts, today=today, before=before)

        return Proposals(load, today=today, starts=starts, usable_hz=usable_hz, answered=answered)

    def _deals(
        self, sitting: Sitting, *, is_over: Callable[[], bool], propose: Propose = around_start
    ) -> list[Deal]:
        """Return the deals of a sitting; one that is under way when it is over ends soon."""
        show = self._lent(sitting.show, is_over=is_over)
        exercises = [self.catalogue[key] for key in sitting.exercises]
        return deals_of(sitting, exercises, show, propose=propose)

    def _quiz_deals(self, quiz: Quiz, *, is_over: Callable[[], bool]) -> list[Deal]:
        """Return the deals of a quiz's items, in their order; one that fails is tried again as it is."""

        def dealt(item: QuizItem, _: int) -> Rep:
            show = self._lent(item.show, is_over=is_over)
            return deal(decode(item.code), self.catalogue[item.exercise], show)

        return [partial(dealt, item) for item in quiz.items]

    def _lent(self, show: str, *, is_over: Callable[[], bool]) -> Show:
        """Return a show on which a deal that is no longer wanted ends soon."""
        return lent(self.show(show), is_over=is_over)
