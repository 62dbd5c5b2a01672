"""``yardline setup``: what one listens on: which octave bands it can play, and how loud it is."""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

import click
from rich.console import Console
from rich.table import Table

from trainer.command.asking import ask
from trainer.command.options import LEARNER, kept_name

if TYPE_CHECKING:
    from trainer.assembly import Assembly
    from trainer.progress.store import Store
    from trainer.sound import Sound
    from trainer.text.setup_check import SetupCheck

DEFAULT_NAME = "headphones"
NOISE_S = 4.0
NAME = click.option("--name", default=DEFAULT_NAME, show_default=True, help="What you call it.")


@click.group()
def setup() -> None:
    """Tell what you listen on: which octave bands it can play, and how loud it is."""


@setup.command()
@LEARNER
@NAME
@click.option("--device", default="", help="The sound device.  [default: the system's]")
@click.option("--seed", type=click.IntRange(min=0), hidden=True)
def check(learner: str, name: str, device: str, seed: int | None) -> None:
    """Find out which octave bands your headphones or loudspeakers can play, and choose them.

    Quiet sounds rise from silence, never louder than music would be; you say when you hear them. It takes
    three to four minutes. Bands that are not heard are left out of all drills from then on.
    """
    from trainer.progress.setups import Setup, bands_words, keep_setup, setup_name, setups_of
    from trainer.refusal import Refused
    from trainer.text.lines import Leave

    who, called = kept_name(learner), setup_name(name)
    with _at_the_device(who, device, seed) as (assembly, store, front_end):
        try:
            front_end.set_level(_noise(seed))
            verdict = front_end.run()
        except Leave:
            click.echo("Stopped: nothing is kept of the check.")
            return
        if not verdict.is_trustworthy:
            raise Refused(
                f"something was heard in {verdict.false_alarms} of the silences, so the check tells nothing; "
                "do it again in a quiet place, and press only when you are sure"
            )
        before = next((one for one in setups_of(store, who) if one.name == called), None)
        calibration = None if before is None else before.calibration
        made = Setup(called, device, verdict.usable_hz, assembly.now(), calibration, verdict.heard_below_db)
        keep_setup(store, who, made)
        click.echo(f"{made.name} plays {bands_words(made.usable_hz)}. You listen on it from now on.")


@setup.command("list")
@LEARNER
def list_setups(learner: str) -> None:
    """List your setups; the one you listen on is marked."""
    from trainer.assembly import Assembly
    from trainer.progress.listening_level import start_level_db
    from trainer.progress.setups import bands_words, chosen_setup, setups_of

    name = kept_name(learner)
    with Assembly(environ=os.environ).open_store() as store:
        setups, chosen = setups_of(store, name), chosen_setup(store, name)
        level_db = start_level_db(store, name)
    if not setups:
        click.echo("No setup yet: all octave bands are asked about. `yardline setup check` makes one.")
        return
    table = Table("", "setup", "plays", "checked", "at your level", box=None, padding=(0, 2, 0, 0))
    for one in setups:
        reading_db = one.reading_db(level_db)
        reading = "" if reading_db is None else f"about {reading_db:.0f} dB"
        mark = "✓" if chosen is not None and one.name == chosen.name else ""
        table.add_row(mark, one.name, bands_words(one.usable_hz), f"{one.checked_at:%d %B %Y}", reading)
    Console().print(table)


@setup.command()
@click.argument("name")
@LEARNER
def use(name: str, learner: str) -> None:
    """Listen on the setup NAME from now on."""
    from trainer.assembly import Assembly
    from trainer.progress.setups import bands_words, choose_setup

    with Assembly(environ=os.environ).open_store() as store:
        chosen = choose_setup(store, kept_name(learner), name)
    click.echo(f"You listen on {chosen.name} from now on: it plays {bands_words(chosen.usable_hz)}.")


@setup.command()
@click.argument("name")
@LEARNER
def forget(name: str, learner: str) -> None:
    """Forget the setup NAME; the answers given on it stay."""
    from trainer.assembly import Assembly
    from trainer.progress.setups import forget_setup

    with Assembly(environ=os.environ).open_store() as store:
        forget_setup(store, kept_name(learner), name)
    click.echo(f"{name} is forgotten.")


@setup.command()
@LEARNER
@NAME
def calibrate(learner: str, name: str) -> None:
    """Keep what a sound level meter reads at your ear, at your listening level."""
    from trainer.assembly import Assembly
    from trainer.progress.setups import calibrate_setup, setup_named
    from trainer.text.lines import Leave
    from trainer.text.setup_check import reading_words

    who = kept_name(learner)
    with Assembly(environ=os.environ).open_store() as store:
        setup_named(store, who, name)
    with _at_the_device(who, "", None) as (_, store, front_end):
        try:
            calibration = front_end.calibrate(_noise(None))
        except Leave:
            click.echo("Stopped: nothing is kept.")
            return
        calibrate_setup(store, who, name, calibration)
        reads = f"{calibration.reads_db:g} dB{calibration.weighting}"
        click.echo(f"Kept: {reads} at a listening level of {calibration.level_db:.0f} dB.")
        click.echo(reading_words(calibration))


def _noise(seed: int | None) -> "Sound":
    from numpy.random import default_rng

    from trainer.dsp.programme_noise import programme_noise

    return programme_noise(duration_s=NOISE_S, rng=default_rng(seed))


@contextmanager
def _at_the_device(
    learner: str, device: str, seed: int | None
) -> "Iterator[tuple[Assembly, Store, SetupCheck]]":
    """Give what a check needs, the sound device opened; the listening level is kept for next time."""
    from numpy.random import default_rng

    from trainer.assembly import Assembly
    from trainer.playback.device import open_player, prepare_process
    from trainer.progress.listening_level import keep_level, start_level_db
    from trainer.text.setup_check import SetupCheck

    assembly = Assembly(environ=os.environ)
    with assembly.open_store() as store:
        player = open_player(environ=assembly.environ, device_name=device or None)
        prepare_process()
        level_db = start_level_db(store, learner)
        front_end = SetupCheck(player, ask, click.echo, default_rng(seed), level_db)
        try:
            yield assembly, store, front_end
        finally:
            player.close()
            keep_level(store, learner, level_db=front_end.level_db)
