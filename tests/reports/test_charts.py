"""The charts: marks stand where the figures say, words are readable and apart, files are what they claim."""

import os
import re
import subprocess
import sys
from collections.abc import Callable
from datetime import timedelta
from itertools import combinations
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from tests.progress.made_up import BANDS, START, answered, rng
from trainer.practice.attempt import Attempt
from trainer.progress.figures import accuracy_by_week, band_confusions, band_figures, confusions, tallies_of
from trainer.refusal import Refused
from trainer.reports import paper
from trainer.reports.charts import draw_progress as draw_tallies
from trainer.reports.charts import progress_chart
from trainer.reports.confusion_chart import confusion_chart
from trainer.reports.lanes import height_px

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


def draw_progress(attempts: list[Attempt], path: Path, *, learner: str = "Heron") -> None:
    progress_chart(band_figures(attempts), accuracy_by_week(attempts, start=START), path, learner=learner)


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
    "a full season": season(3000, weeks=14),
    "a first evening": season(40, weeks=1),
    "thousands": season(200, weeks=3) * 60,
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
    two = confusions(season(50, weeks=1), field="direction", keys=("boost", "cut"))
    confusion_chart(two, tmp_path / "chart.png", learner="Heron")
    assert_words_are_apart_and_on_the_page(drawn())


def test_the_marks_stand_where_the_figures_say(drawn: Drawn, tmp_path: Path) -> None:
    """15 right of 20: the line on the scale's own 75 %, the blur from .568 to .873 (Wilson at 90 %)."""
    attempts = [answered(n, band_hz=250.0, said_hz=250.0 if n < 15 else 500.0) for n in range(20)]
    draw_progress(attempts, tmp_path / "chart.png")
    axes = drawn().axes[0]
    (blur,) = axes.images
    left, right, low, high = blur.get_extent()
    assert (low, high) == pytest.approx((height_px(0.568), height_px(0.873)), abs=0.5)
    (chalk,) = [line for line in axes.lines if line.get_linewidth() > 3]
    at_75 = next(text.get_position()[1] for text in axes.texts if text.get_text() == "75 %")
    assert list(chalk.get_ydata()) == pytest.approx([at_75, at_75])
    name = next(text.get_position()[0] for text in axes.texts if text.get_text() == "250")
    assert np.mean(chalk.get_xdata()) == pytest.approx(name) == pytest.approx((left + right) / 2)


def test_the_scale_is_even_and_begins_at_zero(drawn: Drawn, tmp_path: Path) -> None:
    draw_progress([], tmp_path / "chart.png")
    at = {text.get_text(): text.get_position()[1] for text in drawn().axes[0].texts}
    steps = np.diff([at[f"{percent} %"] for percent in (0, 25, 50, 75, 100)])
    assert steps == pytest.approx(np.full(4, steps[0]))
    assert steps[0] < 0, "up the page is more"


def test_lanes_without_enough_answers_show_no_mark_and_say_so(drawn: Drawn, tmp_path: Path) -> None:
    draw_progress([answered(n, band_hz=63.0, said_hz=63.0) for n in range(7)], tmp_path / "chart.png")
    axes = drawn().axes[0]
    assert not axes.images
    assert not [line for line in axes.lines if line.get_linewidth() > 3]
    assert words_of(drawn()).count("too few yet") == 10
    assert words_of(drawn()).count("1 more to go") == 1


def test_week_1_is_dashed_only_once_there_is_a_later_week(drawn: Drawn, tmp_path: Path) -> None:
    def dashes() -> int:
        return sum(line.get_linewidth() == 1.6 for line in drawn().axes[0].lines)

    first = [answered(n, band_hz=63.0, said_hz=63.0) for n in range(8)]
    draw_progress(first, tmp_path / "chart.png")
    assert dashes() == 0
    later = [answered(100 + n, band_hz=63.0, said_hz=125.0, at=START + timedelta(days=8)) for n in range(8)]
    draw_progress(first + later, tmp_path / "chart.png")
    assert dashes() == 1


def test_drawn_from_tallies_week_1_begins_with_the_first(drawn: Drawn, tmp_path: Path) -> None:
    late = START + timedelta(days=100)
    attempts = [answered(n, band_hz=63.0, said_hz=63.0, at=late + timedelta(days=n)) for n in range(16)]
    draw_tallies("Heron", tallies_of(attempts), tmp_path / "chart.png")
    assert "16 answers, since 14 May 2031" in words_of(drawn())
    draw_tallies("Heron", [], tmp_path / "chart.png")
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
        "import sys; from pathlib import Path; from trainer.progress.figures import band_figures; "
        "from trainer.reports.charts import progress_chart; "
        f"progress_chart(band_figures([]), [], Path({str(tmp_path / 'chart.png')!r}), learner='Heron'); "
        "sys.exit('matplotlib.pyplot' in sys.modules)"
    )
    no_display = {name: value for name, value in os.environ.items() if name not in ("DISPLAY", "MPLBACKEND")}
    subprocess.run([sys.executable, "-c", script], check=True, cwd=Path(__file__).parents[2], env=no_display)
