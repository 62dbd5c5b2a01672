"""The words for a compressor say something about its gain: exact gain curves tell how hard it works, and how fast.

Curves are taken of every section and stem on offer in excerpts of the field show, at every size of the ladder and at
both paces. A forest learns on some excerpts and names what it is given of others; of a curve it knows how the gain
reduction is spread and how it moves, not whose it is.
"""

import logging
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import pytest

from exercises.compression import LADDER, PACES, SWING, offered
from tests import listener_of_gain
from tests.lengths import length
from trainer.dsp.level import mix_of
from trainer.ensemble.bank import NoteBank
from trainer.ensemble.excerpt import Excerpt
from trainer.ensemble.shows import generated_shows
from trainer.practice.listening import STANDARD

FIRST_SEED, EXCERPTS = 700, length(5, full=16)
SIZES_DB = np.arange(LADDER.hardest, LADDER.easiest + LADDER.step / 2.0, LADDER.step)
TREES = length(200, full=400)
STEP = 480
"""How far apart the gain is read, frames: 10 ms."""
LOG = logging.getLogger(__name__)
"""Figures as measured: shown by ``--log-cli-level=INFO``."""


@dataclass(frozen=True)
class Curve:
    """What is known of a gain curve, and what is true of it."""

    described: listener_of_gain.Floats
    excerpt: int
    how_hard: str
    pace: str


@pytest.fixture(scope="module")
def curves() -> list[Curve]:
    show = generated_shows(NoteBank())["field-show"]
    return [curve for number in range(EXCERPTS) for curve in curves_on(show.excerpt(FIRST_SEED + number))]


def curves_on(excerpt: Excerpt) -> Iterator[Curve]:
    """Yield an excerpt's curves: of each target on offer, at every size and pace."""
    for scope in ("section", "stem"):
        for target in offered(excerpt, scope, STANDARD):
            together = mix_of([excerpt.stems[part] for part in excerpt.parts_in(target)])
            for key, pace in PACES.items():
                for size_db in SIZES_DB:
                    gain = pace.compression(size_db).gain_on(together).samples[::STEP, 0]
                    how_hard = str(SWING.nearest(size_db))
                    yield Curve(described(-20.0 * np.log10(gain)), excerpt.seed, how_hard, key)


def described(reduction_db: listener_of_gain.Floats) -> listener_of_gain.Floats:
    """Return how a gain reduction is spread, in dB, and how it moves within 10, 40 and 160 ms."""
    at_work = reduction_db[reduction_db > 0.01]
    spread = np.percentile(reduction_db, (5, 10, 25, 50, 75, 90, 95))
    moves = [np.percentile(reduction_db - np.roll(reduction_db, lag), (2, 10, 90, 98)) for lag in (1, 4, 16)]
    return np.concatenate([spread, [np.mean(at_work), np.std(at_work)], *moves])


def named(curves: list[Curve], truths: list[str]) -> float:
    """Return what share of the curves is named right."""
    table = np.array([curve.described for curve in curves])
    excerpts = [curve.excerpt for curve in curves]
    found = listener_of_gain.named(table, truths, excerpts, trees=TREES)
    right = float(np.mean(found == np.array(truths)))
    LOG.info(f"{sorted(set(truths))}: {right:.3f} of {len(truths)}")
    return right


def test_there_are_curves_of_every_size_at_both_paces(curves: list[Curve]) -> None:
    assert len({curve.excerpt for curve in curves}) == EXCERPTS
    assert len({curve.how_hard for curve in curves}) == len(SWING.options)
    assert len(curves) >= EXCERPTS * 2 * 2 * len(PACES) * len(SIZES_DB)


def test_a_gain_curve_tells_how_hard_a_compressor_works(curves: list[Curve]) -> None:
    assert named(curves, [curve.how_hard for curve in curves]) >= 0.93


def test_a_gain_curve_tells_how_fast_a_compressor_is(curves: list[Curve]) -> None:
    assert named(curves, [curve.pace for curve in curves]) >= 0.95
