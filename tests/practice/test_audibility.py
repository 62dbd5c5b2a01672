"""The audibility gate: what moves enough is let through, what does not is not."""

import numpy as np
import pytest

from tests.noise_show import STEM_BANDS_HZ, NoiseShow
from trainer.dsp.octave_bands import NOMINAL_HZ, band_powers_over_time
from trainer.ensemble.excerpt import Excerpt
from trainer.practice import audibility
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
    assert audibility.heard_bands(flat(), changed).tolist() == [band == 4 for band in range(10)]


def test_a_band_without_energy_is_not_heard() -> None:
    plain = flat()
    plain[:, 9] *= 1e-6
    changed = plain.copy()
    changed[:, 9] *= 10.0
    assert not audibility.heard_bands(plain, changed).any()


@pytest.mark.parametrize(("gain_db", "expected_db"), [(6.0, 4.809), (-6.0, -4.597), (12.0, 9.684)])
def test_the_gain_a_bell_gives_its_band_is_the_computed_one(gain_db: float, expected_db: float) -> None:
    """The mean RBJ response over the octave (Audio EQ Cookbook, W3C Note 2021), at 1 kHz; 0.05 dB."""
    assert audibility.band_gains_db(gain_db)[5] == pytest.approx(expected_db, abs=0.05)


def test_the_lanes_of_a_stem_are_the_bands_its_sound_lies_in(excerpt: Excerpt) -> None:
    for part, (low_hz, high_hz) in STEM_BANDS_HZ.items():
        for lane_hz in audibility.lanes(excerpt, part, size_db=9.0):
            assert low_hz / 2.0 < lane_hz < high_hz * 2.0
    assert audibility.lanes(excerpt, "sub", size_db=9.0)[:2] == (31.5, 63.0)


def test_fewer_lanes_are_offered_at_a_smaller_size(excerpt: Excerpt) -> None:
    for part in STEM_BANDS_HZ:
        small, large = (audibility.lanes(excerpt, part, size_db=size_db) for size_db in (2.0, 12.0))
        assert set(small) <= set(large)


def test_what_a_level_change_is_predicted_to_do_is_what_it_does(excerpt: Excerpt) -> None:
    mix, part = excerpt.band_powers_over_time("mix"), excerpt.band_powers_over_time("snare-line")
    predicted = audibility.shift_db(mix, audibility.with_gain(mix, part, gain_db=6.0))
    made = band_powers_over_time(changed_mix(Change((Edit("snare-line", Level(6.0)),)), excerpt))
    measured = audibility.shift_db(mix, made)
    assert np.mean(np.abs(predicted - measured)[:, 4:8]) < 0.4


def test_the_bands_a_change_counts_for_are_those_it_moved(excerpt: Excerpt) -> None:
    mix = excerpt.band_powers_over_time("mix")
    made = band_powers_over_time(changed_mix(Change((Edit("glockenspiel", Level(9.0)),)), excerpt))
    weights = audibility.weights(mix, made)
    assert set(weights) <= {2000.0, 4000.0, 8000.0, 16000.0}
    assert next(iter(weights)) in (4000.0, 8000.0)
    assert sum(weights.values()) == pytest.approx(1.0)
    assert list(weights.values()) == sorted(weights.values(), reverse=True)
    assert audibility.weights(mix, mix) == {}


def test_a_stem_that_is_drowned_cannot_be_asked_about(excerpt: Excerpt) -> None:
    assert "sub" in audibility.movable(excerpt, tuple(STEM_BANDS_HZ), gain_db=-6.0)
    buried = Excerpt("noise", 1, "noise", excerpt.room, excerpt.stems | {
        "sub": Level(-60.0).apply({"sub": excerpt.stems["sub"]})["sub"],
    })  # fmt: skip
    assert "sub" not in audibility.movable(buried, tuple(STEM_BANDS_HZ), gain_db=6.0)


@pytest.mark.parametrize("reduction_db", [2.0, 4.0])
def test_a_compressor_is_sketched_with_its_mean_reduction_and_its_power_made_up(reduction_db: float) -> None:
    rng = np.random.default_rng(3)
    target = flat() * 10.0 ** rng.uniform(-2.0, 0.0, (10, 1))
    gain_db = audibility.compressor_gain_db(target, reduction_db=reduction_db, ratio=8.0)
    made_up_db = gain_db.max()
    assert np.mean(made_up_db - gain_db) == pytest.approx(reduction_db, abs=0.2)
    assert np.sum(target * 10.0 ** (gain_db / 10.0)) == pytest.approx(np.sum(target))


def test_what_is_sketched_to_be_heard_compressed_is_heard(excerpt: Excerpt) -> None:
    mix = excerpt.band_powers_over_time("mix")
    offered = audibility.compressible(excerpt, tuple(STEM_BANDS_HZ), reduction_db=9.0, ratio=8.0)
    assert len(offered) >= 4
    for part in offered:
        pressed = Change((Edit(part, Compression(9.0, ratio=8.0, attack_s=0.001, release_s=0.06)),))
        assert audibility.heard_bands(mix, band_powers_over_time(changed_mix(pressed, excerpt))).any()
