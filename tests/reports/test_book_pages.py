"""The season book's pages as they are drawn: whole, readable, marks where the figures say, contents that lead there."""

from dataclasses import replace

import pytest

from tests.reports import sample_book as sample
from tests.reports.recording import Page, Recording, contrast, pale_marks, troubles_of
from trainer.reports.book.leaves import draw_book, leaves_of
from trainer.reports.book.weeks import BAR_INKS
from trainer.reports.print.surface import BOOST, DIM, INK, LYING_PT, PAPER, mixed
from trainer.season.pages import Aim, Book, LearnerPage, WeekDone


def drawn(book: Book) -> list[Page]:
    paper = Recording()
    draw_book(paper, book, leaves_of(book))
    return paper.pages


def drawn_learner(page: LearnerPage) -> Page:
    return next(one for one in drawn(sample.book((page,), quizzes=())) if one.key == "learner-1")


def long_season() -> Book:
    """Return a year of weeks, somebody with very long standing and advice, quizzes that spill."""
    one = sample.learner("Heron")
    weeks = tuple(WeekDone(week, week % 7 * 1000, week % 7 * 11) for week in range(1, 54))
    words = "too close to tell in 31.5, 63, 125, 250 and 500 Hz, 1, 2, 4, 8 and 16 kHz; " * 3
    busy = replace(one, weeks=weeks, answers=1_234_567, standing=words, advice=one.advice * 4, role=words)
    early = replace(one, weeks=())
    items = replace(sample.quiz(students=45, items=60), remarks=("500 Hz was taken for 1 kHz.",) * 6)
    alone = sample.quiz(students=1, items=1)
    nobody = sample.quiz(students=0, items=30)
    return sample.book((busy, early), quizzes=(items, alone, nobody))


BOOKS = {
    "six learners": sample.book,
    "strange names": sample.strangers,
    "nobody": sample.nobody,
    "no plan": sample.unplanned,
    "a long season": long_season,
}


@pytest.fixture(scope="module")
def books() -> dict[str, list[Page]]:
    return {name: drawn(make()) for name, make in BOOKS.items()}


@pytest.mark.parametrize("name", BOOKS)
def test_every_page_is_whole_and_readable(name: str, books: dict[str, list[Page]]) -> None:
    """Text on its ground: WCAG 2.2, success criterion 1.4.3, 4.5 to 1; never below 7 pt; nothing on each other."""
    pages = books[name]
    assert len(pages) >= 2
    assert [trouble for page in pages for trouble in troubles_of(page, LYING_PT)] == []


@pytest.mark.parametrize("name", BOOKS)
def test_every_mark_is_dark_enough(name: str, books: dict[str, list[Page]]) -> None:
    """WCAG 2.2, success criterion 1.4.11: 3 to 1 for what carries meaning."""
    assert [trouble for page in books[name] for trouble in pale_marks(page)] == []


def test_bars_are_dark_enough_on_paper() -> None:
    """WCAG 2.2, success criterion 1.4.11: 3 to 1."""
    assert all(contrast(ink, PAPER) >= 3.0 for ink in BAR_INKS)


def test_the_checks_of_pages_see_what_is_wrong() -> None:
    paper = Recording()
    paper.page("trial", key="trial")
    paper.words((100.0, 100.0), "over")
    paper.words((104.0, 102.0), "over")
    paper.words((830.0, 100.0), "beyond the edge")
    paper.words((100.0, 200.0), "small", size=6.9)
    paper.words((100.0, 300.0), "pale", colour="#999999")
    paper.line((10.0, 10.0), (900.0, 10.0), colour=INK)
    paper.dot((50.0, 50.0), 2.0, fill="#bbbbbb")
    kinds = [trouble.split(": ")[1] for trouble in troubles_of(paper.pages[0], LYING_PT)]
    assert sorted(set(kinds)) == ["outside", "overlap", "pale", "small"]
    assert len(list(pale_marks(paper.pages[0]))) == 1


def y_of(page: Page, size_db: int) -> float:
    """Return how high the words of the lanes' scale stand."""
    return page.find(f"{size_db} dB").place[1] - 2.7


def one_band(**changed: object) -> LearnerPage:
    page = sample.learner("Heron")
    bands = (sample.known(250.0, 6.0, 3.0, 9.0, week_1_db=12.0), *page.ear.bands[1:])
    ear = replace(page.ear, bands=bands, trend=())
    return replace(page, ear=ear, aims=(Aim(250.0, 4.5, 0.5),), **changed)


def test_the_marks_stand_on_the_page_s_own_scale() -> None:
    """6 dB, 3 to 9, 12 in week 1, 4.5 aimed at: each mark at the height of the scale's words."""
    page = drawn_learner(one_band())
    first = [shape for shape in page.shapes if shape.box.left > 100.0 and shape.box.right < 171.0]
    chalk = next(shape for shape in first if shape.kind == "line" and shape.width == 2.2)
    assert chalk.points[0][1] == pytest.approx(y_of(page, 6))
    dashes = next(shape for shape in first if shape.dashes == (3.2, 2.2))
    assert dashes.points[0][1] == pytest.approx(y_of(page, 12))
    blur = [shape.box for shape in first if shape.kind == "rect" and shape.fill and shape.box.bottom < 300.0]
    assert min(box.top for box in blur) == pytest.approx(y_of(page, 9))
    assert max(box.bottom for box in blur) == pytest.approx(y_of(page, 3))
    ends = {round(shape.points[0][1], 3) for shape in first if shape.kind == "line" and shape.width == 0.7}
    assert ends == {round(y_of(page, 9), 3), round(y_of(page, 3), 3)}
    notches = [shape.points[1][1] for shape in first if shape.kind == "polygon" and shape.fill == BOOST]
    middle = (y_of(page, 3) + y_of(page, 6)) / 2
    assert notches == pytest.approx([middle] * 2)


def test_the_scale_is_even_and_begins_at_zero() -> None:
    page = drawn_learner(sample.newcomer())
    steps = [y_of(page, size_db + 3) - y_of(page, size_db) for size_db in (0, 3, 6, 9, 12)]
    assert steps == pytest.approx([steps[0]] * 5)
    assert steps[0] < 0.0, "up the page is more"


def test_beyond_all_that_is_asked_is_a_sign_and_too_early_is_no_mark() -> None:
    page = drawn_learner(sample.beyond())
    assert {"> 15 dB", "from 11.2", "over 15", "too early", "19 to go"} <= set(page.words)
    first, last = (
        [shape for shape in page.shapes if left < shape.box.left and shape.box.right < left + 71.0]
        for left in (100.0, 736.0)
    )
    assert [shape.fill for shape in first if shape.kind == "polygon"] == [INK, BOOST, BOOST]
    assert not [shape for shape in first if shape.width == 2.2]
    assert not [shape for shape in last if shape.kind == "dot" or shape.width == 2.2]


def test_a_newcomer_s_page_says_that_it_is_too_early() -> None:
    page = drawn_learner(sample.newcomer())
    assert page.words.count("too early") == 20, "in the lanes and below them"
    assert page.words.count("19 to go") == 10
    assert "No answers yet." in page.words
    assert "No answers to octave tone yet." in page.words
    assert "12 weeks, 12 idle" in page.words


def test_bars_are_as_high_as_their_counts_from_zero() -> None:
    weeks = (WeekDone(1, 100, 4), WeekDone(2, 50, 2), WeekDone(3, 0, 0), WeekDone(4, 25, 1))
    page = drawn_learner(replace(sample.learner("Heron"), weeks=weeks))
    answers, blocks = (
        [shape.box.bottom - shape.box.top for shape in page.shapes if shape.fill == ink] for ink in BAR_INKS
    )
    assert answers == pytest.approx([answers[0], answers[0] / 2, answers[0] / 4])
    assert blocks == pytest.approx([blocks[0], blocks[0] / 2, blocks[0] / 4])
    rings = [shape for shape in page.shapes if shape.kind == "dot" and shape.box.top > 420.0]
    assert len(rings) == 2, "an idle week is a ring, in answers and in blocks"


def test_darker_cells_and_longer_bars_are_larger_changes(books: dict[str, list[Page]]) -> None:
    roster = next(page for page in books["six learners"] if page.key == "roster-1")
    pairs = [
        (cell, bar)
        for cell, bar in zip(roster.shapes, roster.shapes[1:], strict=False)
        if bar.fill == INK and cell.kind == "rect"
    ]
    assert len(pairs) == 49, "of six learners, five known in ten bands but one"
    by_length = sorted(pairs, key=lambda pair: pair[1].box.right - pair[1].box.left)
    shades = [contrast(cell.fill or PAPER, PAPER) for cell, _ in by_length]
    assert shades == sorted(shades)
    widest = by_length[-1]
    assert widest[1].box.right == pytest.approx(widest[0].box.right), "over 15 dB fills the cell"


def test_the_contents_lead_to_the_pages_they_name(books: dict[str, list[Page]]) -> None:
    for pages in books.values():
        keys = [page.key for page in pages]
        assert len(set(keys)) == len(keys)
        listed = [one for page in pages for one in page.written if one.link]
        assert {one.link for one in listed} <= set(keys)
        numbers = {one.link: one.words for one in listed if one.words.isdigit()}
        assert numbers
        assert all(pages[int(number) - 1].key == key for key, number in numbers.items())


def test_thirty_learners_have_a_page_each_and_two_of_the_roster() -> None:
    """Lines of 24.6 pt fill a page of the roster from 106 to 555 pt: 18 of them."""
    leaves = leaves_of(sample.book(tuple(sample.learner(f"L {n}", seed=n) for n in range(30)), quizzes=()))
    keys = [leaf.key for leaf in leaves]
    assert keys == [
        "contents",
        "roster-1",
        "roster-2",
        "positions-1",
        *(f"learner-{n + 1}" for n in range(30)),
    ]
    paper = Recording()
    for leaf in leaves[1:3]:
        paper.page(leaf.title, key=leaf.key)
        leaf.draw(paper)
    names = [[one.words for one in page.written if one.words.startswith("L ")] for page in paper.pages]
    assert names[0] + names[1] == [f"L {n}" for n in range(30)]
    assert len(names[0]) == 18


def test_a_large_quiz_goes_on_over_more_pages(books: dict[str, list[Page]]) -> None:
    quiz = [page for page in books["a long season"] if page.key.startswith("quiz-1-")]
    assert [page.key for page in quiz] == [
        "quiz-1-scores-1", "quiz-1-scores-2", "quiz-1-parts-1", "quiz-1-parts-2", "quiz-1-items-1",
        "quiz-1-items-2",
    ]  # fmt: skip
    for wanted in ("scores", "parts"):
        shown = [words for page in quiz if wanted in page.key for words in page.words]
        assert {f"Student {n + 1}" for n in range(45)} <= set(shown)
    numbers = [words for page in quiz if "items" in page.key for words in page.words if words.isdigit()]
    assert set(map(str, range(1, 61))) <= set(numbers)


def test_scores_and_their_give_or_take_stand_on_their_scale(books: dict[str, list[Page]]) -> None:
    page = next(page for page in books["six learners"] if page.key == "quiz-1-scores-1")
    zero, whole = (page.find(words).place[0] for words in ("0", "100"))
    best = max(sample.quiz().scores, key=lambda one: one.score)
    dots = [shape.box for shape in page.shapes if shape.kind == "dot"]
    assert len(dots) == 24
    middle = (dots[0].left + dots[0].right) / 2
    assert middle == pytest.approx(zero + best.score * (whole - zero))
    low = sorted(dots, key=lambda box: box.left)[0]
    caps = [
        shape.points[0][0]
        for shape in page.shapes
        if shape.kind == "line" and shape.stroke == DIM and shape.points[0][0] == shape.points[1][0]
        and low.top < shape.points[0][1] < low.bottom
    ]  # fmt: skip
    assert max(caps) - min(caps) == pytest.approx(2 * 0.08 * (whole - zero))


def test_intervals_of_items_are_where_the_scale_says(books: dict[str, list[Page]]) -> None:
    page = next(page for page in books["six learners"] if page.key == "quiz-1-items-1")
    zero, whole = (page.find(words).place[0] for words in ("0 %", "100 %"))
    bars = [shape.box for shape in page.shapes if shape.kind == "rect" and shape.fill == mixed(0.22)]
    for item, bar in zip(sample.quiz().items, bars, strict=True):
        low, high = item.difficulty.interval.low, item.difficulty.interval.high
        assert (bar.left, bar.right) == pytest.approx(
            (zero + low * (whole - zero), zero + high * (whole - zero))
        )
