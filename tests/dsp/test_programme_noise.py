"""Programme noise against IEC 60268-1:1985, clause 7, and ITU-R BS.1770, measured by other routes."""

import subprocess
import sys
from functools import lru_cache
from pathlib import Path

import numpy as np
import pyebur128
import pytest
from numpy.testing import assert_allclose

from trainer.dsp.loudness import integrated_loudness_lufs, true_peak_dbtp
from trainer.dsp.octave_bands import NOMINAL_HZ, band_levels_db
from trainer.dsp.programme_noise import HIGHEST_LUFS, programme_noise
from trainer.sound import Sound

ROOT = Path(__file__).parents[2]

NOT_GIVEN_DB = 1.0

TABLE_II = (
    (20, -13.5, 3.0), (25, -10.2, 2.0), (31.5, -7.4, 1.0), (40, -5.2, NOT_GIVEN_DB), (50, -3.5, NOT_GIVEN_DB),
    (63, -2.3, NOT_GIVEN_DB), (80, -1.4, NOT_GIVEN_DB), (100, -0.9, 0.8), (125, -0.5, 0.6), (160, -0.2, 0.5),
    (200, -0.1, NOT_GIVEN_DB), (250, 0.0, NOT_GIVEN_DB), (315, 0.0, NOT_GIVEN_DB), (400, 0.0, NOT_GIVEN_DB),
    (500, 0.0, NOT_GIVEN_DB), (630, 0.0, NOT_GIVEN_DB), (800, 0.0, NOT_GIVEN_DB), (1000, -0.1, 0.6),
    (1250, -0.3, 0.7), (1600, -0.6, 0.8), (2000, -1.0, 1.0), (2500, -1.6, NOT_GIVEN_DB),
    (3150, -2.5, NOT_GIVEN_DB), (4000, -3.7, NOT_GIVEN_DB), (5000, -5.1, NOT_GIVEN_DB),
    (6300, -7.0, NOT_GIVEN_DB), (8000, -9.4, NOT_GIVEN_DB), (10000, -11.9, NOT_GIVEN_DB),
    (12500, -14.8, 1.5), (16000, -18.2, 2.0), (20000, -21.6, 3.0),
)  # fmt: skip
"""Third octave, relative level in dB, tolerance: 1 dB where none is known to us."""


@lru_cache
def noise(seed: int = 1, *, duration_s: float = 6.0, loudness_lufs: float = -23.0) -> Sound:
    rng = np.random.default_rng(seed)
    return programme_noise(duration_s=duration_s, rng=rng, loudness_lufs=loudness_lufs)


def third_levels_db(samples: np.ndarray, rate_hz: int = 48_000) -> np.ndarray:
    """Return third-octave levels from sums of whole bins, edges by IEC 61260-1:2014 (base ten)."""
    power = np.abs(np.fft.rfft(samples.astype(np.float64))) ** 2 * 2.0 / samples.size**2
    frequency_hz = np.fft.rfftfreq(samples.size, 1.0 / rate_hz)
    centres_hz = 1000.0 * 10.0 ** (np.arange(-17, 14) / 10.0)
    within = [(frequency_hz >= c * 10.0**-0.05) & (frequency_hz < c * 10.0**0.05) for c in centres_hz]
    return 10.0 * np.log10([power[band].sum() for band in within])


@pytest.mark.parametrize("channel", [0, 1])
@pytest.mark.parametrize(("seed", "duration_s"), [(1, 6.0), (2, 6.0), (3, 2.5)])
def test_third_octaves_have_the_levels_of_the_standard(channel: int, seed: int, duration_s: float) -> None:
    """IEC 60268-1:1985, Table II, within its tolerances, beside the mean of 250 to 800 Hz (0.0 there)."""
    levels_db = third_levels_db(noise(seed, duration_s=duration_s).samples[:, channel])
    relative_db = levels_db - levels_db[11:17].mean()
    for (third_hz, level_db, tolerance_db), found_db in zip(TABLE_II, relative_db, strict=True):
        assert found_db == pytest.approx(level_db, abs=tolerance_db), third_hz


def test_the_phases_alone_are_left_to_chance() -> None:
    """IEC 60268-1:1985, Table II: 0.3 dB is met in every band, since no level is drawn."""
    for seed in (1, 2):
        levels_db = third_levels_db(noise(seed).samples[:, 0])
        assert_allclose(levels_db - levels_db[11:17].mean(), [row[1] for row in TABLE_II], atol=0.3)


def test_the_bands_add_up_as_the_standard_notes() -> None:
    """IEC 60268-1:1985, clause 7, Note: the total is about 12.5 dB above a third of 0.0 (12.56 by its table)."""
    samples = noise().samples[:, 0]
    total_db = 10.0 * np.log10(np.mean(samples.astype(np.float64) ** 2))
    assert total_db - third_levels_db(samples)[11:17].mean() == pytest.approx(12.56, abs=0.1)


def test_octaves_have_the_sums_of_the_table() -> None:
    """IEC 60268-1:1985, Table II, thirds summed to octaves and set beside 500 Hz; 0.2 dB."""
    expected_db = [-7.14, -2.32, -0.52, -0.03, 0.0, -0.13, -1.05, -3.64, -8.99, -17.35]
    levels_db = band_levels_db(noise())
    assert_allclose(levels_db - levels_db[NOMINAL_HZ.index(500.0)], expected_db, atol=0.2)


def test_the_a_weighted_level_lies_where_the_table_puts_it() -> None:
    """IEC 61672-1:2013, Annex E, for the weighting; over IEC 60268-1's Table II it comes to -2.61 dB."""
    samples = noise().samples[:, 0].astype(np.float64)
    power = np.abs(np.fft.rfft(samples)) ** 2
    square = np.fft.rfftfreq(samples.size, 1.0 / 48_000) ** 2
    response = (12194.217**2 * square**2) / (
        (square + 20.598997**2)
        * np.sqrt((square + 107.65265**2) * (square + 737.86223**2))
        * (square + 12194.217**2)
    )
    weighted = power * (response * 10.0 ** (2.0 / 20.0)) ** 2
    assert 10.0 * np.log10(weighted.sum() / power.sum()) == pytest.approx(-2.61, abs=0.1)


@pytest.mark.parametrize("loudness_lufs", [-23.0, -40.0, HIGHEST_LUFS])
def test_it_is_as_loud_as_it_was_asked_to_be(loudness_lufs: float) -> None:
    """ITU-R BS.1770-5: by our own meter in the time domain and by libebur128, within 0.2 LU."""
    sound = noise(loudness_lufs=loudness_lufs)
    meter = pyebur128.R128State(2, 48_000, pyebur128.MeasurementMode.MODE_I)
    meter.add_frames(np.ascontiguousarray(sound.samples.ravel()), sound.frames)
    assert pyebur128.get_loudness_global(meter) == pytest.approx(loudness_lufs, abs=0.2)
    assert integrated_loudness_lufs(sound) == pytest.approx(loudness_lufs, abs=0.2)
    assert integrated_loudness_lufs(sound, loop=True) == pytest.approx(loudness_lufs, abs=0.02)


@pytest.mark.parametrize("rate_hz", [44_100, 96_000])
def test_another_rate_makes_no_other_loudness(rate_hz: int) -> None:
    """ITU-R BS.1770-5; 0.05 LU of the loop."""
    sound = programme_noise(duration_s=2.0, rng=np.random.default_rng(5), rate_hz=rate_hz)
    assert (sound.rate_hz, sound.frames, sound.channels) == (rate_hz, 2 * rate_hz, 2)
    assert integrated_loudness_lufs(sound, loop=True) == pytest.approx(-23.0, abs=0.05)


@pytest.mark.parametrize("seed", range(4))
def test_no_true_peak_is_over_the_ceiling(seed: int) -> None:
    """EBU R 128: -1 dBTP, even at the loudest it is made."""
    assert true_peak_dbtp(noise(seed), loop=True) <= -10.0
    assert true_peak_dbtp(noise(seed, loudness_lufs=HIGHEST_LUFS), loop=True) <= -1.0


def test_what_would_be_too_loud_or_too_short_is_refused() -> None:
    rng = np.random.default_rng(1)
    with pytest.raises(ValueError, match="up to -14 LUFS, not at -10"):
        programme_noise(duration_s=1.0, rng=rng, loudness_lufs=-10.0)
    with pytest.raises(ValueError, match=r"at least 0\.4 s, not 0\.1 s"):
        programme_noise(duration_s=0.1, rng=rng)


def splash_db(samples: np.ndarray, frame: int, *, reach: int = 2048) -> float:
    """Return what lies above 23 kHz around a frame of a loop, beside all that lies there, in dB."""
    places = np.arange(frame - reach, frame + reach) % len(samples)
    spectrum = np.fft.rfft(samples[places, 0] * np.hanning(2 * reach).astype(np.float64))
    power = np.abs(spectrum) ** 2
    return float(10.0 * np.log10(power[round(23_000 / 48_000 * 2 * reach) :].sum() / power.sum()))


def test_the_loop_has_no_seam() -> None:
    """Nothing of the standard's bands lies above 22.4 kHz, where a step or a kink would splash; a cut loop does."""
    samples = noise().samples
    elsewhere_db = max(splash_db(samples, frame) for frame in range(20_000, 260_000, 10_000))
    assert elsewhere_db < -80.0
    assert splash_db(samples, 0) < elsewhere_db + 6.0
    assert splash_db(samples[:-777], 0) > elsewhere_db + 20.0


def test_it_is_steady() -> None:
    """Half a second is as loud as any other within what chance does to noise (1.5 dB)."""
    halves = np.mean(noise().samples.astype(np.float64).reshape(12, -1) ** 2, axis=1)
    assert np.ptp(10.0 * np.log10(halves)) < 3.0


def test_left_and_right_are_half_alike() -> None:
    """The mean of cos over an even spread of phases to ±1.8955 is sin(1.8955) / 1.8955 = 0.5."""
    for seed in (1, 2, 3):
        assert np.corrcoef(noise(seed).samples.T)[0, 1] == pytest.approx(0.5, abs=0.03)


def test_the_same_chance_makes_the_same_noise() -> None:
    first, again, other = (
        programme_noise(duration_s=1.0, rng=np.random.default_rng(seed)).samples for seed in (7, 7, 8)
    )
    assert np.array_equal(first, again)
    assert abs(np.corrcoef(first[:, 0], other[:, 0])[0, 1]) < 0.05


def test_it_waits_for_no_heavy_library() -> None:
    """It is heard within moments of the start: neither scipy nor pedalboard may be loaded for it."""
    program = (
        "import sys, numpy as np\n"
        "from trainer.dsp.programme_noise import programme_noise\n"
        "made = programme_noise(duration_s=1.0, rng=np.random.default_rng(1))\n"
        "heavy = {name.split('.')[0] for name in sys.modules} & {'scipy', 'pedalboard', 'pygame', 'matplotlib'}\n"
        "print(made.frames, sorted(heavy))\n"
    )
    ran = subprocess.run(
        [sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, check=True, timeout=60
    )
    assert ran.stdout.split(maxsplit=1) == ["48000", "[]\n"]
