"""Options that several commands share: who, and from which show; and the store they all open."""

import getpass
import os
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

import click

from trainer.progress.names import learner_name

if TYPE_CHECKING:
    from trainer.assembly import Assembly
    from trainer.progress.store import Store

__all__ = ["DEFAULT_SHOW", "LEARNER", "SHOW", "kept_name", "learner_name", "opened", "this_learner"]

DEFAULT_SHOW = "field-show"


def this_learner() -> str:
    """Return the name this machine knows the user by."""
    try:
        return getpass.getuser()
    except (OSError, KeyError):
        return "learner"


@contextmanager
def opened() -> "Iterator[tuple[Assembly, Store]]":
    """Give the assembly and its store."""
    from trainer.assembly import Assembly

    assembly = Assembly(environ=os.environ)
    with assembly.open_store() as store:
        yield assembly, store


def kept_name(typed: str) -> str:
    """Return the name that somebody's answers are kept under, of the one that was typed.

    Raises
    ------
    Refused
        If it is no name, or only nearly somebody's: in another case, or width.
    """
    from trainer.season.roster import roster_of

    with opened() as (_, store):
        return roster_of(store).learner_of(typed)


LEARNER = click.option(
    "--learner", default=this_learner, metavar="NAME", help="Who drills.  [default: your login name]"
)
SHOW = click.option(
    "--show", default=DEFAULT_SHOW, show_default=True, metavar="NAME", help="The source of music."
)
