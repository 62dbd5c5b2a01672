"""``yardline drill``: a block of reps in the terminal."""

import os
from pathlib import Path
from typing import TYPE_CHECKING

import click

from trainer.command.options import DEFAULT_SHOW, LEARNER, SHOW, learner_name, this_learner

if TYPE_CHECKING:
    from trainer.assembly import Assembly
    from trainer.practice.block import Block
    from trainer.progress.store import Store

WAVES = "sounds"
"""The folder beside the store that sounds are written to where there is no device."""
MOST_REPS = 200


@click.command()
@click.option("--text", is_flag=True, help="In the terminal instead of the window.")
@click.option(
    "--exercise", "exercises", multiple=True, metavar="KEY", help="Only this exercise (may be repeated)."
)
@click.option("--reps", default=10, show_default=True, type=click.IntRange(1, MOST_REPS), help="How many.")
@LEARNER
@SHOW
@click.option("--size", type=float, metavar="X", help="One size for all reps, instead of sizes that vary.")
@click.option(
    "--seed", type=click.IntRange(min=0), metavar="N", help="The same block again, whenever it is given."
)
@click.option(
    "--wave", type=click.Path(path_type=Path, file_okay=False), metavar="DIR", help="Write the sounds here."
)
def drill(
    text: bool,
    exercises: tuple[str, ...] = (),
    reps: int = 10,
    learner: str | None = None,
    show: str = DEFAULT_SHOW,
    size: float | None = None,
    seed: int | None = None,
    wave: Path | None = None,
) -> None:
    """Drill: hear a hidden change, name it, hear what it was.

    The sound plays on the sound device. Where there is none it is written to files, to be listened to with
    any other program.
    """
    if not text:
        click.echo("The window is not built yet; this is the drill in the terminal.")
    from numpy.random import default_rng

    from trainer.assembly import Assembly

    assembly = Assembly(environ=os.environ, rng=default_rng(seed))
    name = learner_name(this_learner() if learner is None else learner)
    chosen = exercises or tuple(assembly.catalogue.exercises)
    with (
        assembly.open_store() as store,
        assembly.block(store, learner=name, exercises=chosen, show=show, count=reps, size=size) as block,
    ):
        run_text_drill(assembly, store, block, wave)


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
