"""``yardline drill``: a block of reps, in the window or in the terminal."""

import os
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from trainer.command.asking import ask
from trainer.command.options import DEFAULT_SHOW, kept_name, learner_name, this_learner
from trainer.practice.sitting import BLOCK_MINUTES
from trainer.refusal import Refused

if TYPE_CHECKING:
    from trainer.assembly import Assembly
    from trainer.practice.block import Block
    from trainer.practice.sitting import Sitting
    from trainer.progress.due import Plan
    from trainer.progress.store import Store

WAVES = "sounds"
"""The folder beside the store that sounds are written to where there is no device."""
MOST_REPS = 200
REPS = 10
DEFAULT_MINUTES = 8


@dataclass(frozen=True, slots=True)
class Wishes:
    """What was asked of the block on the command line; None and empty where nothing was."""

    exercises: tuple[str, ...] = ()
    reps: int | None = None
    show: str | None = None
    size: float | None = None
    seed: int | None = None
    minutes: int | None = None


@click.command()
@click.option("--text", is_flag=True, help="In the terminal instead of the window.")
@click.option(
    "--exercise", "exercises", multiple=True, metavar="KEY", help="Only this exercise (may be repeated)."
)
@click.option(
    "--minutes",
    type=click.Choice([str(one) for one in BLOCK_MINUTES]),
    help="How long, of what is due today.",
)
@click.option("--reps", type=click.IntRange(1, MOST_REPS), help="How many, of all exercises or those named.")
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
    minutes: str | None = None,
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
    be gone on with, unless the options ask for another one. Without options it is what is due today.
    """
    if minutes is not None and reps is not None:
        raise Refused(
            f"--minutes {minutes} and --reps {reps} both say how long the block is: give one of them"
        )
    wishes = Wishes(exercises, reps, show, size, seed, None if minutes is None else int(minutes))
    name = "" if learner is None else learner_name(learner)
    if text:
        drill_in_terminal(kept_name(name or this_learner()), wishes, wave)
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
    from trainer.progress.setups import chosen_setup
    from trainer.progress.why import why_words
    from trainer.text.lines import Leave

    assembly = Assembly(environ=os.environ, rng=default_rng(wishes.seed))
    with assembly.open_store() as store:
        try:
            sitting = _gone_on_with(assembly, store, learner) if wishes == Wishes() else None
        except Leave:
            return
        plan = None
        if sitting is None:
            plan = _plan(assembly, store, learner, wishes)
            sitting = _sitting_of(assembly, learner, wishes, plan)
        with assembly.block(store, sitting) as block:
            run_text_drill(assembly, store, block, wave)
            marks = list(block.marks)
        if marks:
            due = plan if _is_as_due(wishes) else None
            setup = chosen_setup(store, learner)
            click.echo(why_words(due, marks, assembly.catalogue.exercises, setup=setup))


def _gone_on_with(assembly: "Assembly", store: "Store", learner: str) -> "Sitting | None":
    """Return the learner's open sitting if there is one and they want to go on with it."""
    from trainer.progress.sittings import answered_of
    from trainer.text.drill import wants_to_go_on

    sitting = assembly.open_sitting(store, learner)
    if sitting is None:
        return None
    answered = len(answered_of(store, sitting))
    return sitting if wants_to_go_on(answered, sitting.count, ask=ask, say=click.echo) else None


def _new_sitting(assembly: "Assembly", learner: str, wishes: Wishes) -> "Sitting":
    """Return the sitting that is wished for, for a shell that keeps the store to itself."""
    with assembly.open_store() as store:
        return _sitting_of(assembly, learner, wishes, _plan(assembly, store, learner, wishes))


def _plan(assembly: "Assembly", store: "Store", learner: str, wishes: Wishes) -> "Plan":
    from trainer.progress.due import rep_s_of
    from trainer.progress.recent import recent_of

    recent = recent_of(store, learner, now=assembly.now())
    minutes = wishes.minutes or DEFAULT_MINUTES
    return assembly.plan(store, learner, minutes=minutes, rep_s=rep_s_of(recent))


def _is_as_due(wishes: Wishes) -> bool:
    """Return whether which exercises there are is left to what is due."""
    return not wishes.exercises and wishes.reps is None and wishes.seed is None


def _sitting_of(assembly: "Assembly", learner: str, wishes: Wishes, plan: "Plan") -> "Sitting":
    """Return the sitting that is wished for; what is not wished is as it is due."""
    everything = tuple(assembly.catalogue.exercises)
    count = REPS if wishes.minutes is None and not _is_as_due(wishes) else plan.count
    return assembly.new_sitting(
        learner,
        wishes.exercises or (plan.exercises if _is_as_due(wishes) else everything),
        DEFAULT_SHOW if wishes.show is None else wishes.show,
        wishes.reps or count,
        wishes.size,
        is_adapted=wishes.seed is None,
    )


def run_text_drill(assembly: "Assembly", store: "Store", block: "Block", wave: Path | None) -> None:
    """Run a block in the terminal on the device, or on files; the listening level is kept for next time."""
    from trainer.playback.choice import chosen_player
    from trainer.progress.listening_level import keep_level, start_level_db
    from trainer.text.answering import Answering
    from trainer.text.drill import TextDrill

    player, notice = chosen_player(wave, fallback=assembly.folder / WAVES, environ=assembly.environ)
    if notice:
        click.echo(notice)
    level_db = start_level_db(store, block.learner)
    answering = Answering(player, ask=ask, say=click.echo, level_db=level_db)
    try:
        TextDrill(block, answering, now=assembly.now).run()
    finally:
        player.close()
        keep_level(store, block.learner, level_db=answering.level_db)
