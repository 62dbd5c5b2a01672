"""The peers come to rest where their authors say, so that what they are beaten at is the real thing."""

import numpy as np
import pytest

from trainer.bench.thresholds.peers import Grids, Staircases
from trainer.progress.thresholds.hearing import EASE_75, chance_right, logistic

RNG = np.random.default_rng


def share_right_at_rest(*, down_after: int, down_step: float, up_step: float, seed: int) -> float:
    """Return how often a staircase is right once it has come to rest, its listener a plain logistic one."""
    rng, tracks = RNG(seed), 400
    stairs = Staircases(np.full(tracks, 1.0), down_after=down_after, down_step=down_step, up_step=up_step)
    rights = []
    for trial in range(900):
        right = rng.random(tracks) < logistic(stairs.level)
        stairs.take(right)
        if trial >= 300:
            rights.append(np.mean(right))
    return float(np.mean(rights))


@pytest.mark.parametrize(("down_after", "share"), [(2, 0.7071), (3, 0.7937), (4, 0.8409)])
def test_small_equal_steps_rest_at_levitts_levels(down_after: int, share: float) -> None:
    """H. Levitt, JASA 49 (1971): n right in a row in one half of cases, p = 0.5^(1/n)."""
    found = share_right_at_rest(down_after=down_after, down_step=0.05, up_step=0.05, seed=1)
    assert found == pytest.approx(share, abs=0.01)


@pytest.mark.parametrize(
    ("up_over_down", "share"), [(3.0, 0.75), (4.0, 0.80), (0.7071 / 0.2929, 0.7071), (1 / 0.2845, 0.7785)]
)
def test_weighted_steps_rest_where_kaernbach_says(up_over_down: float, share: float) -> None:
    """C. Kaernbach, Perception & Psychophysics 49 (1991): up times (1 - p) = down times p.

    The last ratio is that of M. A. Garcia-Perez, Vision Research 38 (1998), for one down.
    """
    found = share_right_at_rest(down_after=1, down_step=0.03, up_step=0.03 * up_over_down, seed=2)
    assert found == pytest.approx(share, abs=0.01)


@pytest.mark.parametrize(
    ("down_after", "ratio", "share"),
    [(2, 0.5488, 0.8035), (3, 0.7393, 0.8315), (4, 0.8415, 0.8584)],
)
def test_with_his_ratios_reversals_average_where_garcia_perez_says(
    down_after: int, ratio: float, share: float
) -> None:
    """M. A. Garcia-Perez, Vision Research 38 (1998): two alternatives, a Weibull listener, steps of any size."""
    rng, tracks, found = RNG(3), 300, []
    for up_step in (0.2, 0.5, 1.2):
        stairs = Staircases(
            np.full(tracks, 1.0), down_after=down_after, down_step=ratio * up_step, up_step=up_step
        )
        means = []
        for trial in range(600):
            stairs.take(rng.random(tracks) < weibull(stairs.level))
            if trial >= 300:
                means.append(stairs.estimate)
        found.append(float(weibull(np.mean(means))))
    assert np.mean(found) == pytest.approx(share, abs=0.01)


def weibull(level: np.ndarray | float) -> np.ndarray:
    """Return the chance of a right answer of two, for a listener whose spread fits the steps' range."""
    return np.asarray(1.0 - 0.5 * np.exp(-np.exp(np.asarray(level))))


def test_staircases_that_were_not_asked_stay_as_they_are() -> None:
    stairs = Staircases(np.zeros(3), down_after=1, down_step=0.1, up_step=0.3)
    stairs.take(np.array([True, False, True]), np.array([True, True, False]))
    assert stairs.level == pytest.approx([-0.1, 0.3, 0.0])


def test_a_grid_is_bayes_rule_on_its_nodes() -> None:
    """Against the rule written out: prior times likelihood, over their sum."""
    grids, size_db = Grids((1, 10)), 6.0
    before = grids._chances[0, 3].copy()
    grids.take(np.array([0]), np.array([3]), np.array([size_db]), np.array([True]))
    by_hand = before * chance_right(np.log(size_db) - Grids.NODES + EASE_75)
    by_hand /= by_hand.sum()
    assert grids._chances[0, 3] == pytest.approx(by_hand)
    assert grids.mean[0, 3] == pytest.approx(np.sum(by_hand * Grids.NODES))
    low, high = grids.interval(0.90)
    inside = (low[0, 3] <= Grids.NODES) & (high[0, 3] >= Grids.NODES)
    assert by_hand[inside].sum() >= 0.90
