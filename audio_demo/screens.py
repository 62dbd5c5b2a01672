"""The screens: every page of the window as a picture, with the demo season's figures in it."""

import tempfile
from collections.abc import Iterator
from datetime import datetime, timedelta
from itertools import count
from pathlib import Path

from numpy.random import default_rng

from audio_demo.season.learners import LEARNERS
from audio_demo.season.simulate import Season
from audio_demo.season.staff import fill_staff
from trainer.assembly import Assembly
from trainer.dsp.programme_noise import programme_noise
from trainer.playback.silent import SilentPlayer
from trainer.progress.listening_level import keep_level
from trainer.progress.places import HOME_VARIABLE
from trainer.sound import Sound
from trainer.window.gallery import LOOKS, Look, PromptChores, drawn, opening_page, save, scenes, trouble_page
from trainer.window.session import Session
from trainer.window.settings import Settings

SHOW = "tide-tables"
WEEKS = 12
SEED = 4
LEVEL_DB = -24.0
LOOKED_EVERY_S = 0.4
"""How far the loop has gone on at each next page, so that the playhead stands somewhere."""
NOW = datetime.fromisoformat("2030-09-20T18:30:00+00:00")
TROUBLE = (
    "The store yardline.sqlite is damaged or is not a store (file is not a database); it was kept as it is: move it "
    "aside to start afresh, or put a copy of it in its place."
)
README_PICTURES = {"rep-octave-tone-picked": "rep.png", "reveal-octave-tone-wrong": "reveal.png"}
"""The pages shown in the README, and their pictures' names."""
README_LOOKS = {
    "rep-octave-tone-picked": Look(1280, 720, "night", 100),
    "reveal-octave-tone-wrong": Look(1280, 720, "day", 100),
}


def write_screens(out: Path, *, only_readme: bool = False) -> Iterator[Path]:
    """Write the pages, one picture a page and look; yield each file as it is written."""
    with tempfile.TemporaryDirectory() as home:
        session = _session(Path(home))
        for name in scenes(session):
            if only_readme and name not in README_PICTURES:
                continue
            looks = (README_LOOKS[name],) if only_readme else LOOKS
            for look in looks:
                path = out / (README_PICTURES[name] if only_readme else f"{name}_{look.name}.png")
                save(drawn(session, look), str(path))
                yield path
            if only_readme and name == "reveal-octave-tone-wrong":
                break
        session.close()
    yield from () if only_readme else _write_others(out)


def _write_others(out: Path) -> Iterator[Path]:
    for look in LOOKS:
        for name, canvas in (
            ("opening", opening_page(Settings(), look)),
            ("trouble", trouble_page(Settings(), look, TROUBLE)),
        ):
            path = out / f"{name}_{look.name}.png"
            save(canvas, str(path))
            yield path


def _session(home: Path) -> Session:
    """Return a session of the first learner of the demo season, twelve weeks into it, everybody else's with it."""
    assembly = Assembly(environ={HOME_VARIABLE: str(home)}, rng=default_rng(SEED), now=lambda: NOW)
    store = assembly.open_store()
    learner = LEARNERS[0]
    season = Season(assembly.catalogue.exercises, NOW - timedelta(days=1), WEEKS, 0)
    for traits in LEARNERS:
        for attempts in season.attempts(traits):
            store.log.add_all(attempts)
    fill_staff(store, assembly.catalogue.exercises, season)
    keep_level(store, learner.name, level_db=LEVEL_DB)
    looks = count()
    return Session(
        assembly=assembly,
        store=store,
        chores=PromptChores(),
        open_sound=lambda _: (SilentPlayer(clock=lambda: LOOKED_EVERY_S * next(looks)), ""),
        level_sound=_level_sound,
        devices=lambda: ("USB Interface", "Built-in Output"),
        settings=Settings(learner=learner.name, show=SHOW),
        save=lambda _: None,
        suggested_name=learner.name,
        now=assembly.now,
    )


def _level_sound() -> Sound:
    return programme_noise(duration_s=1.0, rng=default_rng(0))
