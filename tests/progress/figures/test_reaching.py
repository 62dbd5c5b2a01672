"""Reaching an aim, against scipy's normal distribution."""

import numpy as np
import pytest
from scipy.stats import norm

from trainer.progress.figures.reaching import chances_reached, standing_of
from trainer.progress.thresholds.belief import BANDS, after_answer, first_belief, question_on


def test_the_chance_to_reach_an_aim_is_scipys() -> None:
    belief = first_belief()
    heard = question_on(np.eye(10)[4], direction=1)
    for _ in range(6):
        belief = after_answer(belief, question=heard, size_db=5.0, right=True)
    aims_db = np.linspace(3.0, 12.0, 10)
    deviations = np.sqrt(np.diagonal(belief.covariance)[BANDS])
    theirs = norm.cdf((np.log(aims_db) - belief.mean[BANDS]) / deviations)
    assert chances_reached(belief, aims_db) == pytest.approx(theirs, abs=1e-9)
    assert chances_reached(belief, np.exp(belief.mean[BANDS])) == pytest.approx([0.5] * 10)


@pytest.mark.parametrize(
    ("chance", "said"),
    [(0.95, "on track"), (0.9, "on track"), (0.5, "too close to tell"), (0.1, "behind"), (0.0, "behind")],
)
def test_little_is_said_where_little_is_known(chance: float, said: str) -> None:
    assert standing_of(chance) == said
