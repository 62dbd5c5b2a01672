"""Distinct seeds give distinct music: cosines between grids of (tick, pitch class or drum, accent)."""

import numpy as np
import pytest
from numpy.typing import NDArray

from trainer.ensemble.parts import PART_BY_KEY
from trainer.ensemble.score import Score

LONGEST_BEATS = 32


def grid_of(score: Score, part: str) -> NDArray[np.float32]:
    notes = score.notes_of(part)
    loud = np.sqrt(np.mean([note.velocity**2 for note in notes]))
    drums = len(PART_BY_KEY[part].drums)
    grid = np.zeros((LONGEST_BEATS * 24, drums or 12, 2), np.float32)
    for note in notes:
        grid[
            round(note.start_beat * 24), note.pitch if drums else note.pitch % 12, int(note.velocity >= loud)
        ] = 1.0
    return grid.ravel()


def cosines(scores: list[Score], part: str) -> NDArray[np.float32]:
    grids = np.stack([grid_of(score, part) for score in scores])
    grids /= np.linalg.norm(grids, axis=1, keepdims=True)
    return np.asarray((grids @ grids.T)[np.triu_indices(len(grids), 1)], np.float32)


def test_a_score_is_like_itself_and_nothing_like_silence_elsewhere(field_shows: list[Score]) -> None:
    same = cosines([field_shows[0], field_shows[0]], "snare-line")
    assert same == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("part", "median_at_most", "nearly_all_at_most"),
    [
        ("snare-line", 0.6, 0.9),
        ("tenor-line", 0.6, 0.9),
        ("bass-drum-line", 0.6, 0.9),
        ("trumpets", 0.3, 0.6),
        ("marimba", 0.3, 0.6),
    ],
)
def test_regression_two_seeds_seldom_sound_alike(
    field_shows: list[Score], part: str, median_at_most: float, nearly_all_at_most: float
) -> None:
    alike = cosines(field_shows, part)
    assert float(np.median(alike)) <= median_at_most
    assert float(np.percentile(alike, 99)) <= nearly_all_at_most


def test_no_two_seeds_give_the_same_score(field_shows: list[Score]) -> None:
    assert len({score.notes for score in field_shows}) == len(field_shows)
