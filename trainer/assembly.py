"""The assembly: joins the rooms into one program; the only place that knows them all."""

import uuid
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime
from functools import cached_property
from itertools import cycle, islice
from pathlib import Path

from numpy.random import Generator, default_rng

from trainer.ensemble.bank import NoteBank
from trainer.ensemble.shows import GeneratedShow, generated_shows
from trainer.playback.player import NoDevice, Player
from trainer.playback.wave_files import WaveFilePlayer
from trainer.practice import catalogue
from trainer.practice.ahead import NextRep, dealt_ahead
from trainer.practice.block import Block
from trainer.practice.deal import Rep, deal
from trainer.practice.exercise import Focus, Scope
from trainer.practice.rep_code import MOST_SEED, RepSpec, decode
from trainer.progress.places import data_folder, store_path
from trainer.progress.store import Store, open_store
from trainer.refusal import Refused

LEVEL_SETTING = "listening-level-db"
FIRST_START_DB = -30.0
"""The listening level of somebody's first start: to be turned up from."""
LOUDEST_START_DB = -12.0
"""The loudest level any later start begins at: the headphones may be others by then."""


def utc_now() -> datetime:
    """Return the time, in UTC."""
    return datetime.now(UTC)


def new_uid() -> str:
    """Return a new UUID as 32 hex digits."""
    return uuid.uuid4().hex


def start_level_db(store: Store, learner: str) -> float:
    """Return the listening level to begin at: where the learner left it, but never loud."""
    left_at_db = store.get_setting(learner, LEVEL_SETTING, FIRST_START_DB)
    return min(float(FIRST_START_DB if left_at_db is None else left_at_db), LOUDEST_START_DB)


def chosen_player(wave: Path | None, *, fallback: Path, environ: Mapping[str, str]) -> tuple[Player, str]:
    """Return a player, and what is to be said about it.

    Parameters
    ----------
    wave
        The folder that sounds are wanted in; None for the sound device.
    fallback
        The folder they are written to where there is no device.
    """
    if wave is not None:
        return WaveFilePlayer(wave), f"The sounds are written to {wave}."
    from trainer.playback.device import open_player, prepare_process

    try:
        player = open_player(environ=environ)
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

    @contextmanager
    def block(
        self,
        store: Store,
        *,
        learner: str,
        exercises: Sequence[str],
        show: str,
        count: int,
        size: float | None = None,
    ) -> Iterator[Block]:
        """Give a block whose reps are dealt ahead and whose attempts go into the store."""
        deals = self._deals(exercises, show=show, count=count, size=size)
        with dealt_ahead(deals) as reps:
            yield Block(
                learner=learner, count=count, reps=reps, remember=store.add, now=self.now, new_uid=self.uid
            )

    def _deals(
        self, exercises: Sequence[str], *, show: str, count: int, size: float | None
    ) -> Iterator[NextRep]:
        """Give the deals of a block: its exercises in runs, every rep drawn afresh."""
        self.show(show)
        chosen = [self.catalogue[key] for key in exercises]
        for exercise in chosen:
            exercise.ladder.check(exercise.ladder.start if size is None else size)
        runs = sorted(islice(cycle(range(len(chosen))), count))
        order = self.rng.permutation(len(chosen))
        return (
            self._deal(chosen[order[place]].key, show=show, size=size, seed=int(self.rng.integers(MOST_SEED)))
            for place in runs
        )

    def _deal(self, exercise: str, *, show: str, size: float | None, seed: int) -> NextRep:
        ladder = self.catalogue[exercise].ladder
        if size is not None:
            return lambda: self.rep(exercise, show=show, seed=seed, size=size)
        drawn = ladder.around_start(self.rng)

        def made() -> Rep:
            try:
                return self.rep(exercise, show=show, seed=seed, size=drawn)
            except Refused:  # too small to be heard anywhere in this music: nobody asked for this very size
                return self.rep(exercise, show=show, seed=seed, size=ladder.easiest)

        return made
