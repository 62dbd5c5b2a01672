"""What the commands of ``yardline quiz`` share: which quiz is meant, and who."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from trainer.progress.store import Store
    from trainer.season.quiz import Quiz

QUIZ = click.argument("quiz", default="", metavar="[QUIZ]")
FILE = click.Path(path_type=Path, dir_okay=False)


def named(store: "Store", typed: str) -> "Quiz":
    """Return the quiz that was typed; the newest where nothing was."""
    from trainer.season.quiz import quiz_named, quizzes_of, unreadable_quizzes

    return quiz_named(quizzes_of(store), typed, unreadable=unreadable_quizzes(store))


def known_as(store: "Store", typed: str) -> str:
    """Return the name that somebody's answers are kept under."""
    from trainer.season.roster import roster_of

    return roster_of(store).learner_of(typed)


def shown_names(store: "Store") -> dict[str, str]:
    """Return what everybody is called, by the name their answers are kept under."""
    from trainer.season.roster import roster_of

    return {member.learner: member.name for member in roster_of(store).members}
