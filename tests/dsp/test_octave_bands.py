"""Octave bands against the formulas and limits of IEC 61260-1:2014 and against PyOctaveBand."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from tests.signals import flat_spectrum_pink, impulse, pink_noise, sine, tone_steps, white_noise
from trainer.dsp.level import rms_db
from trainer.dsp.octave_bands import (
    NOMINAL_HZ,
    OCTAVES,
    THIRD_OCTAVES,
    Band,
    band_levels_db,
    band_powers,
    band_powers_over_time,
    octave,
)
from trainer.sound import Sound

G = 10.0**0.3

OCTAVE_TABLE = (
    (31.5, 31.6228, 22.3872, 44.6684),
    (63, 63.0957, 44.6684, 89.1251),
    (125, 125.8925, 89.1251, 177.8279),
    (250, 251.1886, 177.8279, 354.8134),
    (500, 501.1872, 354.8134, 707.9458),
    (1000, 1000, 707.9458, 1412.5375),
    (2000, 1995.2623, 1412.5375, 2818.3829),
    (4000, 3981.0717, 2818.3829, 5623.4133),
    (8000, 7943.2823, 5623.4133, 11220.1845),
    (16000, 15848.9319, 11220.1845, 22387.2114),
)

THIRD_CENTRES_HZ = (
    25.1189, 31.6228, 39.8107, 50.1187, 63.0957, 79.4328, 100, 125.8925, 158.4893, 199.5262,
    251.1886, 316.2278, 398.1072, 501.1872, 630.9573, 794.3282, 1000, 1258.9254, 1584.8932, 1995.2623,
    2511.8864, 3162.2777, 3981.0717, 5011.8723, 6309.5734, 7943.2823, 10000, 12589.2541, 15848.9319,
    19952.6231,
)  # fmt: skip

CLASS_1_LIMITS = (
    (0, -0.4, 0.4),
    (1 / 8, -0.4, 0.5),
    (1 / 4, -0.4, 0.7),
    (3 / 8, -0.4, 1.4),
    (1 / 2 - 1e-3, -0.4, 5.3),
    (1 / 2 + 1e-3, 1.2, np.inf),
    (1, 16.6, np.inf),
    (2, 40.5, np.inf),
    (3, 60.0, np.inf),
    (4, 70.0, np.inf),
)
"""Exponent of G, least and greatest relative attenuation in dB."""


@pytest.mark.parametrize("row", OCTAVE_TABLE, ids=lambda row: f"{row[0]:g} Hz")
def test_octave_centres_and_edges_are_those_of_the_standard(row: tuple[float, ...]) -> None:
    """IEC 61260-1:2014, formulas 1 to 5 (base-ten system)."""
    band = octave(row[0])
    assert_allclose((band.nominal_hz, band.centre_hz, band.low_hz, band.high_hz), row, rtol=5e-6)


def test_third_octave_centres_are_those_of_the_standard() -> None:
    """IEC 61260-1:2014, formula 2 with b = 3; the nominal frequencies of ISO 266 lie within 2 % of them."""
    assert_allclose([band.centre_hz for band in THIRD_OCTAVES], THIRD_CENTRES_HZ, rtol=2e-6)
    assert_allclose([band.nominal_hz for band in THIRD_OCTAVES], THIRD_CENTRES_HZ, rtol=0.02)


def test_centres_follow_the_formula_to_the_last_digits() -> None:
    """IEC 61260-1:2014, formulas 2, 4 and 5."""
    for bands, lowest, per_octave in ((OCTAVES, -5, 1), (THIRD_OCTAVES, -16, 3)):
        centres = 1000.0 * G ** (np.arange(lowest, lowest + len(bands)) / per_octave)
        assert_allclose([band.centre_hz for band in bands], centres, rtol=1e-12)
        assert_allclose([band.low_hz for band in bands], centres * G ** (-0.5 / per_octave), rtol=1e-12)
        assert_allclose([band.high_hz for band in bands], centres * G ** (0.5 / per_octave), rtol=1e-12)


@pytest.mark.parametrize("bands", [OCTAVES, THIRD_OCTAVES], ids=["octaves", "thirds"])
def test_neighbouring_bands_share_an_edge(bands: tuple[Band, ...]) -> None:
    """IEC 61260-1:2014: the bands of a set leave no gap."""
    assert [band.high_hz for band in bands[:-1]] == [band.low_hz for band in bands[1:]]


def test_a_name_that_is_no_band_is_refused_with_the_likely_slip() -> None:
    with pytest.raises(ValueError, match="not 300"):
        octave(300)
    with pytest.raises(ValueError, match="did you mean kHz"):
        octave(2)


@pytest.mark.parametrize(("exponent", "least_db", "most_db"), CLASS_1_LIMITS)
@pytest.mark.parametrize("side", [1, -1], ids=["above", "below"])
def test_octave_attenuation_is_within_class_1(
    exponent: float, least_db: float, most_db: float, side: int
) -> None:
    """IEC 61260-1:2014, Table 1, class 1, for the 1 kHz octave; the tone is a whole number of periods."""
    frequency_hz = 1000.0 * G ** (side * exponent)
    tone = sine(frequency_hz=round(4 * frequency_hz) / 4, duration_s=4.0)
    attenuation_db = rms_db(tone) - band_levels_db(tone, bands=(octave(1000),))[0]
    assert least_db <= attenuation_db <= most_db


THIRD_LIMITS = (
    (1.02667, -0.4, 0.5),
    (1.05575, -0.4, 0.7),
    (1.08746, -0.4, 1.4),
    (1.12202 * 0.999, -0.4, 5.3),
    (1.12202 * 1.001, 1.2, np.inf),
    (1.29437, 16.6, np.inf),
    (1.88173, 40.5, np.inf),
    (3.05365, 60.0, np.inf),
    (5.39195, 70.0, np.inf),
)
"""Ratio to the centre, least and greatest relative attenuation in dB."""


@pytest.mark.parametrize(("ratio", "least_db", "most_db"), THIRD_LIMITS)
def test_third_octave_attenuation_is_within_class_1(ratio: float, least_db: float, most_db: float) -> None:
    """IEC 61260-1:2014, Table 1 with the breakpoints of formula 9, for the 1 kHz third."""
    third = next(band for band in THIRD_OCTAVES if band.nominal_hz == 1000)
    for frequency_hz in (1000.0 * ratio, 1000.0 / ratio):
        tone = sine(frequency_hz=round(4 * frequency_hz) / 4, duration_s=4.0)
        attenuation_db = rms_db(tone) - band_levels_db(tone, bands=(third,))[0]
        assert least_db <= attenuation_db <= most_db


@pytest.mark.parametrize("band", OCTAVES, ids=lambda band: f"{band.nominal_hz:g}")
def test_a_sine_at_the_centre_reads_its_own_level(band: Band) -> None:
    """By definition of the mean square: a sine of peak -6 dBFS has -9.01 dB, all of it in its band."""
    tone = sine(frequency_hz=band.centre_hz, duration_s=10.0, peak_dbfs=-6.0)
    assert band_levels_db(tone, bands=(band,))[0] == pytest.approx(-9.0103, abs=0.03)


def test_pink_noise_is_flat() -> None:
    """Pink noise has equal power in bands of equal ratio (IEC 61260-1 bands: all of ratio G)."""
    levels_db = band_levels_db(flat_spectrum_pink(duration_s=10.0, seed=1))
    assert np.ptp(levels_db) < 0.1


def test_white_noise_rises_by_three_decibels_an_octave() -> None:
    """White noise has power in proportion to bandwidth: 10 lg G = 3.0 dB from band to band."""
    levels_db = band_levels_db(white_noise(duration_s=20.0, seed=2))[3:]
    assert_allclose(np.diff(levels_db), 3.0, atol=0.15)


def test_levels_agree_with_a_reference_library() -> None:
    """PyOctaveBand 2.0 (filter bank, class 1): pink noise within 0.15 dB from 63 Hz to 8 kHz."""
    reference = pytest.importorskip("pyoctaveband")
    noise = pink_noise(duration_s=20.0, seed=3)
    levels, _ = reference.octavefilter(
        noise.samples[:, 0].astype(np.float64), fs=noise.rate_hz, fraction=1, limits=[45, 11000]
    )
    ours = band_levels_db(noise)[1:9]
    assert_allclose(ours - ours.mean(), np.asarray(levels) - np.mean(levels), atol=0.15)


def test_powers_are_averaged_over_channels() -> None:
    one = sine(frequency_hz=1000.0, duration_s=1.0)
    left_only = Sound.of(np.column_stack([one.samples[:, 0], np.zeros(one.frames)]))
    assert_allclose(band_powers(left_only), band_powers(one) / 2, atol=1e-12)


@pytest.mark.parametrize("frames", [64, 63, 4800])
def test_a_band_of_everything_holds_all_the_power(frames: int) -> None:
    """Parseval: from zero to half the rate, the power is the mean square, the steady part included."""
    noise = white_noise(duration_s=frames / 48_000, seed=7)
    raised = Sound(noise.samples + np.float32(0.1))
    everything = Band(1000, 1000, 0, 30_000)
    assert 10 * np.log10(band_powers(raised, bands=(everything,))[0]) == pytest.approx(
        rms_db(raised), abs=1e-4
    )


def test_an_edge_inside_a_bin_shares_it_out() -> None:
    """The impulse has equal power per hertz, so a band has its share even if it is narrower than a bin."""
    click = impulse(frames=480)
    narrow = Band(1000, 1010, 1000, 1020)
    assert band_powers(click, bands=(narrow,))[0] == pytest.approx((1 / 480) * 20 / 24000, rel=1e-5)


def test_the_top_band_is_cut_off_at_half_the_rate() -> None:
    """At 44.1 kHz the 16 kHz octave ends at 22 050 Hz instead of 22 387 Hz."""
    click = impulse(frames=44100, rate_hz=44100)
    width_hz = 22050 - octave(16000).low_hz
    assert band_powers(click)[-1] == pytest.approx((1 / 44100) * width_hz / 22050, rel=1e-4)


def test_a_band_wholly_above_half_the_rate_is_refused() -> None:
    with pytest.raises(ValueError, match="above half the rate 16000"):
        band_powers(impulse(frames=16000, rate_hz=16000))


def test_silence_reads_minus_infinity() -> None:
    assert np.all(np.isneginf(band_levels_db(Sound.silence(4800))))


def test_windows_agree_with_the_whole_on_steady_noise() -> None:
    """Parseval: the mean over overlapping windows is the power of the whole (0.3 dB for 13 s of noise)."""
    noise = pink_noise(duration_s=13.0, seed=4, channels=2)
    windows = band_powers_over_time(noise)
    assert windows.shape == (130, len(NOMINAL_HZ))
    assert_allclose(10 * np.log10(windows.mean(axis=0)), band_levels_db(noise), atol=0.3)


def test_windows_tell_when_a_tone_stops() -> None:
    """A tone of one second and then silence: 2 kHz reads -3.01 dB in the windows wholly inside the tone."""
    sound = tone_steps([(0.0, 1.0), (-200.0, 1.0)], frequency_hz=2000.0)
    levels_db = 10 * np.log10(band_powers_over_time(sound)[:, NOMINAL_HZ.index(2000.0)] + 1e-20)
    assert_allclose(levels_db[:8], -3.0103, atol=0.02)
    assert np.all(levels_db[10:18] < -100)


def test_the_last_windows_run_on_into_the_start() -> None:
    """A loop turned round by whole hops has the same windows, turned round."""
    noise = pink_noise(duration_s=1.0, seed=5)
    turned = Sound(np.roll(noise.samples, -4800 * 3, axis=0))
    assert_allclose(
        band_powers_over_time(turned), np.roll(band_powers_over_time(noise), -3, axis=0), rtol=1e-4
    )


def test_a_loop_shorter_than_a_window_is_played_on() -> None:
    tone = sine(frequency_hz=1000.0, duration_s=0.05)
    assert_allclose(band_powers_over_time(tone)[0, NOMINAL_HZ.index(1000.0)], 0.5, rtol=1e-3)


def test_windows_of_nothing_are_refused() -> None:
    with pytest.raises(ValueError, match="at least two frames"):
        band_powers_over_time(Sound.silence(480), window_s=0.0)
