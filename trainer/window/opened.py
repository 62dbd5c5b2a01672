"""From the first frame to a session: what is heavy is loaded in a thread while the window already stands."""

import os
from collections.abc import Callable, Mapping
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from trainer.window.canvas import Canvas
from trainer.window.control import Intent
from trainer.window.settings import Settings, save_settings

if TYPE_CHECKING:
    from trainer.assembly import Assembly
    from trainer.playback.player import Player
    from trainer.practice.sitting import Sitting
    from trainer.progress.store import Store
    from trainer.window.chores import ThreadChores
    from trainer.window.session import Session

BeginWith = Callable[["Assembly", str], "Sitting"]
"""Makes a sitting for a learner."""

LEVEL_SOUND_S = 6.0
LEVEL_SOUND_SEED = 1
WAVES = "sounds"
"""The folder beside the store that sounds are written to where there is no device."""


@dataclass
class Opened:
    """A session and what draws it."""

    session: "Session"
    chores: "ThreadChores"

    @property
    def takes_text(self) -> bool:
        """Whether letters go into a name instead of being keys."""
        from trainer.window.state import Place

        return self.session.place is Place.LEARNERS and self.session.over is None

    def draw(self, canvas: Canvas) -> None:
        """Draw the page the session is on."""
        from trainer.window.view import draw

        draw(canvas, self.session)

    def intent_for(self, key: str) -> Intent | None:
        """Return what a key asks for here and now."""
        from trainer.window.keys import intent_for

        return intent_for(self.session, key)

    def notice(self, event: Any) -> None:
        """Pass on what SDL says of a sound device."""
        tell = getattr(self.session.player, "notice", None)
        if tell is not None:
            tell(event)

    def close(self) -> None:
        """Let go of everything."""
        self.session.close()
        self.chores.close()


@dataclass
class Opening:
    """Loads the program in a thread, then joins a session in the window's own."""

    environ: Mapping[str, str]
    folder: Path
    settings: Settings
    learner: str
    suggested_name: str
    begin_with: BeginWith | None = None
    seed: int | None = None
    wave: Path | None = None
    _worker: ThreadPoolExecutor = field(default_factory=lambda: ThreadPoolExecutor(2, "opening"))
    _loaded: "Future[tuple[Assembly, Store]] | None" = None
    _level_sound: "Future[Any]" = field(default_factory=Future)
    _wake: Callable[[], None] = lambda: None

    def begin(self, *, wake: Callable[[], None]) -> None:
        """Begin to load; ``wake`` is called when it is done."""
        self._wake = wake
        self._loaded = self._worker.submit(self._load)
        self._level_sound = self._worker.submit(_level_sound)
        self._loaded.add_done_callback(lambda _: wake())

    def opened(self) -> Opened | None:
        """Return a session once everything is loaded; None before that.

        Raises
        ------
        Refused
            If the memory cannot be opened.
        """
        if self._loaded is None or not self._loaded.done():
            return None
        assembly, store = self._loaded.result()
        self._loaded = None
        return self._joined(assembly, store)

    def _load(self) -> "tuple[Assembly, Store]":
        from numpy.random import default_rng

        import trainer.window.view  # noqa: F401 - loaded here, so that the window does not wait for it
        from trainer.assembly import Assembly

        assembly = Assembly(environ=self.environ, rng=default_rng(self.seed))
        store = assembly.open_store()
        assert assembly.catalogue.exercises, "there is nothing to drill without exercises"
        return assembly, store

    def _joined(self, assembly: "Assembly", store: "Store") -> Opened:
        from trainer.window.chores import ThreadChores
        from trainer.window.session import Session

        chores = ThreadChores(wake=self._wake)
        session = Session(
            assembly=assembly,
            store=store,
            chores=chores,
            open_sound=self._open_sound,
            level_sound=self._level_sound.result,
            devices=_devices,
            settings=self.settings,
            save=lambda settings: save_settings(self.folder, settings),
            learner=self.learner,
            suggested_name=self.suggested_name,
            begin_with=self.begin_with,
            now=assembly.now,
        )
        return Opened(session, chores)

    def _open_sound(self, settings: Settings) -> "tuple[Player, str]":
        from trainer.playback.choice import chosen_player

        return chosen_player(
            self.wave,
            fallback=self.folder / WAVES,
            environ=os.environ,
            device_name=settings.device or None,
            is_quick=settings.quick_flips,
        )


def _level_sound() -> Any:
    import numpy as np

    from trainer.dsp.programme_noise import programme_noise

    return programme_noise(duration_s=LEVEL_SOUND_S, rng=np.random.default_rng(LEVEL_SOUND_SEED))


def _devices() -> tuple[str, ...]:
    from trainer.playback.device import device_names

    return device_names()
