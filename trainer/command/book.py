"""``yardline season book``: the season book as a PDF, a web page, or both."""

import os
from pathlib import Path
from typing import TYPE_CHECKING

import click

from trainer.command.folders import into_file
from trainer.command.told_bar import told_bar, told_bars
from trainer.refusal import Refused

if TYPE_CHECKING:
    from trainer.season.pages import Book

ENDINGS = (".pdf", ".html")


@click.command()
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path, dir_okay=False))
@click.option("--title", default="", help="What is on its cover.  [default: the plan's title]")
def book(files: tuple[Path, ...], title: str) -> None:
    """Write the season book to FILES: .pdf to print, .html for any browser.

    It has a page of everybody on the roster, what to drill next, whom to sit where, and a page of every quiz.
    """
    for file in files:
        if file.suffix.lower() not in ENDINGS:
            raise Refused(f"a season book ends in {' or '.join(ENDINGS)}, not {file.name!r}")
        with into_file(file):
            pass
    made = _made(title)
    for file in files:
        _write(made, file)
    names = " and ".join(str(file) for file in files)
    click.echo(f"The season book of {len(made.learners)} learners is in {names}")


def _made(title: str) -> "Book":
    from trainer.assembly import Assembly
    from trainer.progress.catching_up import catch_up
    from trainer.season.book import book_of
    from trainer.season.roster import roster_of

    assembly = Assembly(environ=os.environ)
    with assembly.open_store() as store:
        works = ("Replaying the answers", store.log.count()), ("Working out", len(roster_of(store).present))
        with told_bars(*works) as (heard, told):
            now = assembly.now()
            learners = [member.learner for member in roster_of(store).present]
            catch_up(store, learners, today=now.date(), now=now, heard=heard)
            return book_of(store, today=now.date(), title=title, heard=heard, told=told)


def _write(made: "Book", file: Path) -> None:
    from trainer.reports.season_book import write_book_html, write_book_pdf

    write = write_book_pdf if file.suffix.lower() == ".pdf" else write_book_html
    with told_bar(f"Drawing {file.name}", 1.0) as told:
        write(made, file, told=lambda done, total: told(done / total))
