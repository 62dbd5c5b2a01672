"""The book as one web page that needs nothing else: pictures in SVG, their figures as tables, no script."""

from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from xml.etree.ElementTree import Element, SubElement, tostring

from trainer.progress.files import replacing
from trainer.reports.book.frame import Leaf
from trainer.reports.book.leaves import learner_keys
from trainer.reports.book.tables import (
    Table,
    items_table,
    learner_sentences,
    learner_table,
    roster_table,
    scores_table,
    weeks_tables,
)
from trainer.reports.print.svg import FAMILY, SvgPage, SvgSurface, printable
from trainer.season.pages import Book

VOID = ("meta",)
"""Elements used here that HTML ends without an end tag; words cannot look like one, as they are escaped."""
STYLE = f"""
:root{{color-scheme:light}}
body{{margin:0;background:#f4f1e6;color:#17211f;font:15px/1.5 {FAMILY}}}
header,nav,section{{max-width:1180px;margin:0 auto;padding:12px 24px}}
h1{{font-size:28px;margin:16px 0 0}}
nav ul{{columns:4 210px;padding:0;list-style:none}}
a{{color:#0a5c9c}}
.unseen{{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}}
svg{{display:block;width:100%;height:auto;border:1px solid #a39d88;font-family:{FAMILY}}}
svg a text{{text-decoration:underline}}
details{{margin:8px 0 20px}}
summary{{cursor:pointer;padding:4px 0}}
.wide{{overflow-x:auto}}
table{{border-collapse:collapse;font-size:13px;margin:8px 0}}
caption{{text-align:left;font-weight:bold;padding:4px 0}}
th,td{{padding:3px 10px;border-bottom:1px solid #a39d88;text-align:left;vertical-align:top}}
:focus-visible{{outline:3px solid #7a5a00;outline-offset:2px}}
@media print{{@page{{size:A4 landscape;margin:0}}
body{{background:#fff}}header,nav,details{{display:none}}
section{{max-width:none;padding:0;break-after:page;break-inside:avoid}}section:last-of-type{{break-after:auto}}
svg{{border:0;width:297mm;height:209mm}}}}
"""


def page_of(book: Book, leaves: Sequence[Leaf], drawn: SvgSurface) -> Element:
    """Return the whole web page."""
    html = Element("html", {"lang": "en-GB"})
    top = SubElement(html, "head")
    SubElement(top, "meta", {"charset": "utf-8"})
    SubElement(top, "meta", {"name": "viewport", "content": "width=device-width, initial-scale=1"})
    _said(top, "title", f"{book.title}: season book")
    SubElement(top, "style").text = STYLE + drawn.styles.sheet
    body = SubElement(html, "body")
    _head(body, book, leaves)
    main = SubElement(body, "main")
    tables = tables_of(book)
    for page in drawn.pages:
        _section(main, page, tables.get(page.key, ([], [])))
    return html


def tables_of(book: Book) -> Mapping[str, tuple[Sequence[Table], Sequence[str]]]:
    """Return the tables and sentences that stand below a page, by its key."""
    found: dict[str, tuple[Sequence[Table], Sequence[str]]] = {
        key: ([learner_table(page), *weeks_tables(page)], learner_sentences(page))
        for key, page in zip(learner_keys(book), book.learners, strict=True)
    }
    if book.roster.rows:
        found["roster-1"] = ([roster_table(book.roster)], [])
    for number, quiz in enumerate(book.quizzes, 1):
        if quiz.scores:
            found[f"quiz-{number}-scores-1"] = ([scores_table(quiz)], quiz.remarks)
        if quiz.items:
            found[f"quiz-{number}-items-1"] = ([items_table(quiz)], [])
    return found


def write_page(html: Element, path: Path) -> None:
    """Write a web page, whole or not at all."""
    with replacing(path) as beside:
        text = tostring(html, encoding="unicode", short_empty_elements=False)
        for name in VOID:
            text = text.replace(f"></{name}>", ">")
        beside.write_text(f"<!DOCTYPE html>\n{text}\n", encoding="utf-8", newline="\n")


def _head(body: Element, book: Book, leaves: Iterable[Leaf]) -> None:
    header = SubElement(body, "header")
    _said(header, "h1", book.title)
    _said(header, "p", f"Season book of {book.made_on.day} {book.made_on:%B %Y}. {book.season}")
    nav = SubElement(body, "nav", {"aria-label": "Pages"})
    entries = SubElement(nav, "ul")
    for leaf in leaves:
        if leaf.entry:
            _said(SubElement(entries, "li"), "a", leaf.entry, href=f"#{leaf.key}")


def _section(main: Element, page: SvgPage, below: tuple[Sequence[Table], Sequence[str]]) -> None:
    section = SubElement(main, "section", {"id": page.key})
    _said(section, "h2", page.title, **{"class": "unseen"})
    section.append(page.picture)
    tables, sentences = below
    if not tables:
        return
    details = SubElement(section, "details")
    _said(details, "summary", f"{page.title}: the figures as a table")
    for sentence in sentences:
        _said(details, "p", sentence)
    for table in tables:
        _table(SubElement(details, "div", {"class": "wide"}), table)


def _table(parent: Element, table: Table) -> None:
    made = SubElement(parent, "table")
    _said(made, "caption", table.caption)
    head = SubElement(SubElement(made, "thead"), "tr")
    for name in table.head:
        _said(head, "th", name, scope="col")
    rows = SubElement(made, "tbody")
    for cells in table.rows:
        row = SubElement(rows, "tr")
        _said(row, "th", cells[0], scope="row")
        for cell in cells[1:]:
            _said(row, "td", cell)


def _said(parent: Element, name: str, text: str, **attributes: str) -> Element:
    element = SubElement(parent, name, attributes)
    element.text = printable(text)
    return element
