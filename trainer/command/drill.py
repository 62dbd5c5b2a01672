"""``yardline drill``: a block of reps, in the window or in the terminal."""

import os
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from trainer.command.options import DEFAULT_SHOW, learner_name, this_learner

if TYPE_CHECKING:
    from trainer.assembly import Assembly
    from trainer.practice.block import Block
    from trainer.practice.sitting import Sitting
    from trainer.progress.store import Store

WAVES = "sounds"
"""The folder beside the store that sounds are written to where there is no device."""
MOST_REPS = 200
REPS = 10


@dataclass(frozen=True, slots=True)
class Wishes:
    """What was asked of the block on the command line; None and empty where nothing was."""

    exercises: tuple[str, ...] = ()
    reps: int | None = None
    show: str | None = None
    size: float | None = None
    seed: int | None = None


@click.command()
@click.option("--text", is_flag=True, help="In the terminal instead of the window.")
@click.option(
    "--exercise", "exercises", multiple=True, metavar="KEY", help="Only this exercise (may be repeated)."
)
@click.option("--reps", type=click.IntRange(1, MOST_REPS), help=f"How many.  [default: {REPS}]")
@click.option("--learner", metavar="NAME", help="Who drills.  [default: who did last]")
@click.option("--show", metavar="NAME", help=f"The source of music.  [default: {DEFAULT_SHOW}]")
@click.option(
    "--size", type=float, metavar="X", help="One size for all reps, instead of sizes that follow your ear."
)
@click.option(
    "--seed",
    type=click.IntRange(min=0),
    metavar="N",
    help="The same block again, whenever it is given: its sizes do not follow your ear.",
)
@click.option(
    "--wave", type=click.Path(path_type=Path, file_okay=False), metavar="DIR", help="Write the sounds here."
)
def drill(
    text: bool,
    exercises: tuple[str, ...] = (),
    reps: int | None = None,
    learner: str | None = None,
    show: str | None = None,
    size: float | None = None,
    seed: int | None = None,
    wave: Path | None = None,
) -> None:
    """Drill: hear a hidden change, name it, hear what it was.

    In the window, or with --text in the terminal. The sound plays on the sound device; where there is none
    it is written to files, to be listened to with any other program. A block that was left in the middle can
    be gone on with, unless the options ask for another one.
    """
    wishes = Wishes(exercises, reps, show, size, seed)
    name = "" if learner is None else learner_name(learner)
    if text:
        drill_in_terminal(name or learner_name(this_learner()), wishes, wave)
    else:
        open_window(name, wishes, wave)


def open_window(learner: str = "", wishes: Wishes = Wishes(), wave: Path | None = None) -> None:
    """Open the window, for a learner if one is named, and with a block of its own if one is wished for."""
    from trainer.window.door import make_app, run_window

    begin_with = None if wishes == Wishes() else partial(_new_sitting, wishes=wishes)
    app = make_app(
        learner=learner,
        suggested_name=this_learner(),
        begin_with=begin_with,
        seed=wishes.seed,
        wave=wave,
        environ=os.environ,
    )
    run_window(app)


def drill_in_terminal(learner: str, wishes: Wishes, wave: Path | None) -> None:
    """Choose a block, an open one or a new one, and run it in the terminal."""
    from numpy.random import default_rng

    from trainer.assembly import Assembly
    from trainer.text.drill import Leave

    assembly = Assembly(environ=os.environ, rng=default_rng(wishes.seed))
    with assembly.open_store() as store:
        try:
            sitting = _gone_on_with(assembly, store, learner) if wishes == Wishes() else None
        except Leave:
            return
        with assembly.block(store, sitting or _new_sitting(assembly, learner, wishes)) as block:
            run_text_drill(assembly, store, block, wave)


def _gone_on_with(assembly: "Assembly", store: "Store", learner: str) -> "Sitting | None":
    """Return the learner's open sitting if there is one and they want to go on with it."""
    from trainer.text.drill import wants_to_go_on

    sitting = assembly.open_sitting(store, learner)
    if sitting is None:
        return None
    answered = len(assembly.marks(store, sitting))
    return sitting if wants_to_go_on(answered, sitting.count, ask=_ask, say=click.echo) else None


def _new_sitting(assembly: "Assembly", learner: str, wishes: Wishes) -> "Sitting":
    return assembly.new_sitting(
        learner,
        wishes.exercises or tuple(assembly.catalogue.exercises),
        DEFAULT_SHOW if wishes.show is None else wishes.show,
        wishes.reps or REPS,
        wishes.size,
        is_adapted=wishes.seed is None,
    )


def run_text_drill(assembly: "Assembly", store: "Store", block: "Block", wave: Path | None) -> None:
    """Run a block in the terminal on the device, or on files; the listening level is kept for next time."""
    from trainer.assembly import LEVEL_SETTING, chosen_player, start_level_db
    from trainer.text.drill import TextDrill

    player, notice = chosen_player(wave, fallback=assembly.folder / WAVES, environ=assembly.environ)
    if notice:
        click.echo(notice)
    level_db = start_level_db(store, block.learner)
    front_end = TextDrill(block, player, ask=_ask, say=click.echo, now=assembly.now, level_db=level_db)
    try:
        front_end.run()
    finally:
        player.close()
        store.set_setting(block.learner, LEVEL_SETTING, front_end.level_db)


def _ask(prompt: str) -> str | None:
    """Return a line from the terminal, or None at its end."""
    try:
        return input(prompt)
    except EOFError:
        click.echo()
        return None
