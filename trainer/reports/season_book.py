"""The season book bound: as a PDF, and as one web page that needs nothing from elsewhere."""

from collections.abc import Callable
from html import escape
from pathlib import Path

from trainer.progress.ear_words import range_words, size_words, to_go_words
from trainer.progress.files import replacing
from trainer.progress.improvement_words import improvement_words
from trainer.reports.lanes import label_of
from trainer.reports.print.cover import draw_cover
from trainer.reports.print.learner_page import draw_learner
from trainer.reports.print.pdf import PdfSurface
from trainer.reports.print.quiz_pages import draw_quiz
from trainer.reports.print.roster_pages import draw_roster
from trainer.reports.print.surface import Surface
from trainer.reports.print.svg import SvgPage, SvgSurface
from trainer.season.pages import Book, LearnerPage

Told = Callable[[int], object]
"""Hears how many learners' pages are drawn."""


def write_book_pdf(book: Book, path: Path, *, told: Told = lambda _: None) -> None:
    """Write the book as a PDF: the same book gives the same file."""
    surface = PdfSurface(book.title, made_on=book.made_on)
    _draw(surface, book, told)
    surface.save(path)


def write_book_html(book: Book, path: Path, *, told: Told = lambda _: None) -> None:
    """Write the book as one web page: pictures in it, and each learner's figures as a table for screen readers."""
    surface = SvgSurface()
    _draw(surface, book, told)
    learners = {_key(number): page for number, page in enumerate(book.learners)}
    sections = "\n".join(_section(page, learners.get(page.key)) for page in surface.pages)
    whole = _PAGE.format(title=escape(book.title), style=_STYLE, sections=sections)
    with replacing(path) as beside:
        beside.write_text(whole, encoding="utf-8")


def _draw(surface: Surface, book: Book, told: Told) -> None:
    quizzes = [(f"quiz-{number}", quiz) for number, quiz in enumerate(book.quizzes)]
    contents = [
        ("The roster", "roster"),
        ("Whom to sit where", "roster-positions"),
        *((quiz.title, key) for key, quiz in quizzes),
        *((page.name, _key(number)) for number, page in enumerate(book.learners)),
    ]
    draw_cover(surface, book, contents, key="cover")
    draw_roster(surface, book.roster, key="roster")
    for key, quiz in quizzes:
        draw_quiz(surface, quiz, key=key)
    for number, page in enumerate(book.learners):
        draw_learner(surface, page, key=_key(number))
        told(number + 1)


def _key(number: int) -> str:
    return f"learner-{number}"


def _section(page: SvgPage, learner: LearnerPage | None) -> str:
    table = "" if learner is None else _figures(learner)
    return f'<section id="{page.key}">\n{page.text}\n{table}</section>'


def _figures(page: LearnerPage) -> str:
    """Return a learner's figures as a table."""
    rows = "".join(
        f"<tr><th scope='row'>{label_of(change.band_hz)} Hz</th>"
        + (
            f"<td>too early to tell</td><td>{to_go_words(change)}</td></tr>"
            if change.is_early
            else f"<td>{escape(size_words(change))}</td><td>{escape(range_words(change))}</td></tr>"
        )
        for change in page.ear.bands
    )
    words = " ".join(filter(None, (improvement_words(page.ear.improvement), page.standing, page.advice)))
    return (
        f"<details><summary>The figures of {escape(page.name)} as a table</summary>\n<table><thead><tr>"
        "<th scope='col'>octave band</th><th scope='col'>smallest change named</th>"
        f"<th scope='col'>90 % interval</th></tr></thead><tbody>{rows}</tbody></table>\n"
        f"<p>{escape(words)}</p></details>\n"
    )


_STYLE = """
body { background: #f4f1e6; color: #17211f; font: 16px/1.5 "DejaVu Sans", Verdana, sans-serif; margin: 0; }
section { margin: 1.5rem auto; max-width: 76rem; padding: 0 1rem; }
svg { background: #fff; display: block; height: auto; width: 100%; }
a text { text-decoration: underline; }
details { padding: .4rem 1rem; } table { border-collapse: collapse; }
th, td { border-bottom: 1px solid #a39d88; padding: .15rem 1.2rem .15rem 0; text-align: left; }
@media print {
  @page { size: A4 landscape; margin: 0; }
  body { background: none; } details { display: none; }
  section { break-after: page; margin: 0; max-width: none; padding: 0; }
}
"""

_PAGE = """<!doctype html>
<html lang="en">
<head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<title>{title}</title>
<style>{style}</style></head>
<body>
{sections}
</body></html>
"""
