"""``yardline quiz take``: a quiz in the terminal, from the store or from a sealed pack."""

import os
from collections.abc import Mapping
from pathlib import Path

import click

from trainer.command.options import learner_name, opened, this_learner
from trainer.command.quiz_options import FILE, QUIZ, known_as, named
from trainer.practice.values import Answer


@click.command()
@QUIZ
@click.option(
    "--learner", default=this_learner, metavar="NAME", help="Who takes it.  [default: your login name]"
)
@click.option(
    "--wave", type=click.Path(path_type=Path, file_okay=False), metavar="DIR", help="Write sounds here."
)
@click.option(
    "--out", type=FILE, help="Of a sealed pack: where the answers go.  [default: answers-NAME.json]"
)
def take(quiz: str, learner: str, wave: Path | None, out: Path | None) -> None:
    """Take a quiz in the terminal; QUIZ may be the file of a sealed pack. What was right is told at the end.

    Every answer is kept at once: a quiz left in the middle is gone on with the next time.
    """
    if Path(quiz).suffix == ".zip":
        _take_sealed(Path(quiz), learner_name(learner), wave, out)
        return
    from trainer.command.drill import run_text_drill
    from trainer.season.quiz_marking import sheets_by_block
    from trainer.text.quiz import result_lines

    with opened() as (assembly, store):
        found = named(store, quiz)
        name = known_as(store, learner)
        sitting = assembly.quiz_sitting(store, found, name)
        with assembly.block(store, sitting) as block:
            run_text_drill(assembly, store, block, wave)
            is_over = block.finished
        if is_over:
            for line in result_lines(found, sheets_by_block(store, found, name)[sitting.uid]):
                click.echo(line)


def _take_sealed(path: Path, learner: str, wave: Path | None, out: Path | None) -> None:
    from trainer.assembly import Assembly
    from trainer.command.asking import ask
    from trainer.command.drill import WAVES
    from trainer.playback.care import CAUTION
    from trainer.playback.choice import chosen_player
    from trainer.progress.listening_level import FIRST_START_DB
    from trainer.season.answer_files import begun_answers, write_answers
    from trainer.season.sealed_pack import open_pack
    from trainer.text.answering import Answering
    from trainer.text.quiz import SealedSitting

    pack, assembly = open_pack(path), Assembly(environ=os.environ)
    file = out or Path(f"answers-{learner}.json")
    begun = begun_answers(pack.quiz, pack.title, {item.number: item.question for item in pack.items}, file)
    sitting, begun_at = (assembly.uid(), assembly.now()) if begun is None else (begun.sitting, begun.at)

    def keep(answers: Mapping[int, Answer]) -> None:
        write_answers(
            file, quiz=pack.quiz, sitting=sitting, learner=learner, begun_at=begun_at, answers=answers
        )

    player, notice = chosen_player(wave, fallback=assembly.folder / WAVES, environ=assembly.environ)
    for words in (notice, CAUTION):
        click.echo(words)
    answering = Answering(player, ask=ask, say=click.echo, level_db=FIRST_START_DB)
    front_end = SealedSitting(pack, answering, {} if begun is None else dict(begun.answers), keep)
    try:
        front_end.run()
    finally:
        player.close()
    done = len(front_end.answers)
    click.echo(f"{done} of {len(pack.items)} items answered; they are in {file}: return it to your staff.")
