"""``yardline rep`` and ``yardline stems``: sounds and questions made into files."""

import os
from pathlib import Path
from typing import TYPE_CHECKING

import click

from trainer.command.folders import into_folder
from trainer.command.options import SHOW
from trainer.refusal import Refused

if TYPE_CHECKING:
    from trainer.practice.exercise import Scope

OUT = click.option(
    "--out", required=True, type=click.Path(path_type=Path, file_okay=False), metavar="DIR", help="Where to."
)
SEED = click.option("--seed", default=0, show_default=True, metavar="N", type=int, help="Which one.")


@click.command()
@click.argument("exercise", required=False)
@click.option("--code", metavar="CODE", help="Rebuild the rep of this code instead.")
@SEED
@click.option("--size", type=float, metavar="X", help="How big the change is, in the exercise's unit.")
@click.option(
    "--on",
    "scope",
    type=click.Choice(["mix", "section", "stem"]),
    help="What it is asked on.  [default: the widest]",
)
@SHOW
@OUT
def rep(
    exercise: str | None,
    code: str | None,
    seed: int,
    size: float | None,
    scope: "Scope | None",
    show: str,
    out: Path,
) -> None:
    """Write one rep: plain.wav, changed.wav, rep.json (the question) and answer.json.

    EXERCISE is the key of one of those that `yardline exercises` lists. Size 0 changes nothing: for testing
    a listener with.
    """
    if (exercise is None) == (code is None):
        raise Refused("give either an EXERCISE or a --code, to say which rep to write")
    from trainer.assembly import Assembly
    from trainer.practice.rep_files import write_rep

    assembly = Assembly(environ=os.environ)
    with into_folder(out) as folder:
        if code is not None:
            dealt = assembly.rebuilt(code)
        else:
            found = assembly.catalogue[exercise or ""]
            dealt = assembly.rep(found.key, show=show, seed=seed, size=size, scope=scope or found.scopes[0])
        write_rep(dealt, folder)
    click.echo(f"{dealt.code}: plain.wav, changed.wav, rep.json and answer.json are in {out}")


@click.command()
@SHOW
@SEED
@OUT
def stems(show: str, seed: int, out: Path) -> None:
    """Write an excerpt: one WAV per stem (as it stands in the mix, before the room) and the mix."""
    from trainer.assembly import Assembly
    from trainer.practice.rep_code import check_seed
    from trainer.sound_files import write_sound

    assembly = Assembly(environ=os.environ)
    with into_folder(out) as folder:
        excerpt = assembly.show(show).excerpt(check_seed(seed))
        for key, sound in excerpt.stems.items():
            write_sound(folder / f"{key}.wav", sound)
        write_sound(folder / "mix.wav", excerpt.mix)
    click.echo(f"{len(excerpt.stems)} stems and the mix of {excerpt.title} are in {out}")
