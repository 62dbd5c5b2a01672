"""``yardline quiz``: the same items for everyone: made, packed, taken, marked, looked at."""

import click

from trainer.command.quiz_make import list_quizzes, new, pack
from trainer.command.quiz_mark import allow, mark, results
from trainer.command.quiz_take import take


@click.group()
def quiz() -> None:
    """Make quizzes, pack them for a class, take them, mark them and see how a class did.

    QUIZ is a quiz's title or the first letters of its code; the newest where none is named.
    """


for command in (new, list_quizzes, pack, take, mark, results, allow):
    quiz.add_command(command)
