"""``yardline quiz new``, ``list`` and ``pack``: quizzes made, and made into files."""

import os
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import click
from rich.console import Console

from trainer.command.options import DEFAULT_SHOW, opened
from trainer.command.quiz_options import FILE, QUIZ, named
from trainer.command.told_bar import told_bar
from trainer.refusal import Refused

if TYPE_CHECKING:
    from trainer.assembly import Assembly
    from trainer.season.quiz import Quiz
    from trainer.season.quiz_wish import QuizWish


@click.command()
@click.argument("file", required=False, type=FILE)
@click.option("--title", help="What it is called.  [default: the day]")
@click.option(
    "--exercise", "exercises", multiple=True, metavar="KEY", help="May be repeated; items are shared out."
)
@click.option("--items", type=int, help="How many in all.  [default: 30]")
@click.option("--sizes", nargs=2, type=float, metavar="FROM TO", help="How big the changes are.")
@click.option("--on", "scope", type=click.Choice(["mix", "section", "stem"]), help="What it is asked on.")
@click.option("--show", metavar="NAME", help=f"The source of music.  [default: {DEFAULT_SHOW}]")
@click.option(
    "--seed", type=click.IntRange(min=0), metavar="N", help="The same items again.  [default: by chance]"
)
def new(
    file: Path | None,
    title: str | None,
    exercises: tuple[str, ...],
    items: int | None,
    sizes: tuple[float, float] | None,
    scope: str | None,
    show: str | None,
    seed: int | None,
) -> None:
    """Make a quiz, from options or a TOML FILE; without either: 30 octave tones on the mix, three a band.

    A file holds title, show, seed, and a table [[part]] for each exercise: exercise, items, sizes = [4, 6], on.
    """
    from trainer.assembly import Assembly

    said = [name for name, value in (("--exercise", exercises), ("--items", items), ("--sizes", sizes),
                                     ("--on", scope)) if value]  # fmt: skip
    if file is not None and said:
        raise Refused(f"{file} says what the quiz holds, and so does {said[0]}: give one of them")
    assembly = Assembly(environ=os.environ)
    wish = _wish(assembly, file, exercises, items, sizes, scope, show, seed, title)
    with assembly.open_store() as store:
        from trainer.season.quiz import keep_quiz

        with told_bar("Making the items", sum(part.items for part in wish.parts)) as told:
            made = assembly.new_quiz(wish, told=told)
        keep_quiz(store, made)
    click.echo(f"Quiz {made.code} ({made.title}): {len(made.items)} items, seed {wish.seed}.")
    click.echo(
        f"Take it: yardline quiz take {made.code} --learner NAME. For a class: yardline quiz pack {made.code}"
    )


def _wish(
    assembly: "Assembly",
    file: Path | None,
    exercises: tuple[str, ...],
    items: int | None,
    sizes: tuple[float, float] | None,
    scope: str | None,
    show: str | None,
    seed: int | None,
    title: str | None,
) -> "QuizWish":
    from trainer.practice.rep_code import MOST_SEED
    from trainer.season.quiz_wish import ITEMS, QuizWish, part_of, read_wish

    music = DEFAULT_SHOW if show is None else show
    chance = int(assembly.rng.integers(MOST_SEED)) if seed is None else seed
    if file is not None:
        return read_wish(file, assembly.catalogue.exercises, show=music, seed=chance)
    keys = exercises or ("octave-tone",)
    count = ITEMS if items is None else items
    if count < len(keys):
        raise Refused(f"{count} items are too few for {len(keys)} exercises: it takes one each at least")
    shares = [count // len(keys) + (place < count % len(keys)) for place in range(len(keys))]
    parts = [
        part_of(assembly.catalogue[key], items=share, sizes=sizes or None, scope=scope)
        for key, share in zip(keys, shares, strict=True)
    ]
    called = f"Quiz of {assembly.now():%Y-%m-%d}" if title is None else title
    return QuizWish(called, music, chance, tuple(parts))


@click.command("list")
def list_quizzes() -> None:
    """List the quizzes, the newest first, and how many took each."""
    from rich.table import Table

    from trainer.season.quiz import quizzes_of, unreadable_quizzes
    from trainer.season.quiz_marking import sheets_of

    with opened() as (_, store):
        table = Table("quiz", "title", "made", "items", "taken by", box=None, padding=(0, 2, 0, 0))
        quizzes = quizzes_of(store)
        for one in quizzes:
            taken = len(sheets_of(store.log.attempts(quiz=one.uid)))
            table.add_row(one.code, one.title, f"{one.made_at:%Y-%m-%d}", str(len(one.items)), str(taken))
        unreadable = unreadable_quizzes(store)
    for quiz in unreadable:
        click.echo(f"{quiz.title} cannot be read: {quiz.reason}.")
    if quizzes:
        Console().print(table)
    else:
        click.echo("No quiz yet: `yardline quiz new` makes one.")


@click.command()
@QUIZ
@click.option(
    "--out", type=click.Path(path_type=Path, file_okay=False), metavar="DIR", help="The class's folder."
)
@click.option("--key", type=FILE, help="Where the key goes.  [default: beside the folder]")
@click.option("--pause", "pause_s", type=click.FloatRange(2, 60), default=8.0, show_default=True, metavar="S")
@click.option("--sealed", type=FILE, metavar="FILE.zip", help="A pack for students' own machines instead.")
def pack(quiz: str, out: Path | None, key: Path | None, pause_s: float, sealed: Path | None) -> None:
    """Pack a quiz: for a class over loudspeakers, or sealed, for students' own machines.

    For a class: a sound file an item and one long file, the answer sheet to print, the table to type answers
    into; the key is written beside the folder. A pack holds nothing of the answers.
    """
    if sealed is not None and (out is not None or key is not None):
        raise Refused("--sealed makes one file for students, with no key: give no --out or --key with it")
    with opened() as (assembly, store):
        found = named(store, quiz)
        with told_bar("Making the items", len(found.items)) as told:
            if sealed is not None:
                _pack_sealed(assembly, found, sealed, told)
            else:
                folder = out or Path(f"quiz-{found.code}")
                _pack_for_class(assembly, found, folder, key or folder.with_name(f"{folder.name}-key.csv"),
                                pause_s, told)  # fmt: skip


def _pack_sealed(assembly: "Assembly", found: "Quiz", path: Path, told: Callable[[int], object]) -> None:
    from trainer.command.folders import into_file
    from trainer.season.sealed_pack import write_sealed_pack

    if path.suffix != ".zip":
        raise Refused(f"a sealed pack ends in .zip, not {path.name!r}")
    with into_file(path):
        write_sealed_pack(found, assembly.quiz_reps(found), path, told=told)
    click.echo(
        f"{path} holds the quiz without its answers: unpack it and open quiz.html, or `yardline quiz take` it."
    )


def _pack_for_class(
    assembly: "Assembly",
    found: "Quiz",
    folder: Path,
    key: Path,
    pause_s: float,
    told: Callable[[int], object],
) -> None:
    from trainer.command.folders import into_file, into_folder
    from trainer.reports.answer_sheet import answer_sheet_pdf
    from trainer.season.class_pack import write_class_pack, write_key
    from trainer.season.sheet import answer_sheet

    if key.resolve().is_relative_to(folder.resolve()):
        raise Refused(f"the key {key} would lie in the class's folder: put it elsewhere")
    with into_folder(folder), into_file(key):
        answer_sheet_pdf(answer_sheet(found), folder / "answer-sheet.pdf")
        duration_s = write_class_pack(found, assembly.quiz_reps(found), folder, pause_s=pause_s, told=told)
        write_key(found, key)
    click.echo(f"{folder} holds the quiz for a class; all-items.wav takes {duration_s / 60:.0f} minutes.")
    click.echo(f"The key is in {key}: keep it to yourself.")
