"""Fairness: one loudness, one peak, a small trim of each version's own, and nothing over the ceiling.

Loudness is ITU-R BS.1770, the programme at -23 LUFS and the ceiling at -1 dBTP are those of EBU R 128.
"""

import numpy as np
import pytest
from numpy.random import default_rng

from tests.signals import pink_noise, white_noise
from trainer.dsp.level import gain, sample_peak, sample_peak_db
from trainer.dsp.loudness import integrated_loudness_lufs, true_peak_dbtp
from trainer.practice.fairness import matched, reference_of, side_by_side
from trainer.sound import Sound

MIX = pink_noise(duration_s=6.0, seed=3, channels=2)
LOUDER = gain(pink_noise(duration_s=6.0, seed=4, channels=2), gain_db=7.0)


def spiky(peak: float) -> Sound:
    """Return quiet noise with one click in it."""
    samples = white_noise(duration_s=6.0, seed=5, rms_dbfs=-40.0, channels=2).samples.copy()
    samples[9000:9003] = peak
    return Sound.of(samples)


def test_the_plain_mix_is_at_programme_loudness_and_its_highest_peaks_are_held_2_db_lower() -> None:
    reference = reference_of(MIX)
    assert integrated_loudness_lufs(reference.plain) == pytest.approx(-23.0, abs=0.01)
    assert 20.0 * np.log10(reference.ceiling) == pytest.approx(
        sample_peak_db(reference.plain) - 2.0, abs=1e-3
    )
    assert integrated_loudness_lufs(reference.held) == pytest.approx(-23.0, abs=0.01)
    assert sample_peak_db(reference.held) == pytest.approx(20.0 * np.log10(reference.ceiling), abs=0.1)


def test_matched_versions_are_as_loud_and_peak_as_high() -> None:
    plain, changed = matched(LOUDER, reference_of(MIX), default_rng(1))
    for version in (plain, changed):
        assert integrated_loudness_lufs(version) == pytest.approx(-23.0, abs=0.05)
    assert sample_peak_db(plain) == pytest.approx(sample_peak_db(changed), abs=0.1)


def test_where_the_changed_version_peaks_lower_plain_is_held_as_low() -> None:
    clicks = MIX.samples.copy()
    clicks[5000::48_000] *= 12.0
    reference = reference_of(Sound(clicks, MIX.rate_hz))
    plain, changed = matched(MIX, reference, default_rng(1))
    assert sample_peak_db(changed) < sample_peak_db(reference.held) - 1.0
    assert sample_peak_db(plain) == pytest.approx(sample_peak_db(changed), abs=0.1)


def test_each_version_has_a_trim_of_its_own_of_3_hundredths_of_a_db_at_most() -> None:
    """Even over -0.03 to 0.03 dB (its standard deviation is 0.06 / √12), one independent of the other."""
    reference = reference_of(MIX)
    untrimmed = matched(MIX, reference, FixedTrims(0.0))
    trims = []
    for seed in range(60):
        pair = matched(MIX, reference, default_rng(seed))
        trims.append(
            [sample_peak_db(one) - sample_peak_db(none) for one, none in zip(pair, untrimmed, strict=True)]
        )
    found = np.array(trims)
    assert np.max(np.abs(found)) <= 0.0301
    assert found.min() < -0.02 < 0.02 < found.max()
    assert np.std(found, axis=0) == pytest.approx([0.06 / 12**0.5] * 2, rel=0.25)
    assert abs(np.corrcoef(found.T)[0, 1]) < 0.35


class FixedTrims(np.random.Generator):
    """Chance that always draws the same number."""

    def __init__(self, trim_db: float) -> None:
        super().__init__(np.random.PCG64(0))
        self._trim_db = trim_db

    def uniform(self, low: float, high: float, size: int) -> np.ndarray:  # type: ignore[override]
        assert low < self._trim_db < high
        return np.full(size, self._trim_db)


def test_a_difference_in_loudness_is_kept_where_it_is_the_question() -> None:
    for louder_db in (-6.0, -1.0, 2.0, 5.0):
        plain, changed = side_by_side(gain(MIX, gain_db=louder_db), reference_of(MIX))
        assert integrated_loudness_lufs(plain) == pytest.approx(-23.0, abs=0.01)
        assert integrated_loudness_lufs(changed) - integrated_loudness_lufs(plain) == pytest.approx(
            louder_db, abs=0.01
        )


@pytest.mark.parametrize("louder_db", [6.2, 6.5, 9.0, 12.0])
def test_nothing_rises_by_more_than_6_lu_at_the_ear(louder_db: float) -> None:
    """Beyond, both come down together: the difference between them is what it was."""
    plain, changed = side_by_side(gain(MIX, gain_db=louder_db), reference_of(MIX))
    loud = [integrated_loudness_lufs(version) for version in (plain, changed)]
    assert loud[1] == pytest.approx(-17.0, abs=0.02)
    assert loud[1] - loud[0] == pytest.approx(louder_db, abs=0.02)


@pytest.mark.parametrize("which", ["plain", "changed"])
def test_where_a_peak_of_either_is_over_the_ceiling_both_are_lowered_alike(which: str) -> None:
    calm, high = gain(MIX, gain_db=-23.0 - integrated_loudness_lufs(MIX)), spiky(0.9)
    mix, other = (high, calm) if which == "plain" else (calm, high)
    plain, changed = side_by_side(other, reference_of(mix))
    peaks = [true_peak_dbtp(version, loop=True) for version in (plain, changed)]
    assert max(peaks) == pytest.approx(-1.0, abs=0.02)
    reference = reference_of(mix)
    lowered = sample_peak(plain) / sample_peak(reference.plain)
    assert lowered < 0.95
    kept = gain(other, gain_db=reference.gain_db)
    assert sample_peak(changed) / sample_peak(kept) == pytest.approx(lowered, rel=1e-4)


def test_what_is_under_the_ceiling_is_left_as_it_is() -> None:
    reference = reference_of(MIX)
    plain, _ = side_by_side(MIX, reference)
    assert np.allclose(plain.samples, reference.plain.samples, atol=1e-6)


def test_a_peak_a_little_over_the_ceiling_is_brought_down_by_as_little() -> None:
    reference = reference_of(MIX)
    peak_dbtp = true_peak_dbtp(gain(spiky(0.9), gain_db=reference.gain_db), loop=True)
    plain, changed = side_by_side(gain(spiky(0.9), gain_db=-0.7 - peak_dbtp), reference)
    assert true_peak_dbtp(changed, loop=True) == pytest.approx(-1.0, abs=0.02)
    assert sample_peak_db(plain) - sample_peak_db(reference.plain) == pytest.approx(-0.3, abs=0.02)


def test_a_true_peak_over_the_end_of_the_loop_counts() -> None:
    """A wave that peaks half a sample before the loop begins again, 3.9 dB (π / 2) above its samples there."""
    reference, around = reference_of(MIX), np.arange(-32, 32)
    pulse = np.zeros_like(MIX.samples)
    pulse[around] = np.sinc(around + 0.5)[:, None]
    most = 10.0 ** (-reference.gain_db / 20.0)
    with_pulse = Sound.of(0.001 * MIX.samples + most * pulse)
    assert true_peak_dbtp(with_pulse, loop=False) < true_peak_dbtp(with_pulse, loop=True) - 0.5
    _, changed = side_by_side(with_pulse, reference)
    assert true_peak_dbtp(changed, loop=True) == pytest.approx(-1.0, abs=0.05)
