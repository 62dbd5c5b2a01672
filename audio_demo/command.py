"""The demo's command line: the tour on the device or in files, and the season."""

import os
import shlex
import time
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click
from rich.progress import Progress, track

from trainer.command.ending import exit_code_of
from trainer.command.folders import into_folder
from trainer.refusal import Refused

if TYPE_CHECKING:
    from audio_demo.tour import Tour
    from trainer.playback.player import Player

SOUNDS = Path("sounds")
"""Where the sounds go when there is no device and no folder was named."""


@click.group(invoke_without_command=True, context_settings={"help_option_names": ["-h", "--help"]})
@click.option(
    "--out", type=click.Path(path_type=Path, file_okay=False), metavar="DIR", help="Write files here."
)
@click.option("--play", is_flag=True, help="Play on the sound device (also beside --out).")
@click.option(
    "--level", default=-20.0, show_default=True, type=click.FloatRange(max=0.0), metavar="DB",
    help="How loud to play, in dB below full.",
)  # fmt: skip
@click.pass_context
def demo(context: click.Context, out: Path | None, play: bool, level: float) -> None:
    """Tour the demo show, The Tide Tables of Saltmarsh Signal: stems, sections, rooms, faults to hear.

    Plays on the sound device; where there is none, writes the sounds to files.
    """
    if context.invoked_subcommand is not None:
        return
    player, notice = _player(play=play, out=out)
    if notice:
        click.echo(notice)
    if player is None or out is not None:
        _write(_tour(), out or SOUNDS)
    if player is not None:
        _play(_tour(), player, level_db=level)


@demo.command()
@click.option(
    "--home",
    type=click.Path(path_type=Path, file_okay=False),
    metavar="DIR",
    help="The folder of the memory to fill.  [default: Yardline's own]",
)
@click.option("--weeks", default=12, show_default=True, type=click.IntRange(1, 52), help="How long it lasts.")
@click.option(
    "--seed", default=0, show_default=True, type=click.IntRange(0), metavar="N", help="Which season."
)
def season(home: Path | None, weeks: int, seed: int) -> None:
    """Fill a memory with a season of six made-up learners, to see what progress looks like."""
    from audio_demo.season.fill import fill
    from audio_demo.season.simulate import Season
    from audio_demo.season.staff import fill_staff
    from trainer.assembly import Assembly
    from trainer.progress.places import HOME_VARIABLE

    environ = dict(os.environ) if home is None else {**os.environ, HOME_VARIABLE: str(home)}
    assembly = Assembly(environ=environ)
    now, exercises = assembly.now(), assembly.catalogue.exercises
    with assembly.open_store() as store, Progress(transient=True) as bar:
        count = fill(store, exercises, now=now, weeks=weeks, seed=seed, bar=bar)
        quiz = fill_staff(store, exercises, Season(exercises, now, weeks, seed))
    click.echo(f"{count} answers of six made-up learners are in {assembly.folder}. To see them:")
    start = "" if home is None else f"{HOME_VARIABLE}={shlex.quote(str(home))} "
    click.echo(f"  {start}yardline progress --learner Heron --chart heron.png")
    click.echo(f"  {start}yardline season book season.pdf season.html")
    if quiz is not None:
        click.echo(f"  {start}yardline quiz results")


@demo.command()
@click.option(
    "--out",
    type=click.Path(path_type=Path, file_okay=False),
    required=True,
    metavar="DIR",
    help="The folder to write to.",
)
@click.option("--readme", is_flag=True, help="Only the two pictures of the README.")
def screens(out: Path, readme: bool) -> None:
    """Draw every page of the window, in every size, light and text size, to look at."""
    from audio_demo.screens import write_screens

    with into_folder(out) as folder, Progress(transient=True) as bar:
        task = bar.add_task("the screens", total=None)
        written = 0
        for _ in write_screens(folder, only_readme=readme):
            written += 1
            bar.advance(task)
    click.echo(f"{written} pictures of the window are in {out}")


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the demo and return its exit code."""
    return exit_code_of(demo, arguments, name="audio_demo", stopped="Stopped.")


def _player(*, play: bool, out: Path | None) -> "tuple[Player | None, str]":
    """Return the player on the device, if one is wanted and there, and what is to be said about it."""
    if out is not None and not play:
        return None, ""
    from trainer.playback.device import open_player, prepare_process
    from trainer.playback.player import NoDevice

    try:
        player = open_player(environ=os.environ)
    except NoDevice as why:
        if play:
            raise Refused(f"{str(why).rstrip('.')}: leave --play out to have files written") from why
        return None, f"{why} The sounds are written to {SOUNDS} instead."
    prepare_process()
    return player, ""


def _tour() -> "Tour":
    from audio_demo.tour import SHOW, Tour
    from trainer.assembly import Assembly

    assembly = Assembly(environ=os.environ)
    return Tour(assembly.show(SHOW), assembly.catalogue)


def _write(tour: "Tour", out: Path) -> None:
    from audio_demo.files import CAPTIONS, write_tour
    from audio_demo.tour import COUNT

    with into_folder(out) as folder:
        stops = track(tour.stops(), description="making the sounds", total=COUNT, transient=True)
        count = write_tour(tour.title, stops, folder)
    click.echo(f"{count} sounds of {tour.title}, are in {out}; what to listen for is in {out / CAPTIONS}")


def _play(tour: "Tour", player: "Player", *, level_db: float) -> None:
    from audio_demo.playing import play_tour

    click.echo(f"{tour.title}. Turn it up from quiet; --level sets how loud it plays. Ctrl-C stops.")
    try:
        play_tour(tour.stops(), player, say=click.echo, sleep=time.sleep, level_db=level_db)
    finally:
        player.close()
