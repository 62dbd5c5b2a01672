"""The group of all commands."""

import click

from trainer import __version__
from trainer.command import bench, drill, keep, look, make
from trainer.command.ending import exit_code_of


@click.group(invoke_without_command=True, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="yardline")
@click.pass_context
def yardline(context: click.Context) -> None:
    """Drill the ears of the people who mix a marching ensemble."""
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
    return exit_code_of(yardline, arguments, name="yardline", stopped="Stopped. Every answer given is kept.")
