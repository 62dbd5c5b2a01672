"""The printed answer sheet: one upright A4 page, every option on it, nothing too small, nothing on each other."""

from collections.abc import Sequence
from itertools import pairwise
from pathlib import Path

import pytest
from pypdf import PdfReader

from tests.reports import sample_book as sample
from tests.reports.recording import Page, Recording, troubles_of
from trainer.refusal import Refused
from trainer.reports.answer_sheet import HEAD_TO, answer_sheet_pdf, draw_answer_sheet
from trainer.reports.print.surface import UPRIGHT_PT
from trainer.season.pages import SheetBlank, SheetChoice, SheetField, SheetItem


def drawn(items: Sequence[SheetItem]) -> list[Page]:
    paper = Recording()
    draw_answer_sheet(paper, sample.sheet(tuple(items)))
    return paper.pages


def words_of(one: SheetField) -> tuple[str, ...]:
    """Return all that must be read of a field."""
    if isinstance(one, SheetChoice):
        return one.options
    if isinstance(one, SheetBlank):
        return (one.title, f"{one.unit} ({one.travel})")
    return (one.nothing, *(option for column in one.columns for option in column.options))


@pytest.fixture(scope="module")
def sheets() -> dict[str, list[Page]]:
    return {name: drawn(items) for name, items in sample.SHEETS.items()}


@pytest.mark.parametrize("name", sample.SHEETS)
def test_it_is_one_page_with_every_option_on_it(name: str, tmp_path: Path) -> None:
    """ISO 216: A4 is 210 by 297 mm."""
    items = sample.SHEETS[name]
    answer_sheet_pdf(sample.sheet(items), tmp_path / "sheet.pdf")
    reader = PdfReader(tmp_path / "sheet.pdf")
    assert len(reader.pages) == 1
    page = reader.pages[0]
    size_mm = [float(side) / 72 * 25.4 for side in (page.mediabox.width, page.mediabox.height)]
    assert size_mm == pytest.approx([210.0, 297.0], abs=0.1)
    text = " ".join(page.extract_text().split())
    options = {option for item in items for one in item.fields for option in words_of(one)}
    assert [option for option in options if option not in text] == []
    for words in ("Name", "Date", "TIDE-7K3", "plain, changed, plain, changed", "Ears before camp"):
        assert words in text


@pytest.mark.parametrize("name", sample.SHEETS)
def test_nothing_is_small_or_cut_or_on_each_other(name: str, sheets: dict[str, list[Page]]) -> None:
    for page in sheets[name]:
        assert list(troubles_of(page, UPRIGHT_PT)) == []
        assert not [words for words in page.words if "…" in words]


@pytest.mark.parametrize("name", sample.SHEETS)
def test_rings_do_not_touch_and_hold_their_words(name: str, sheets: dict[str, list[Page]]) -> None:
    (page,) = sheets[name]
    rings = [shape.box for shape in page.shapes if shape.kind == "rect" and shape.stroke]
    to_write_on = [shape for shape in page.shapes if shape.kind == "line" and shape.box.top > HEAD_TO]
    asked = [one for item in sample.SHEETS[name] for one in item.fields]
    assert len(rings) + len(to_write_on) > len(asked), (
        "a line or rings for each field, and the line at the foot"
    )
    for one, other in pairwise(rings):
        assert one.right < other.left or other.top > one.bottom or other.left < one.left
    for ring in rings:
        inside = [w for w in page.written if ring.holds(w.box.left, w.place[1] - 2.7)]
        assert len(inside) == 1
        assert inside[0].box.right <= ring.right


def test_what_a_number_means_is_the_same_in_every_item() -> None:
    """Items offer different stems: a stem keeps its number, so one list at the foot says all."""
    items = [
        SheetItem(n, "Which stem is compressed?", (SheetChoice("stem", sample.STEMS[n : n + 15]),))
        for n in range(1, 6)
    ]
    (page,) = drawn(items)
    legend = [words for words in page.words if words.startswith("#") and " " in words]
    numbers = {words.split(" ", 1)[1]: words.split(" ", 1)[0] for words in legend}
    assert set(numbers) == set(sample.STEMS[1:20])
    assert len(set(numbers.values())) == 19
    rows = sorted(
        {round(w.place[1], 1) for w in page.written if w.words == numbers[sample.STEMS[5]] and not w.bold}
    )
    assert len(rows) == 5, "the stem that all five items offer has a ring in each"


def test_more_than_forty_items_go_on_and_none_is_a_page_too() -> None:
    pages = drawn([sample.tone_item(number) for number in range(1, 61)])
    assert len(pages) == 2
    numbers = [w.words for page in pages for w in page.written if w.bold and w.words.isdigit()]
    assert numbers == [str(number) for number in range(1, 61)]
    assert any("page 2 of 2" in words for words in pages[1].words)
    assert len(drawn([])) == 1


def test_strange_words_do_no_harm(tmp_path: Path) -> None:
    items = (
        SheetItem(n, words, (SheetChoice(words, (words, "other")),))
        for n, words in enumerate(sample.STRANGE, 1)
    )
    answer_sheet_pdf(sample.sheet(tuple(items)), tmp_path / "sheet.pdf")
    text = PdfReader(tmp_path / "sheet.pdf").pages[0].extract_text()
    assert text.count("other") == len(sample.STRANGE), "also after a name of another font"
    assert "<script>alert(1)</script>" in text


def test_the_same_sheet_gives_the_same_bytes(tmp_path: Path) -> None:
    for name in ("one.pdf", "two.pdf"):
        answer_sheet_pdf(sample.sheet((sample.tone_item(1, "مالك"),)), tmp_path / name)
    assert (tmp_path / "one.pdf").read_bytes() == (tmp_path / "two.pdf").read_bytes()


def test_a_missing_folder_is_told(tmp_path: Path) -> None:
    with pytest.raises(Refused, match="cannot be written"):
        answer_sheet_pdf(sample.sheet(()), tmp_path / "nowhere" / "sheet.pdf")


def rows_of(page: Page) -> dict[float, list[str]]:
    """Return what is circled or named on each line of a page, from its top."""
    found: dict[float, list[str]] = {}
    for one in page.written:
        found.setdefault(round(one.place[1], 1), []).append(one.words)
    return found


def test_a_list_has_a_line_for_each_row_with_every_option_of_each_column() -> None:
    (page,) = drawn([sample.list_item(1)])
    rows = [words for words in rows_of(page).values() if "boost" in words]
    options = [*sample.BAND.options, *sample.DIRECTION.options]
    assert [row[: 1 + len(options)] for row in rows] == [[str(n), *options] for n in range(1, 5)]
    assert page.words.count("nothing") == 1
    assert any("fill in a row for each thing you hear, in any order" in words for words in page.words)


@pytest.mark.parametrize(("name", "lines"), [("lists to write", 14 * 4 * 2), ("lists of stems", 10 * 3 * 2)])
def test_a_list_without_room_has_a_line_a_column_in_each_row_far_enough_apart(
    name: str, lines: int, sheets: dict[str, list[Page]]
) -> None:
    """What can be written stands at the foot as it is: a band has no number beside its number of hertz."""
    (page,) = sheets[name]
    boxes = [
        shape.box
        for shape in page.shapes
        if shape.kind == "line" and shape.box.top > HEAD_TO and shape.box.right - shape.box.left < 100.0
    ]
    assert len(boxes) == lines
    tops = sorted({round(box.top, 2) for box in boxes})
    assert min(later - earlier for earlier, later in pairwise(tops)) >= 15.0
    for column in sample.SHEETS[name][0].fields[0].columns:
        assert f"{column.title}:" in page.words
        assert set(column.options) <= set(page.words)


def test_a_control_has_a_line_before_its_unit_and_its_travel(sheets: dict[str, list[Page]]) -> None:
    (page,) = sheets["controls"]
    assert page.words.count("gain") == page.words.count("dB (-12 to 12)") == 40
    name, unit = page.find("gain"), page.find("dB (-12 to 12)")
    line = next(s.box for s in page.shapes if s.kind == "line" and s.box.top > HEAD_TO)
    assert name.box.right < line.left < line.right < unit.box.left


def test_thirty_bands_are_circled_by_their_short_names_and_never_by_numbers(
    sheets: dict[str, list[Page]],
) -> None:
    (page,) = sheets["third-octave bands"]
    for option in sample.THIRDS.options:
        assert page.words.count(option) >= 20
    pages = drawn([sample.thirds_item(number) for number in range(1, 41)])
    assert len(pages) == 2, "more pages rather than numbers for numbers"
    assert [page.words.count("12.5k") for page in pages] == [20, 20]
