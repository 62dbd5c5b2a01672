"""A session on a stage: noise instead of music, a recording player, a clock that tests turn, no display."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime
from functools import lru_cache
from pathlib import Path
from typing import Any

import numpy as np

from tests.clock import Clock
from tests.fakes import RecordingPlayer
from tests.noise_show import STEM_BANDS_HZ, noise_stem
from trainer.assembly import Assembly
from trainer.ensemble.excerpt import Excerpt
from trainer.ensemble.parts import PARTS
from trainer.ensemble.rooms import GYM
from trainer.progress.listening_level import keep_level
from trainer.progress.store import Store
from trainer.sound import Sound
from trainer.window.control import Intent
from trainer.window.gallery import PromptChores, wrong_value
from trainer.window.session import Session
from trainer.window.settings import Settings

BEGIN = datetime(2030, 9, 2, 18, tzinfo=UTC)


@lru_cache(maxsize=16)
def full_excerpt(seed: int) -> Excerpt:
    """Return noise for every part of the ensemble, so that every name has to find its place.

    The parts of a section swell together, so that a compressor has work on a section too.
    """
    bands = tuple(STEM_BANDS_HZ)
    stems = {
        part.key: _swelling(
            noise_stem(bands[number % len(bands)], seed=seed + 1000 * number), part.section, seed
        )
        for number, part in enumerate(PARTS)
    }
    return Excerpt("field-show", seed, "field show", GYM, stems)


def _swelling(sound: Sound, section: str, seed: int) -> Sound:
    swells_db = np.random.default_rng([seed, *section.encode()]).uniform(-30.0, 0.0, 6)
    return Sound.of(sound.samples * np.repeat(10.0 ** (swells_db / 20.0), sound.frames // 6)[:, None])


@dataclass(frozen=True)
class FullNoiseShow:
    """Excerpts of noise with all twenty stems."""

    key: str = "field-show"
    title: str = "field show"

    def excerpt(self, seed: int) -> Excerpt:
        """Return the excerpt of a seed; few are made, and used again."""
        return full_excerpt(seed % 4)


class AtTheDevice(RecordingPlayer):
    """A recording player that claims to sound at a device, not in files."""

    @property
    def where(self) -> str:
        return ""


@dataclass
class Stage:
    """Everything a session stands on; ``players`` are those it opened, in order."""

    home: Path
    clock: Clock = field(default_factory=lambda: Clock(BEGIN))
    players: list[AtTheDevice] = field(default_factory=list)
    saved: list[Settings] = field(default_factory=list)
    seed: int = 3

    def __post_init__(self) -> None:
        self.assembly = Assembly(
            environ={"YARDLINE_HOME": str(self.home)}, rng=np.random.default_rng(self.seed), now=self.clock
        )
        self.assembly.__dict__["shows"] = {"field-show": FullNoiseShow()}
        self.store: Store = self.assembly.open_store()

    def know(self, learner: str) -> None:
        """Let somebody have been here before."""
        keep_level(self.store, learner, level_db=-24.0)

    def open_sound(self, _: Settings) -> tuple[AtTheDevice, str]:
        """Open a player that only remembers."""
        self.players.append(AtTheDevice())
        return self.players[-1], ""

    def session(self, *, learner: str = "", chores: Any = None, **more: Any) -> Session:
        """Return a session on this stage."""
        return Session(
            assembly=self.assembly,
            store=self.store,
            chores=chores or PromptChores(),
            open_sound=more.pop("open_sound", self.open_sound),
            level_sound=_hush,
            devices=lambda: ("Interface 1", "Laptop"),
            settings=more.pop("settings", Settings()),
            learner=learner,
            save=self.saved.append,
            suggested_name="newcomer",
            now=self.clock,
            **more,
        )


def _hush() -> Sound:
    return Sound.of(np.zeros((4800, 2)))


def wait(session: Session, until: Callable[[], object], *, sleep: Callable[[float], None]) -> None:
    """Let the session take in what is done beside it until something is so."""
    for _ in range(6000):
        session.tick()
        if until():
            return
        sleep(0.005)
    raise AssertionError("waited in vain")


def wait_for_rep(session: Session, *, sleep: Callable[[float], None]) -> None:
    """Wait until the next rep is there."""
    wait(session, lambda: session.drill is not None and session.drill.rep is not None, sleep=sleep)


def answer(session: Session, *, rightly: bool) -> None:
    """Pick a right or a wrong answer and hand it in."""
    drill = session.drill
    rep = drill.rep if drill is not None else None
    assert rep is not None, "there is a rep to answer"
    for number, one in enumerate(rep.question.fields):
        right = rep.answer[one.key]
        session.do(Intent("pick", {one.key: right if rightly or number else wrong_value(one, right)}))
    session.do(Intent("answer"))
    session.tick()
