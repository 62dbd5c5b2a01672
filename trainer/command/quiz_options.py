"""What the commands of ``yardline quiz`` share: which quiz is meant, and who."""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from trainer.assembly import Assembly
    from trainer.progress.store import Store
    from trainer.season.quiz import Quiz

QUIZ = click.argument("quiz", default="", metavar="[QUIZ]")
FILE = click.Path(path_type=Path, dir_okay=False)


@contextmanager
def the_store() -> "Iterator[tuple[Assembly, Store]]":
    """Give the assembly and its open store."""
    from trainer.assembly import Assembly

    assembly = Assembly(environ=os.environ)
    with assembly.open_store() as store:
        yield assembly, store


def named(store: "Store", typed: str) -> "Quiz":
    """Return the quiz that was typed; the newest where nothing was."""
    from trainer.season.quiz import quiz_named, quizzes_of

    return quiz_named(quizzes_of(store), typed)


def known_as(store: "Store", typed: str) -> str:
    """Return the name that somebody's answers are kept under."""
    from trainer.command.options import learner_name
    from trainer.season.roster import roster_of

    return roster_of(store).learner_of(learner_name(typed))


def shown_names(store: "Store") -> dict[str, str]:
    """Return what everybody is called, by the name their answers are kept under."""
    from trainer.season.roster import roster_of

    return {member.learner: member.name for member in roster_of(store).members}
