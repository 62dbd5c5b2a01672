"""Loops of every line-up, composed once for all tests of the composer."""

import numpy as np
import pytest

from trainer.ensemble.composer import compose
from trainer.ensemble.parts import LINE_UPS
from trainer.ensemble.score import Score

SEEDS = {"field-show": 200, "indoor-percussion": 25, "marching-band": 25}


@pytest.fixture(scope="session")
def loops() -> dict[str, list[Score]]:
    return {
        line_up.key: [
            compose(np.random.default_rng(seed), line_up=line_up) for seed in range(SEEDS[line_up.key])
        ]
        for line_up in LINE_UPS
    }


@pytest.fixture(scope="session")
def field_shows(loops: dict[str, list[Score]]) -> list[Score]:
    return loops["field-show"]
