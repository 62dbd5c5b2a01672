"""The learner's lanes: marks stand on the lanes' own scale, and words say how sure that is."""

import dataclasses
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.window.staged import Stage
from trainer.dsp.octave_bands import NOMINAL_HZ
from trainer.playback.sdl import pygame
from trainer.progress.ear_figures import EarFigures, WeekTrend
from trainer.progress.figures.improvement import TooEarly
from trainer.progress.figures.intervals import Estimate, Interval
from trainer.progress.figures.smallest_changes import SmallestChange
from trainer.window.canvas import Canvas
from trainer.window.chalk import draw_standing
from trainer.window.control import Intent
from trainer.window.gallery import LOOKS, blank, drawn
from trainer.window.session import Session
from trainer.window.settings import Settings
from trainer.window.standing import Standing, figure_words
from trainer.window.state import Place

LANE = 3
"""The lane that is looked at: 250 Hz."""
ROOM = pygame.Rect(24, 80, 800, 580)


@pytest.fixture
def session(tmp_path: Path) -> Iterator[Session]:
    stage = Stage(tmp_path)
    stage.know("Heron")
    session = stage.session(learner="Heron")
    yield session
    session.close()


@pytest.fixture
def standing(session: Session) -> Standing:
    assert session.standing is not None
    return session.standing


def change(band_hz: float, t75_db: float, low_db: float, high_db: float) -> SmallestChange:
    at_6_db = Estimate(0.7, Interval(0.6, 0.8), 30.0)
    return SmallestChange(band_hz, 30.0, 0, t75_db, Interval(low_db, high_db), None, at_6_db)


def with_figures(standing: Standing, *trend: WeekTrend, **changed: object) -> Standing:
    """Return a standing of 6 dB (4 to 8) in all bands, but for what is ``changed`` in one lane."""
    bands = [change(band_hz, 6.0, 4.0, 8.0) for band_hz in NOMINAL_HZ]
    bands[LANE] = dataclasses.replace(bands[LANE], **changed)
    ear = EarFigures(tuple(bands), trend, TooEarly(9, 40))
    return dataclasses.replace(standing, ear=ear, answers=300.0)


def lanes(standing: Standing, *, with_weeks: bool = False) -> Canvas:
    canvas = blank(Settings(), LOOKS[0])
    canvas.surface.fill(canvas.theme.ground)
    draw_standing(canvas, ROOM, standing, with_weeks=with_weeks)
    return canvas


def place_of(canvas: Canvas, words: str) -> pygame.Rect:
    return next(one.rect for one in canvas.written if one.words == words)


def ink_at(canvas: Canvas, scale: str, *, left: int = 0) -> bool:
    """Say whether there is chalk in the lane at a word of the scale, so many pixels left of its middle."""
    at = (place_of(canvas, "250").centerx - left, place_of(canvas, scale).centery)
    return tuple(canvas.surface.get_at(at))[:3] == canvas.theme.ink


def words_of(canvas: Canvas) -> set[str]:
    return {one.words for one in canvas.written}


def test_the_chalk_line_stands_at_its_size_on_the_scale(standing: Standing) -> None:
    for size_db in (3.0, 6.0, 9.0, 12.0):
        canvas = lanes(with_figures(standing, t75_db=size_db, interval=Interval(size_db - 1, size_db + 1)))
        chalked = {f"{db} dB" for db in (0, 3, 6, 9, 12, 15) if ink_at(canvas, f"{db} dB")}
        assert chalked == {f"{size_db:g} dB"}


def test_the_blur_is_as_high_as_the_interval(standing: Standing) -> None:
    """3 to 12 dB: what is drawn differs from a bare lane between these sizes, and nowhere else."""
    shown = lanes(with_figures(standing, t75_db=6.0, interval=Interval(3.0, 12.0)))
    bare = lanes(with_figures(standing, missing=3))
    x = place_of(shown, "250").centerx
    rows = range(place_of(shown, "15 dB").centery, place_of(shown, "0 dB").centery)
    changed = [y for y in rows if shown.surface.get_at((x, y)) != bare.surface.get_at((x, y))]
    assert changed[0] == pytest.approx(place_of(shown, "12 dB").centery, abs=2)
    assert changed[-1] == pytest.approx(place_of(shown, "3 dB").centery, abs=2)
    assert len(changed) == pytest.approx(changed[-1] - changed[0], abs=8), "no gap but where a scale line is"


def test_a_figure_beyond_the_scale_has_a_sign_above_it_and_no_chalk(standing: Standing) -> None:
    canvas = lanes(with_figures(standing, t75_db=17.0, interval=Interval(11.2, 26.0)))
    assert {"> 15 dB", "from 11.2"} <= words_of(canvas)
    assert not ink_at(canvas, "15 dB", left=15)
    x, top = place_of(canvas, "250").centerx, place_of(canvas, "15 dB").centery
    above = [tuple(canvas.surface.get_at((x, y)))[:3] for y in range(top - 25, top - 2)]
    assert canvas.theme.ink in above
    bare = lanes(with_figures(standing))
    assert bare.theme.ink not in [tuple(bare.surface.get_at((x, y)))[:3] for y in range(top - 25, top - 2)]


def test_words_at_the_foot_of_a_lane(standing: Standing) -> None:
    known = words_of(lanes(with_figures(standing, t75_db=5.2, interval=Interval(4.1, 6.1))))
    assert {"5.2 dB", "4.1–6.1", "6.0 dB", "4.0–8.0"} <= known
    early = words_of(lanes(with_figures(standing, missing=12)))
    assert {"too early", "12 to go"} <= early
    assert any("too early to tell, 9 more days" in words for words in early)


def test_the_legend_tells_of_the_marks_there_are(standing: Standing) -> None:
    def legend(figures: Standing, *, with_weeks: bool = True) -> str:
        said = [one.words for one in lanes(figures, with_weeks=with_weeks).written]
        return " ".join(said[1 : next(number for number, words in enumerate(said) if "Since" in words)])

    week = WeekTrend(1, (6.0,) * 10)
    assert "week 1" not in legend(with_figures(standing))
    assert "dashes: week 1" in legend(with_figures(standing, week_1_db=9.0))
    assert "revised as more answers arrive" in legend(with_figures(standing, week))
    assert "dots" not in legend(with_figures(standing, week), with_weeks=False)


def test_somebody_without_answers_sees_empty_lanes(session: Session) -> None:
    session.do(Intent("go", Place.PROGRESS))
    canvas = drawn(session, LOOKS[0])
    assert [one.words for one in canvas.written].count("20 to go") == 10
    assert not any("Since week 1" in one.words for one in canvas.written)
    assert any("No answers yet" in one.words for one in canvas.written)


def test_the_reveal_names_what_the_learner_names_there_and_what_that_rests_on(standing: Standing) -> None:
    known = with_figures(standing, t75_db=5.2, interval=Interval(4.1, 6.1))
    assert figure_words(*known.band(250.0)) == (
        "You name about 4.1–6.1 dB here.",
        "from 0 answers, 0 of them right",
    )
