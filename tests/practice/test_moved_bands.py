"""How octave bands move: what a rep counts for that asks for no band."""

import numpy as np
import pytest

from tests.noise_show import STEM_BANDS_HZ, NoiseShow
from trainer.dsp.octave_bands import NOMINAL_HZ, band_powers_over_time
from trainer.ensemble.excerpt import Excerpt
from trainer.practice import moved_bands
from trainer.practice.change import Change, Compression, Edit, Level, changed_mix


@pytest.fixture(scope="module")
def excerpt() -> Excerpt:
    return NoiseShow().excerpt(2)


def flat(level_db: float = 0.0, windows: int = 10) -> np.ndarray:
    return np.full((windows, len(NOMINAL_HZ)), 10.0 ** (level_db / 10.0))


def test_a_band_is_heard_from_one_decibel_in_two_windows_of_ten() -> None:
    changed = flat()
    changed[:2, 4] *= 10.0**0.101
    changed[:, 5] *= 10.0**0.099
    changed[:1, 6] *= 10.0**0.6
    assert moved_bands.heard_bands(flat(), changed).tolist() == [band == 4 for band in range(10)]


@pytest.mark.parametrize(("below_db", "is_heard"), [(41.0, False), (39.0, True)])
def test_the_floor_lies_40_db_below_the_mean_total_however_long_the_excerpt(
    below_db: float, is_heard: bool
) -> None:
    for windows in (5, 50):
        plain = flat(-100.0, windows)
        plain[:, 0], plain[:, 9] = 1.0, 10.0 ** (-(below_db + 2.0) / 10.0)
        changed = plain.copy()
        changed[:, 9] *= 10.0**0.2
        assert moved_bands.heard_bands(plain, changed).tolist() == [False] * 9 + [is_heard]


def test_what_a_level_change_is_predicted_to_do_is_what_it_does(excerpt: Excerpt) -> None:
    mix, part = excerpt.band_powers_over_time("mix"), excerpt.band_powers_over_time("snare-line")
    predicted = moved_bands.shift_db(mix, moved_bands.with_gain(mix, part, gain_db=6.0))
    made = band_powers_over_time(changed_mix(Change((Edit("snare-line", Level(6.0)),)), excerpt))
    measured = moved_bands.shift_db(mix, made)
    assert np.mean(np.abs(predicted - measured)[:, 4:8]) < 0.4


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


@pytest.mark.parametrize("reduction_db", [2.0, 4.0])
def test_a_compressor_is_sketched_with_its_mean_reduction_and_its_power_made_up(reduction_db: float) -> None:
    rng = np.random.default_rng(3)
    target = flat() * 10.0 ** rng.uniform(-2.0, 0.0, (10, 1))
    gain_db = moved_bands.compressor_gain_db(target, reduction_db=reduction_db, ratio=8.0)
    made_up_db = gain_db.max()
    assert np.mean(made_up_db - gain_db) == pytest.approx(reduction_db, abs=0.2)
    assert np.sum(target * 10.0 ** (gain_db / 10.0)) == pytest.approx(np.sum(target))


def test_what_is_sketched_to_be_heard_compressed_is_heard(excerpt: Excerpt) -> None:
    mix = excerpt.band_powers_over_time("mix")
    offered = moved_bands.compressible(excerpt, tuple(STEM_BANDS_HZ), reduction_db=9.0, ratio=8.0)
    assert len(offered) >= 4
    for part in offered:
        pressed = Change((Edit(part, Compression(9.0, ratio=8.0, attack_s=0.001, release_s=0.06)),))
        made = band_powers_over_time(changed_mix(pressed, excerpt))
        assert moved_bands.heard_bands(mix, made).any()
