"""How octave bands move: what a rep counts for that asks for no band."""

import numpy as np
import pytest

from tests.noise_show import NoiseShow
from trainer.dsp.octave_bands import NOMINAL_HZ, band_powers_over_time
from trainer.ensemble.excerpt import Excerpt
from trainer.practice import moved_bands
from trainer.practice.change import Change, Edit, Level, changed_mix


@pytest.fixture(scope="module")
def excerpt() -> Excerpt:
    return NoiseShow().excerpt(2)


def flat(level_db: float = 0.0, windows: int = 10) -> np.ndarray:
    return np.full((windows, len(NOMINAL_HZ)), 10.0 ** (level_db / 10.0))


@pytest.mark.parametrize(("below_db", "counts"), [(41.0, False), (39.0, True)])
def test_the_floor_lies_40_db_below_the_mean_total_however_long_the_excerpt(
    below_db: float, counts: bool
) -> None:
    for windows in (5, 50):
        plain = flat(-100.0, windows)
        plain[:, 0], plain[:, 9] = 1.0, 10.0 ** (-(below_db + 2.0) / 10.0)
        changed = plain.copy()
        changed[:, 9] *= 10.0**0.2
        assert moved_bands.weights(plain, changed) == ({16000.0: 1.0} if counts else {})


def test_the_bands_a_change_counts_for_are_those_it_moved(excerpt: Excerpt) -> None:
    mix = excerpt.band_powers_over_time("mix")
    made = band_powers_over_time(changed_mix(Change((Edit("glockenspiel", Level(9.0)),)), excerpt))
    weights = moved_bands.weights(mix, made)
    assert set(weights) <= {2000.0, 4000.0, 8000.0, 16000.0}
    assert next(iter(weights)) in (4000.0, 8000.0)
    assert sum(weights.values()) == pytest.approx(1.0)
    assert list(weights.values()) == sorted(weights.values(), reverse=True)
    assert moved_bands.weights(mix, mix) == {}


def test_a_band_weighs_its_mean_square_shift_and_a_tenth_is_not_counted() -> None:
    """By hand: 3 dB weighs nine, 6 dB thirty-six, 1 dB one of 46: less than a tenth."""
    changed = flat()
    changed[:, 2] *= 10.0**0.6
    changed[:, 5] *= 10.0**0.3
    changed[:, 7] *= 10.0**0.1
    weights = moved_bands.weights(flat(), changed)
    assert list(weights) == [125.0, 1000.0]
    assert weights[125.0] == pytest.approx(36.0 / 45.0, rel=1e-6)
    among = moved_bands.weights(flat(), changed, usable_hz=(31.5, 1000.0, 8000.0))
    assert among == {1000.0: pytest.approx(1.0)}
