"""The season book's files: every figure is in them, the same book gives the same bytes, strange names do no harm."""

import re
from html.parser import HTMLParser
from pathlib import Path
from xml.etree import ElementTree

import pytest
from pypdf import PdfReader

from tests.reports import sample_book as sample
from trainer.progress.ear_words import range_words, size_words
from trainer.progress.improvement_words import improvement_words
from trainer.refusal import Refused
from trainer.reports.fonts import other_letters
from trainer.reports.season_book import write_book_html, write_book_pdf

VOID = ("meta", "br", "hr", "img", "link", "input")
"""Elements of HTML that have no end (HTML Living Standard, 13.1.2)."""


class Reader(HTMLParser):
    """Reads HTML as the standard library does: its elements with attributes, its words, and whether it is closed."""

    def __init__(self) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []
        self.words: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if self.open and self.open[-1] != "style":
            self.words.append(data)

    def named(self, tag: str) -> list[dict[str, str | None]]:
        return [attributes for name, attributes in self.elements if name == tag]


def read(text: str) -> Reader:
    reader = Reader()
    reader.feed(text)
    reader.close()
    assert reader.open == []
    return reader


@pytest.fixture(scope="module")
def pdf(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("book") / "book.pdf"
    write_book_pdf(sample.book(), path)
    return path


@pytest.fixture(scope="module")
def html(tmp_path_factory: pytest.TempPathFactory) -> str:
    path = tmp_path_factory.mktemp("book") / "book.html"
    write_book_html(sample.book(), path)
    return path.read_text(encoding="utf-8")


def flat(text: str) -> str:
    return " ".join(text.replace("\u202f", " ").split())


def figures() -> list[tuple[str, str]]:
    """Return, with a learner's name, every figure of their page in words; several of them in their own order."""
    found = []
    for page in sample.learners():
        told = [change for change in page.ear.bands if not change.is_early]
        found += [(page.name, size_words(change)) for change in told]
        found += [(page.name, range_words(change, unit="")) for change in told]
        found += [(page.name, f"{change.week_1_db:.1f} dB") for change in told if change.week_1_db]
        found += [(page.name, f"{aim.aim_db:.1f} dB") for aim in page.aims]
        found += [(page.name, str(week.answers)) for week in page.weeks]
        found += [(page.name, words) for words in (page.role, page.standing, page.advice)]
        found.append((page.name, improvement_words(page.ear.improvement)))
    return found


def test_the_pdf_holds_every_figure_in_words(pdf: Path) -> None:
    pages = [flat(page.extract_text()) for page in PdfReader(pdf).pages]
    for name, words in figures():
        page = next(text for text in pages if text.startswith(f"{name} "))
        assert flat(words) in page, f"{name}: {words}"
    whole = " ".join(pages)
    quiz = sample.quiz()
    for score in quiz.scores:
        assert f"{100 * score.score:.0f} ± 8" in whole
        assert f"{round(score.right.value * 30)} of 30" in whole
        assert all(f"{100 * reached:.0f}" in whole for reached in score.by_band.values())
    for item in quiz.items:
        assert item.words in whole
        assert f"{item.mean_score:.2f}" in whole
    assert all(remark in whole for remark in (*quiz.remarks, "better ears did worse on it", "KR-20"))
    for position in sample.positions():
        assert position.words in whole
        assert all(f"{one.t75_db:.1f} dB ({one.interval.low:.1f}" in whole for one in position.candidates)


def test_the_pdf_lies_on_a4_and_knows_its_pages(pdf: Path) -> None:
    """ISO 216: A4 is 297 by 210 mm; a point is 1/72 inch (ISO 32000)."""
    reader = PdfReader(pdf)
    assert len(reader.pages) == 12, "cover, roster, positions, six learners, three of the quiz"
    for page in reader.pages:
        size_mm = [float(side) / 72 * 25.4 for side in (page.mediabox.width, page.mediabox.height)]
        assert size_mm == pytest.approx([297.0, 210.0], abs=0.1)
    titles = [str(entry.title) for entry in reader.outline if not isinstance(entry, list)]
    assert set(sample.NAMES) <= set(titles)
    links = [link for page in reader.pages for link in page.get("/Annots", [])]
    assert len(links) >= 12 + 2 * 9


def test_the_same_book_gives_the_same_bytes_and_no_clock(pdf: Path, html: str, tmp_path: Path) -> None:
    write_book_pdf(sample.book(), tmp_path / "again.pdf")
    assert (tmp_path / "again.pdf").read_bytes() == pdf.read_bytes()
    write_book_html(sample.book(), tmp_path / "again.html")
    assert (tmp_path / "again.html").read_text(encoding="utf-8") == html
    metadata = PdfReader(pdf).metadata
    assert metadata is not None
    assert metadata["/CreationDate"].startswith("D:20310428")
    assert set(metadata) == {"/CreationDate", "/Creator", "/Producer", "/Title"}
    assert sorted(path.name for path in tmp_path.iterdir()) == ["again.html", "again.pdf"]


def test_the_web_page_is_whole_and_needs_nothing_else(html: str) -> None:
    """HTML Living Standard: a doctype, a language, a title; nothing is fetched and nothing runs."""
    assert html.startswith("<!DOCTYPE html>\n<html lang=")
    reader = read(html)
    names = {name for name, _ in reader.elements}
    assert not names & {"script", "link", "img", "iframe", "object", "embed", "base", "form", "use", "image"}
    for _, attributes in reader.elements:
        assert not any(name.startswith("on") or name in ("src", "srcset", "style") for name in attributes)
        assert (attributes.get("href") or "#").startswith("#")
    assert "url(" not in html
    assert "@import" not in html
    assert re.findall(r"https?://[^\"< ]+", html) == ["http://www.w3.org/2000/svg"] * 12


def test_links_lead_to_pages_and_pictures_have_names(html: str) -> None:
    """WCAG 2.2, success criteria 1.1.1 and 2.4.1: pictures say what they are; what is listed can be reached."""
    reader = read(html)
    places = {attributes.get("id") for attributes in reader.named("section")}
    targets = {str(attributes["href"])[1:] for attributes in reader.named("a")}
    assert targets <= places
    assert {f"learner-{number}" for number in range(1, 7)} <= targets
    assert len(reader.named("svg")) == len(reader.named("section")) == 12
    assert all(
        attributes.get("aria-label") and attributes.get("role") == "img" for attributes in reader.named("svg")
    )
    assert "break-after:page" in html


def test_pictures_are_well_formed_and_their_words_stay_words(html: str) -> None:
    pictures = re.findall(r"<svg.*?</svg>", html, flags=re.DOTALL)
    for picture in pictures:
        root = ElementTree.fromstring(picture)
        assert root[0].tag.endswith("title")
        assert root[0].text
        assert [element for element in root.iter() if element.tag.endswith("text")]
    assert len(pictures) == 12


def test_every_figure_of_a_learner_is_in_a_table(html: str) -> None:
    reader = read(html)
    words = flat(" ".join(reader.words))
    for _, told in figures():
        assert flat(told) in words
    heads = reader.named("th")
    assert all(attributes.get("scope") in ("col", "row") for attributes in heads)
    assert len(reader.named("table")) == 6 * 3 - 1 + 1 + 2, (
        "three a learner but the newcomer, the roster, a quiz's scores and items"
    )
    assert len(reader.named("caption")) == len(reader.named("table"))


def test_strange_names_do_no_harm(tmp_path: Path) -> None:
    write_book_html(sample.strangers(), tmp_path / "book.html")
    text = (tmp_path / "book.html").read_text(encoding="utf-8")
    assert "<script" not in text
    words = read(text).words
    assert any(sample.STRANGE[4] in said for said in words)
    assert "مالك الحزين" in words
    assert not any(sign in text for sign in "\u0000\u202e\ufeff\t")
    for picture in re.findall(r"<svg.*?</svg>", text, flags=re.DOTALL):
        ElementTree.fromstring(picture)


def test_strange_names_are_drawn_as_far_as_there_are_fonts(
    tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    write_book_pdf(sample.strangers(), tmp_path / "book.pdf")
    assert caplog.records == [], "no font is said to lack a letter"
    reader = PdfReader(tmp_path / "book.pdf")
    texts = [flat(page.extract_text()) for page in reader.pages]
    assert any(text.startswith("<script>alert(1)</script>") for text in texts)
    assert any("مالك الحزين" in text for text in texts)
    if ord("青") in other_letters():
        assert any("青" in text for text in texts)
    else:
        assert any("□" in text for text in texts)
    assert reader.metadata is not None
    assert reader.metadata["/Title"] == f"{sample.STRANGE[4]}: season book"


def test_whoever_waits_is_told_of_every_page(tmp_path: Path) -> None:
    for write, name in ((write_book_pdf, "book.pdf"), (write_book_html, "book.html")):
        heard: list[tuple[int, int]] = []
        write(sample.nobody(), tmp_path / name, told=lambda *one, heard=heard: heard.append(one))
        assert heard == [(1, 2), (2, 2)]


def test_a_missing_folder_is_told(tmp_path: Path) -> None:
    for write, name in ((write_book_pdf, "book.pdf"), (write_book_html, "book.html")):
        with pytest.raises(Refused, match="cannot be written"):
            write(sample.nobody(), tmp_path / "nowhere" / name)
