"""Options that several commands share: who, and from which show."""

import getpass

import click

from trainer.progress.names import learner_name

__all__ = ["DEFAULT_SHOW", "LEARNER", "SHOW", "learner_name", "this_learner"]

DEFAULT_SHOW = "field-show"


def this_learner() -> str:
    """Return the name this machine knows the user by."""
    try:
        return getpass.getuser()
    except (OSError, KeyError):
        return "learner"


LEARNER = click.option(
    "--learner", default=this_learner, metavar="NAME", help="Who drills.  [default: your login name]"
)
SHOW = click.option(
    "--show", default=DEFAULT_SHOW, show_default=True, metavar="NAME", help="The source of music."
)
