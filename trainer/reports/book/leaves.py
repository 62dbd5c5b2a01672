"""All pages of the book in their order, numbered, and drawn one after the other."""

from collections.abc import Callable, Sequence

from trainer.reports.book.cover import Entry, contents_pages, cover_leaves
from trainer.reports.book.frame import Leaf, foot, head
from trainer.reports.book.learner import learner_leaf
from trainer.reports.book.positions import position_leaves
from trainer.reports.book.quiz_items import item_leaves
from trainer.reports.book.quiz_scores import score_leaves
from trainer.reports.book.roster import roster_leaves
from trainer.reports.print.surface import Surface
from trainer.season.pages import Book

Told = Callable[[int, int], object]
"""Hears how many pages of how many are drawn."""


def unheard(done: int, total: int) -> None:
    """Tell nobody."""


def leaves_of(book: Book) -> list[Leaf]:
    """Return the pages: cover and contents, the roster, console positions, learners, quizzes."""
    keys = learner_keys(book)
    by_name = {page.name: key for page, key in zip(book.learners, keys, strict=True)}
    body = [
        *roster_leaves(book.roster, by_name),
        *position_leaves(book.roster.positions),
        *(learner_leaf(page, key) for page, key in zip(book.learners, keys, strict=True)),
    ]
    for number, quiz in enumerate(book.quizzes, 1):
        body += [*score_leaves(quiz, f"quiz-{number}"), *item_leaves(quiz, f"quiz-{number}")]
    listed = [(place, leaf) for place, leaf in enumerate(body) if leaf.entry]
    before = len(contents_pages(len(listed)))
    entries: list[Entry] = [(leaf.entry, leaf.key, before + place + 1) for place, leaf in listed]
    return [*cover_leaves(book, entries), *body]


def learner_keys(book: Book) -> list[str]:
    """Return the keys of the learners' pages, in their order."""
    return [f"learner-{number}" for number in range(1, len(book.learners) + 1)]


def draw_book(paper: Surface, book: Book, leaves: Sequence[Leaf], *, told: Told = unheard) -> None:
    """Draw all pages."""
    line = f"{book.title} · season book of {book.made_on.day} {book.made_on:%B %Y}"
    for number, leaf in enumerate(leaves, 1):
        paper.page(leaf.title or book.title, key=leaf.key)
        if leaf.title:
            head(paper, leaf.title, leaf.beside)
        leaf.draw(paper)
        foot(paper, line, number, len(leaves))
        told(number, len(leaves))
