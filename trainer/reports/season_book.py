"""The season book as files: a PDF to print, and one web page that needs nothing else."""

from pathlib import Path

from trainer.reports.book.leaves import Told, draw_book, leaves_of, unheard
from trainer.reports.book.web import page_of, write_page
from trainer.reports.print.pdf import PdfSurface
from trainer.reports.print.svg import SvgSurface
from trainer.season.pages import Book


def write_book_pdf(book: Book, path: Path, *, told: Told = unheard) -> None:
    """Write the book as a PDF of A4 pages lying down.

    Parameters
    ----------
    book
        Its pages as values; the same book gives the same bytes.
    path
        Where to.
    told
        Hears how many pages of how many are drawn.

    Raises
    ------
    Refused
        If it cannot be written.
    """
    paper = PdfSurface(f"{book.title}: season book", made_on=book.made_on)
    draw_book(paper, book, leaves_of(book), told=told)
    paper.save(path)


def write_book_html(book: Book, path: Path, *, told: Told = unheard) -> None:
    """Write the book as one web page: nothing outside it is needed, and no script.

    Parameters
    ----------
    book
        Its pages as values; the same book gives the same bytes.
    path
        Where to.
    told
        Hears how many pages of how many are drawn.

    Raises
    ------
    Refused
        If it cannot be written.
    """
    paper, leaves = SvgSurface(), leaves_of(book)
    draw_book(paper, book, leaves, told=told)
    write_page(page_of(book, leaves, paper), path)
