"""The charts: marks stand where the figures say, words are readable and apart, files are what they claim."""

import os
import re
import subprocess
import sys
from collections.abc import Callable
from datetime import timedelta
from itertools import combinations
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from tests.progress.made_up import BANDS, START, answered, rng
from trainer.practice.attempt import Attempt
from trainer.progress.ear_figures import EarFigures, WeekTrend, ear_figures_of_attempts
from trainer.progress.figures import band_confusions, confusions
from trainer.progress.figures.improvement import TooEarly
from trainer.progress.figures.intervals import Estimate, Interval
from trainer.progress.figures.smallest_changes import SmallestChange
from trainer.refusal import Refused
from trainer.reports import paper
from trainer.reports.charts import progress_chart
from trainer.reports.confusion_chart import confusion_chart

Drawn = Callable[[], Figure]


def season(
    count: int, *, weeks: int, places: tuple[int, ...] = tuple(range(10)), seed: int = 3
) -> list[Attempt]:
    """Return a made-up learner's answers: three in four right, the others a lane or two off."""
    random = rng(seed)
    made = []
    for number in range(count):
        place = int(random.choice(places))
        said = place if random.random() < 0.75 else int(np.clip(place + random.choice([-2, -1, 1, 2]), 0, 9))
        at = START + timedelta(days=7 * random.uniform(0, weeks))
        made.append(answered(number, band_hz=BANDS[place], said_hz=BANDS[said], at=at))
    return made


def ear_of(attempts: list[Attempt]) -> EarFigures:
    today = max((attempt.at for attempt in attempts), default=START).date()
    in_time = sorted(attempts, key=lambda attempt: attempt.at)
    return ear_figures_of_attempts(in_time, today=today)


def draw_progress(attempts: list[Attempt], path: Path, *, learner: str = "Heron") -> None:
    progress_chart(ear_of(attempts), path, learner=learner, answers=len(attempts), since=START.date())


def named(t75_db: float, low_db: float, high_db: float, **changed: Any) -> SmallestChange:
    """Return the figure of a band that enough is known of."""
    fields = {"band_hz": 250.0, "answers": 30.0, "missing": 0, "week_1_db": None} | changed
    at_6_db = Estimate(0.75, Interval(0.6, 0.9), 30.0)
    return SmallestChange(t75_db=t75_db, interval=Interval(low_db, high_db), at_6_db=at_6_db, **fields)


def draw_one(change: SmallestChange, path: Path, *, trend: tuple[WeekTrend, ...] = ()) -> None:
    progress_chart(EarFigures((change,), trend, TooEarly(3, 0)), path, learner="Heron")


@pytest.fixture
def drawn(monkeypatch: pytest.MonkeyPatch) -> Drawn:
    """Keep the figure instead of saving it."""
    kept: list[Figure] = []

    def keep(figure: Figure, _path: Path, _ending: str) -> None:
        with paper.any_script():
            FigureCanvasAgg(figure).draw()
        kept.append(figure)

    monkeypatch.setattr(paper, "_save", keep)
    return lambda: kept[-1]


def words_of(figure: Figure) -> list[str]:
    return [text.get_text() for text in figure.axes[0].texts]


def assert_words_are_apart_and_on_the_page(figure: Figure) -> None:
    boxes = [(text.get_text(), text.get_window_extent()) for text in figure.axes[0].texts]
    for text, box in boxes:
        assert box.x0 >= 0, f"{text!r} begins left of the page"
        assert box.x1 <= figure.bbox.x1, f"{text!r} ends right of the page"
        assert box.y0 >= 0, f"{text!r} ends below the page"
        assert box.y1 <= figure.bbox.y1, f"{text!r} begins above the page"
    for (one, first), (other, second) in combinations(boxes, 2):
        assert not first.overlaps(second), f"{one!r} and {other!r} overlap"


SEASONS = {
    "a full season": season(1200, weeks=14),
    "a first evening": season(40, weeks=1),
    "a year": season(800, weeks=52),
    "nothing yet": [],
}
LEARNERS = (
    "Heron",
    "Sanderling of the far northern shore, second season",
    "青鷺 🐦 مالك",
    "$x^2$ \\frac & <b>",
)


@pytest.mark.parametrize(
    ("attempts", "learner"), tuple(zip(SEASONS.values(), LEARNERS, strict=True)), ids=SEASONS
)
def test_progress_words_are_apart_and_on_the_page(
    attempts: list[Attempt], learner: str, drawn: Drawn, tmp_path: Path
) -> None:
    draw_progress(attempts, tmp_path / "chart.png", learner=learner)
    assert_words_are_apart_and_on_the_page(drawn())


def test_confusion_words_are_apart_and_on_the_page(drawn: Drawn, tmp_path: Path) -> None:
    confusion_chart(band_confusions(season(3000, weeks=9)), tmp_path / "chart.png", learner=LEARNERS[1])
    assert_words_are_apart_and_on_the_page(drawn())


def test_a_small_confusion_chart_keeps_its_words_on_the_page(drawn: Drawn, tmp_path: Path) -> None:
    two = confusions(season(50, weeks=1), of="direction", keys=("boost", "cut"))
    confusion_chart(two, tmp_path / "chart.png", learner="Heron")
    assert_words_are_apart_and_on_the_page(drawn())


def height_of(figure: Figure, words: str) -> float:
    return next(text.get_position()[1] for text in figure.axes[0].texts if text.get_text() == words)


def chalk_of(figure: Figure) -> list[Any]:
    return [line for line in figure.axes[0].lines if line.get_linewidth() > 3]


def dashes_of(figure: Figure) -> list[Any]:
    return [line for line in figure.axes[0].lines if line.get_linewidth() == 1.6]


def signs_of(figure: Figure, marker: str) -> list[Any]:
    return [line for line in figure.axes[0].lines if line.get_marker() == marker]


def test_the_marks_stand_on_the_chart_s_own_scale(drawn: Drawn, tmp_path: Path) -> None:
    """6 dB, 3 to 9, 12 in week 1: line, blur and dashes at the words 6, 3, 9 and 12 dB of the scale."""
    draw_one(named(6.0, 3.0, 9.0, week_1_db=12.0), tmp_path / "chart.png")
    figure = drawn()
    (blur,) = figure.axes[0].images
    left, right, low, high = blur.get_extent()
    assert (low, high) == pytest.approx((height_of(figure, "3 dB"), height_of(figure, "9 dB")))
    (chalk,) = chalk_of(figure)
    assert list(chalk.get_ydata()) == pytest.approx([height_of(figure, "6 dB")] * 2)
    (dashes,) = dashes_of(figure)
    assert list(dashes.get_ydata()) == pytest.approx([height_of(figure, "12 dB")] * 2)
    name = next(text.get_position()[0] for text in figure.axes[0].texts if text.get_text() == "250")
    assert np.mean(chalk.get_xdata()) == pytest.approx(name) == pytest.approx((left + right) / 2)
    assert {"6.0 dB", "3.0–9.0"} <= set(words_of(figure))


def test_the_scale_is_even_and_begins_at_zero(drawn: Drawn, tmp_path: Path) -> None:
    draw_progress([], tmp_path / "chart.png")
    steps = np.diff([height_of(drawn(), f"{size_db} dB") for size_db in (0, 3, 6, 9, 12, 15)])
    assert steps == pytest.approx(np.full(5, steps[0]))
    assert steps[0] < 0, "up the page is more"


def test_the_weeks_are_dots_from_left_to_right(drawn: Drawn, tmp_path: Path) -> None:
    trend = tuple(WeekTrend(week, (size_db,)) for week, size_db in ((1, 12.0), (2, 9.0), (3, 17.0), (4, 6.0)))
    draw_one(named(6.0, 3.0, 9.0), tmp_path / "chart.png", trend=trend)
    (dots,) = signs_of(drawn(), "o")
    assert list(dots.get_ydata()) == pytest.approx([height_of(drawn(), f"{db} dB") for db in (12, 9, 6)])
    assert list(dots.get_xdata()) == sorted(dots.get_xdata())


def test_of_a_year_s_weeks_few_enough_are_shown_to_be_told_apart(drawn: Drawn, tmp_path: Path) -> None:
    trend = tuple(WeekTrend(week, (12.0 - 0.1 * week,)) for week in range(1, 53))
    draw_one(named(6.8, 3.0, 9.0), tmp_path / "chart.png", trend=trend)
    (dots,) = signs_of(drawn(), "o")
    at = np.asarray(dots.get_xdata())
    assert 10 <= len(at) <= 14
    assert np.min(np.diff(at)) >= 6.0, "dots are six pixels wide"


def test_what_goes_on_beyond_the_scale_ends_with_a_sign(drawn: Drawn, tmp_path: Path) -> None:
    draw_one(named(17.0, 11.2, 25.0), tmp_path / "chart.png")
    figure = drawn()
    (sign,) = signs_of(figure, "^")
    assert sign.get_ydata()[0] < height_of(figure, "15 dB"), "above the scale"
    assert not chalk_of(figure)
    assert figure.axes[0].images[0].get_extent()[3] == pytest.approx(height_of(figure, "15 dB"))
    assert {"> 15 dB", "from 11.2"} <= set(words_of(figure))
    draw_one(named(40.0, 16.0, 90.0), tmp_path / "chart.png")
    assert not drawn().axes[0].images
    draw_one(named(6.0, 3.0, 15.0), tmp_path / "chart.png")
    assert not signs_of(drawn(), "^")


def test_too_early_to_tell_shows_no_mark_and_says_how_many_answers_to_go(
    drawn: Drawn, tmp_path: Path
) -> None:
    draw_progress([answered(n, band_hz=63.0, said_hz=63.0) for n in range(13)], tmp_path / "chart.png")
    figure = drawn()
    assert not figure.axes[0].images
    assert not chalk_of(figure)
    assert words_of(figure).count("too early") == 10
    assert words_of(figure).count("7 to go") == 10
    assert any("too early to tell, 14 more days" in words for words in words_of(figure))


def test_week_1_is_dashed_only_once_it_is_over(drawn: Drawn, tmp_path: Path) -> None:
    first = [answered(n, band_hz=1000.0, said_hz=1000.0, size=9.0) for n in range(20)]
    draw_progress(first, tmp_path / "chart.png")
    assert not dashes_of(drawn())
    last_day = START + timedelta(days=6)
    draw_progress([*first, answered(99, band_hz=63.0, said_hz=63.0, at=last_day)], tmp_path / "chart.png")
    assert not dashes_of(drawn())
    later = START + timedelta(days=7)
    draw_progress([*first, answered(99, band_hz=63.0, said_hz=63.0, at=later)], tmp_path / "chart.png")
    assert len(dashes_of(drawn())) == 1


def test_the_head_says_how_many_answers_and_since_when(drawn: Drawn, tmp_path: Path) -> None:
    progress_chart(ear_of([]), tmp_path / "a.png", learner="Heron", answers=12016.4, since=START.date())
    assert "12\u202f016 answers, since 3 February 2031" in words_of(drawn())
    progress_chart(ear_of([]), tmp_path / "a.png", learner="Heron")
    assert "0 answers" in words_of(drawn())


def test_counts_stand_in_the_cells_and_the_right_ones_are_outlined(drawn: Drawn, tmp_path: Path) -> None:
    pairs = [(31.5, 63.0)] * 11 + [(63.0, 63.0)] * 37 + [(63.0, None)] * 5
    attempts = [answered(n, band_hz=true, said_hz=said) for n, (true, said) in enumerate(pairs)]
    confusion_chart(band_confusions(attempts), tmp_path / "chart.png", learner="Heron")
    words = words_of(drawn())
    assert {"11", "37", "5", "42"} <= set(words)
    outlined = [patch for patch in drawn().axes[0].patches if patch.get_linewidth() == 1.8]
    assert len(outlined) == 10


@pytest.mark.parametrize(
    ("ending", "start"), [(".png", b"\x89PNG\r\n\x1a\n"), (".pdf", b"%PDF-"), (".SVG", b"<?xml")]
)
def test_each_format_begins_as_its_standard_says(ending: str, start: bytes, tmp_path: Path) -> None:
    """PNG (ISO/IEC 15948) signature, PDF (ISO 32000) header, SVG as XML."""
    path = tmp_path / f"chart{ending}"
    draw_progress(SEASONS["a first evening"], path)
    assert path.read_bytes().startswith(start)
    assert [file.name for file in tmp_path.iterdir()] == [path.name]


def test_the_same_figures_make_the_same_file_and_it_is_well_formed(tmp_path: Path) -> None:
    for name in ("one.svg", "two.svg"):
        draw_progress(SEASONS["a first evening"], tmp_path / name)
    one, two = ((tmp_path / name).read_bytes() for name in ("one.svg", "two.svg"))
    assert one == two
    assert ElementTree.fromstring(one).tag.endswith("svg")


def test_another_format_and_a_missing_folder_are_told(tmp_path: Path) -> None:
    with pytest.raises(Refused, match=re.escape("ends in .png, .svg, .pdf, not 'chart.jpg'")):
        draw_progress([], tmp_path / "chart.jpg")
    with pytest.raises(Refused, match="cannot be written"):
        draw_progress([], tmp_path / "nowhere" / "chart.svg")


def luminance(color: str) -> float:
    """Return the relative luminance of a colour (WCAG 2.1)."""
    parts = [int(color[start : start + 2], 16) / 255 for start in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return float(np.dot(linear, (0.2126, 0.7152, 0.0722)))


def contrast(one: str, other: str) -> float:
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize("ground", [paper.GROUND, paper.PANEL, paper.LANE])
@pytest.mark.parametrize("ink", [paper.INK, paper.DIM, paper.CUT])
def test_words_are_readable_on_every_ground(ink: str, ground: str) -> None:
    """WCAG 2.1, success criterion 1.4.3: 4.5 to 1."""
    assert contrast(ink, ground) >= 4.5


def test_words_are_readable_on_the_darkest_cell(drawn: Drawn, tmp_path: Path) -> None:
    """WCAG 2.1, success criterion 1.4.3, where every answer of a row is in one cell."""
    attempts = [answered(n, band_hz=63.0, said_hz=63.0) for n in range(9)]
    confusion_chart(band_confusions(attempts), tmp_path / "chart.png", learner="Heron")
    cells = [patch.get_facecolor() for patch in drawn().axes[0].patches if patch.get_facecolor()[3] > 0]
    darkest = min(cells, key=sum)
    as_hex = "#" + "".join(f"{round(255 * part):02x}" for part in darkest[:3])
    assert contrast(paper.INK, as_hex) >= 4.5


def test_drawing_needs_no_display_and_no_pyplot(tmp_path: Path) -> None:
    script = (
        "import sys; from datetime import date; from pathlib import Path; "
        "from trainer.progress.ear_figures import ear_figures_of_attempts; "
        "from trainer.reports.charts import progress_chart; "
        "ear = ear_figures_of_attempts([], today=date(2031, 2, 3)); "
        f"progress_chart(ear, Path({str(tmp_path / 'chart.png')!r}), learner='Heron'); "
        "sys.exit('matplotlib.pyplot' in sys.modules)"
    )
    no_display = {name: value for name, value in os.environ.items() if name not in ("DISPLAY", "MPLBACKEND")}
    subprocess.run([sys.executable, "-c", script], check=True, cwd=Path(__file__).parents[2], env=no_display)
