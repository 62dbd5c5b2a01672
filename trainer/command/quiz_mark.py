"""``yardline quiz mark``, ``results`` and ``allow``: answers marked, and what a class made of a quiz."""

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click
from rich.console import Console

from trainer.command.asking import ask
from trainer.command.options import opened
from trainer.command.quiz_options import FILE, QUIZ, known_as, named, shown_names
from trainer.refusal import Refused

if TYPE_CHECKING:
    from trainer.assembly import Assembly
    from trainer.practice.values import Answer
    from trainer.progress.store import Store
    from trainer.season.answer_files import Returned
    from trainer.season.quiz import Quiz


@click.command()
@QUIZ
@click.argument("files", nargs=-1, type=FILE)
@click.option("--learner", metavar="NAME", help="Type this learner's answers, item by item.")
def mark(quiz: str, files: tuple[Path, ...], learner: str | None) -> None:
    """Mark answers: FILES are tables (.csv) or what sealed packs gave back (.json); or type them.

    All of them are marked and kept, or none; marking the same again changes nothing.
    """
    from trainer.season.quiz_marking import mark, score_of
    from trainer.text.quiz import percent

    if Path(quiz).suffix in (".csv", ".json"):
        quiz, files = "", (Path(quiz), *files)
    if bool(files) == (learner is not None):
        raise Refused("give FILES of answers, or --learner NAME to type somebody's")
    with opened() as (assembly, store):
        found = named(store, quiz)
        returned = [one for file in files for one in _read(store, found, file, assembly)]
        if learner is not None:
            returned.append(_typed(store, found, learner, assembly))
        sheets, fresh = mark(store, found, returned, assembly.catalogue.exercises)
    for sheet in sheets:
        click.echo(f"{sheet.learner}: {percent(score_of(found, sheet))}")
    already = len(returned) - fresh
    click.echo(f"{fresh} marked" + (f", {already} were marked before" if already else "") + ".")


@click.command()
@QUIZ
@click.option("--json", "as_json", is_flag=True, help="For programs.")
@click.option("--learner", metavar="NAME", help="One learner's own result, item by item.")
def results(quiz: str, as_json: bool, learner: str | None) -> None:
    """Show how a class did: scores, how far they can be trusted, how each item did, what was confused."""
    import json
    from dataclasses import asdict

    from trainer.season.quiz_marking import sheets_of
    from trainer.season.quiz_results import quiz_page
    from trainer.text.quiz import items_table, result_lines, scores_table

    with opened() as (_, store):
        found = named(store, quiz)
        attempts = list(store.log.attempts(quiz=found.uid))
        name = "" if learner is None else known_as(store, learner)
        names = shown_names(store)
    if not attempts:
        raise Refused(f"nobody has taken {found.title!r} yet")
    if name:
        sheet = next((one for one in sheets_of(attempts) if one.learner == name), None)
        if sheet is None:
            raise Refused(f"{learner} has not taken {found.title!r}")
        for line in result_lines(found, sheet):
            click.echo(line)
        return
    page = quiz_page(found, attempts, names=names)
    if as_json:
        click.echo(json.dumps(asdict(page), ensure_ascii=False, indent=2, default=str))
        return
    console = Console()
    console.print(scores_table(page))
    console.print()
    console.print(items_table(page))
    for remark in page.remarks:
        click.echo(remark)


@click.command()
@QUIZ
@click.argument("learner")
@click.option("--sittings", type=click.IntRange(1, 20), help="How many in all.  [default: one more]")
def allow(quiz: str, learner: str, sittings: int | None) -> None:
    """Allow LEARNER another sitting of a quiz."""
    from trainer.season.quiz_sittings import allow_sittings, sittings_taken

    with opened() as (assembly, store):
        found, name = named(store, quiz), known_as(store, learner)
        count = len(sittings_taken(store, found, name)) + 1 if sittings is None else sittings
        allow_sittings(store, found, name, count, now=assembly.now())
    click.echo(f"{learner} may take {found.title!r} {count} times in all.")


def _read(store: "Store", found: "Quiz", path: Path, assembly: "Assembly") -> "list[Returned]":
    """Return the answers in a file, each under the name their learner's answers are kept under."""
    from trainer.season.answer_files import read_answers
    from trainer.season.answer_tables import read_table

    readers = {
        ".csv": lambda: read_table(found, path, at=assembly.now()),
        ".json": lambda: [read_answers(found, path)],
    }
    if path.suffix not in readers:
        raise Refused(f"answers come as {' or '.join(readers)}, not as {path.name!r}")
    return [replace(one, learner=known_as(store, one.learner)) for one in readers[path.suffix]()]


def _typed(store: "Store", found: "Quiz", learner: str, assembly: "Assembly") -> "Returned":
    """Ask for somebody's answers, item by item."""
    from trainer.season.answer_files import Returned
    from trainer.season.answer_tables import HOW_TO_TYPE, numbers_of_sheet, read_typed

    name = known_as(store, learner)
    click.echo(f"{HOW_TO_TYPE} An empty line is no answer.")
    answers: dict[int, Answer] = {}
    numbers = numbers_of_sheet(found)
    for item in found.items:
        while said := (ask(f"{item.number}. {item.question.text} ") or "").strip():
            try:
                answers[item.number] = read_typed(item.question, said, numbers)
                break
            except Refused as why:
                click.echo(f"{why}.")
    return Returned(name, assembly.now(), "", answers)
