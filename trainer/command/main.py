"""The group of all commands: a table of where each is found, so that only the one that is run is loaded."""

import importlib

import click

from trainer import __version__
from trainer.command.ending import exit_code_of

COMMANDS: dict[str, tuple[str, str]] = {
    "drill": ("trainer.command.drill:drill", "Drill: hear a hidden change, name it, hear what it was."),
    "progress": (
        "trainer.command.look:progress",
        "Show the smallest change you name (right 3 times in 4), octave band by octave band.",
    ),
    "setup": (
        "trainer.command.setup:setup",
        "Tell what you listen on: which octave bands it can play, and how loud it is.",
    ),
    "quiz": (
        "trainer.command.quiz:quiz",
        "Make quizzes, pack them for a class, take them, mark them and see how a class did.",
    ),
    "roster": (
        "trainer.command.roster:roster",
        "Keep the roster: who is on staff, who is a student, and what they are called.",
    ),
    "season": (
        "trainer.command.season:season",
        "Plan a season: weeks, rehearsals, shows, what is aimed at; see who is on track; print the season book.",
    ),
    "exercises": ("trainer.command.look:exercises", "List the exercises, and what failed to load."),
    "rep": (
        "trainer.command.make:rep",
        "Write one rep: plain.wav, changed.wav, rep.json (the question) and answer.json.",
    ),
    "stems": (
        "trainer.command.make:stems",
        "Write an excerpt: one WAV per stem (as it stands in the mix, before the room) and the mix.",
    ),
    "export": (
        "trainer.command.keep:export",
        "Write every attempt to FILE: .csv for a spreadsheet, .jsonl for a program.",
    ),
    "merge": (
        "trainer.command.several:merge",
        "Add the answers and the roster of other laptops to this one.",
    ),
    "backup": (
        "trainer.command.several:backup",
        "Copy the memory to FILE, safely while others write to it, and check the copy.",
    ),
    "bench": (
        "trainer.command.bench:bench",
        "Measure how fast Yardline is on this machine, beside other programs doing the same.",
    ),
    "doctor": (
        "trainer.command.look:doctor",
        "Tell what Yardline runs on here: versions, the sound device, the memory, the exercises.",
    ),
}
"""A command's name, where it is found, and the first line of its help."""


class LazyGroup(click.Group):
    """A group that loads a command when it is run, and tells of all of them without loading any."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 - as click asks
        """Return the commands' names, in the order of the table."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002
        """Return a command, loaded now; None if there is none of this name."""
        if cmd_name not in COMMANDS:
            return None
        module, _, attribute = COMMANDS[cmd_name][0].partition(":")
        command: click.Command = getattr(importlib.import_module(module), attribute)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002
        """Write the commands with their help from the table."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, help_line) for name, (_, help_line) in COMMANDS.items()])


@click.group(
    cls=LazyGroup, invoke_without_command=True, context_settings={"help_option_names": ["-h", "--help"]}
)
@click.version_option(__version__, prog_name="yardline")
@click.pass_context
def yardline(context: click.Context) -> None:
    """Drill the ears of the people who mix a marching ensemble. Without a command: open the window."""
    if context.invoked_subcommand is None:
        from trainer.command.drill import open_window

        open_window()


def main(arguments: list[str] | None = None) -> int:
    """Run a command and return its exit code; no traceback reaches a user."""
    return exit_code_of(yardline, arguments, name="yardline", stopped="Stopped. Every answer given is kept.")
