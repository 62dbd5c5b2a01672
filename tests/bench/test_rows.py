"""The benchmark: every row gives a figure, a row that fails stops nothing, budgets are read the right way."""

import math
import time
from functools import cache
from itertools import count

import pytest

from trainer.bench import music, reps
from trainer.bench.fluidsynth import found_soundfont
from trainer.bench.measure import median_s, run_bench, seconds_of
from trainer.bench.music import scores
from trainer.bench.row import Clock, Measured, Result, Row, Scale
from trainer.bench.rows import ROWS, chosen_rows
from trainer.bench.table import result_lines
from trainer.ensemble.parts import LineUp
from trainer.refusal import Refused

TINY = Scale(
    excerpts=1,
    reps=1,
    chunks=8,
    starts=1,
    adds=2,
    attempts=20,
    replayed=40,
    drilled=1,
    looped_s=1.0,
    soaked_s=2.0,
)
FEW = LineUp("few", "few", ("marimba", "snare-line", "bass-drum-line", "trumpets", "sub"))
"""Who plays in the rows that are only to give a figure."""


def ticking(step_s: float = 0.5) -> Clock:
    """Return a clock that goes on by a step at every look."""
    ticks = count()
    return lambda: next(ticks) * step_s


@pytest.fixture(scope="module")
def results() -> dict[str, Result]:
    """Return what comes of all rows, done as small as can be: few parts, one excerpt for the rows of reps."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(music, "LINE_UP", FEW)
        patch.setattr(reps, "ready", cache(reps.ready))
        return {result.row.name: result for result in run_bench(ROWS, clock=time.perf_counter, scale=TINY)}


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.name)
def test_every_row_gives_a_figure(row: Row, results: dict[str, Result]) -> None:
    result = results[row.name]
    assert not result.trouble
    assert result.measured is not None
    assert result.measured.value > 0.0 or row.limit == 0.0
    assert math.isfinite(result.measured.value)


def test_the_music_stands_beside_fluidsynth_where_that_is_installed(results: dict[str, Result]) -> None:
    measured = results["stems-cold"].measured
    assert measured is not None
    assert "FluidSynth" in measured.beside
    assert (measured.peer is None) is (found_soundfont() is None)


def test_a_flip_is_heard_within_two_chunks(results: dict[str, Result]) -> None:
    """The budget is a count of chunks, the same on every machine."""
    row = next(row for row in ROWS if row.name == "flip")
    measured = results["flip"].measured
    assert measured is not None
    assert row.is_met(measured)


def test_what_is_printed_names_the_row_its_figure_and_its_budget(results: dict[str, Result]) -> None:
    lines = list(result_lines(results["flip"]))
    assert lines[0].startswith("flip: ")
    assert lines[1] == "    2 chunks, must be ≤ 2 chunks: kept"


def test_the_excerpts_are_of_twenty_stems() -> None:
    """The line-up of a full field show: twenty parts."""
    some = scores(shortest_s=12.0)
    for _ in range(3):
        score = next(some)
        assert len(score.parts) == 20
        assert score.duration_s >= 12.0


def test_a_row_that_fails_says_so_and_the_rest_go_on() -> None:
    def breaks(_scale: Scale, _clock: Clock) -> Measured:
        raise OSError("no room")

    rows = [Row("a", "a", "s", breaks, limit=1.0), Row("b", "b", "s", lambda _scale, _clock: Measured(1.0))]
    failed, well = run_bench(rows, clock=ticking())
    assert failed.measured is None
    assert "no room" in failed.trouble
    assert well.measured == Measured(1.0)
    assert list(result_lines(failed)) == ["a: a", "    failed: OSError: no room"]
    assert list(result_lines(well)) == ["b: b", "    1 s"]


def test_time_is_what_the_clock_says() -> None:
    assert seconds_of(lambda: None, clock=ticking(0.5)) == 0.5
    assert median_s([lambda: None] * 3, clock=ticking(0.25)) == 0.25


@pytest.mark.parametrize(
    ("value", "peer", "more_is_better", "kept", "ratio"),
    [
        (50.0, 20.0, True, True, 2.5),
        (44.0, 20.0, True, False, 2.2),
        (50.0, 30.0, True, False, 50.0 / 30.0),
        (50.0, None, True, True, None),
        (40.0, 100.0, False, True, 2.5),
        (46.0, 100.0, False, False, 100.0 / 46.0),
    ],
)
def test_a_budget_is_kept_on_its_own_side_of_the_limit_and_of_the_peer(
    value: float, peer: float | None, more_is_better: bool, kept: bool, ratio: float | None
) -> None:
    row = Row(
        "a", "a", "", lambda *_: Measured(0.0), limit=45.0, ratio_limit=2.0, more_is_better=more_is_better
    )
    measured = Measured(value, peer)
    assert row.is_met(measured) is kept
    assert row.ratio(measured) == (None if ratio is None else pytest.approx(ratio))


def test_a_row_without_a_budget_is_neither_kept_nor_missed() -> None:
    assert Row("a", "a", "s", lambda *_: Measured(1.0)).is_met(Measured(1.0, 2.0)) is None


def test_rows_are_chosen_by_name_in_the_order_of_the_table() -> None:
    assert [row.name for row in chosen_rows(["flip", "stems-cold"])] == ["stems-cold", "flip"]
    assert chosen_rows([]) == tuple(row for row in ROWS if not row.is_long)
    with pytest.raises(Refused, match=r"no row 'flop'; there are stems-cold"):
        chosen_rows(["flop"])
