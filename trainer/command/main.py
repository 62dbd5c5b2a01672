"""The group of all commands, and how a command ends: 0 done, 2 bad input in one sentence, 1 our own fault."""

import sys
import tempfile
import traceback
from pathlib import Path

import click

from trainer import __version__
from trainer.command import bench, drill, keep, look, make
from trainer.refusal import Refused

BAD_INPUT = 2
OUR_FAULT = 1


@click.group(invoke_without_command=True, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="yardline")
@click.pass_context
def yardline(context: click.Context) -> None:
    """Listening drills for the people who mix a marching ensemble."""
    if context.invoked_subcommand is None:
        click.echo("The window is not built yet; this is the drill in the terminal (yardline drill --text).")
        context.invoke(drill.drill, text=True)


for _command in (
    drill.drill,
    make.rep,
    make.stems,
    look.exercises,
    look.progress,
    look.doctor,
    bench.bench,
    keep.export,
):
    yardline.add_command(_command)


def main(arguments: list[str] | None = None) -> int:
    """Run a command and return its exit code; no traceback reaches a user."""
    try:
        yardline.main(args=arguments, prog_name="yardline", standalone_mode=False)
    except click.exceptions.Exit as end:
        return end.exit_code
    except click.Abort:
        click.echo("Stopped. Every answer given is kept.", err=True)
        return 0
    except click.ClickException as error:
        click.echo(f"yardline: {error.format_message()}", err=True)
        return BAD_INPUT
    except Refused as error:
        click.echo(f"yardline: {error}", err=True)
        return BAD_INPUT
    except Exception as error:  # whatever it is, the user gets a sentence and we get the details
        click.echo(f"yardline: our fault, not yours: {error!r}; details are in {_kept_details()}", err=True)
        return OUR_FAULT
    return 0


def _kept_details() -> Path:
    with tempfile.NamedTemporaryFile("w", prefix="yardline-", suffix=".txt", delete=False) as file:
        traceback.print_exc(file=file)
    return Path(file.name)


