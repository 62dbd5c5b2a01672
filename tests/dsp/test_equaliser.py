"""Bells and shelves against worked coefficients of the Audio EQ Cookbook (W3C Note, 8 June 2021)."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from numpy.typing import NDArray
from scipy import optimize

from tests.signals import flat_spectrum_pink, impulse, pink_noise
from trainer.dsp import equaliser
from trainer.dsp.fades import seamless
from trainer.dsp.octave_bands import NOMINAL_HZ, OCTAVES, Band, band_levels_db, octave
from trainer.sound import Sound

RATE_HZ = 48_000
BANDS_HZ = (63, 125, 250, 500, 1000, 2000, 4000, 8000, 16000)


def width_octaves(quality: float, centre_hz: float, rate_hz: int = RATE_HZ) -> float:
    """Return the width of a bell of that Q: the cookbook's formula turned round."""
    angle = 2 * math.pi * centre_hz / rate_hz
    return 2 / math.log(2) * math.asinh(1 / (2 * quality)) * math.sin(angle) / angle


BELLS = (
    (1000, 1.0, 6, RATE_HZ, (1.04395308699, -1.895320723937, 0.86772228476, -1.895320723937, 0.91167537175)),
    (1000, 1.0, -6, RATE_HZ, (0.95789745005, -1.815522888486, 0.8732915139, -1.815522888486, 0.8311889639)),
    (250, 2**0.5, 9, RATE_HZ, (1.012443976821, -1.9852496425, 0.97386916261, -1.9852496425, 0.986313139431)),
    (4000, 2**0.5, -12, RATE_HZ, (0.8047500886, -1.2804246889, 0.6737569890, -1.2804246889, 0.4785070776)),
    (16000, 2**0.5, 6, RATE_HZ, (1.1773034217, 0.8218525719, 0.4664017222, 0.8218525719, 0.6437051439)),
    (1000, 1.0, 6, 44_100, (1.0476300262, -1.884991252457, 0.856656460922, -1.884991252457, 0.904286487122)),
)  # fmt: skip


@pytest.mark.parametrize(("centre_hz", "quality", "gain_db", "rate_hz", "expected"), BELLS)
def test_bell_coefficients_are_the_cookbooks(
    centre_hz: float, quality: float, gain_db: float, rate_hz: int, expected: tuple[float, ...]
) -> None:
    """Audio EQ Cookbook, peakingEQ; worked values equal those of pyloudnorm 0.2.0's ``IIRfilter``."""
    section = equaliser.bell_coefficients(
        centre_hz=centre_hz,
        gain_db=gain_db,
        width_octaves=width_octaves(quality, centre_hz, rate_hz),
        rate_hz=rate_hz,
    )
    assert_allclose(section[[0, 1, 2, 4, 5]], expected, atol=6e-11)
    assert section[3] == 1.0


def test_shelf_coefficients_are_the_cookbooks() -> None:
    """Audio EQ Cookbook, lowShelf and highShelf with S = 1 (Q = 1/√2); values equal pyloudnorm's."""
    low = equaliser.low_shelf_coefficients(corner_hz=200, gain_db=6, slope=1, rate_hz=RATE_HZ)
    high = equaliser.high_shelf_coefficients(corner_hz=4000, gain_db=-6, slope=1, rate_hz=RATE_HZ)
    expected_low = (1.006445577851, -1.96861235232, 0.963120058273, -1.968850107386, 0.969327881058)
    expected_high = (0.567828271113, -0.657619557714, 0.238231223986, -1.385991858952, 0.534431796336)
    assert_allclose(low[[0, 1, 2, 4, 5]], expected_low, atol=2e-12)
    assert_allclose(high[[0, 1, 2, 4, 5]], expected_high, atol=2e-12)


@pytest.mark.parametrize(
    ("centre_hz", "quality", "gain_db", "expected_db"),
    [
        (1000, 1.0, 6, (0.026, 0.102, 0.423, 1.879, 6.000, 1.866, 0.405, 0.084, 0.009)),
        (250, 2**0.5, 9, (0.366, 1.782, 9.000, 1.781, 0.359, 0.084, 0.020, 0.004, 0.000)),
        (4000, 2**0.5, -12, (-0.002, -0.008, -0.030, -0.123, -0.512, -2.413, -12.000, -2.109, -0.198)),
    ],
)
def test_bell_responses_are_the_cookbooks(
    centre_hz: float, quality: float, gain_db: float, expected_db: tuple[float, ...]
) -> None:
    """Audio EQ Cookbook transfer function, evaluated with ``scipy.signal.freqz``."""
    response_db = equaliser.bell_response_db(
        BANDS_HZ,
        centre_hz=centre_hz,
        gain_db=gain_db,
        width_octaves=width_octaves(quality, centre_hz),
        rate_hz=RATE_HZ,
    )
    assert_allclose(response_db, expected_db, atol=6e-4)


def test_shelf_responses_are_the_cookbooks() -> None:
    """Audio EQ Cookbook transfer functions, evaluated with ``scipy.signal.freqz``."""
    low = equaliser.low_shelf_response_db(BANDS_HZ, corner_hz=200, gain_db=6, rate_hz=RATE_HZ)
    high = equaliser.high_shelf_response_db(BANDS_HZ, corner_hz=4000, gain_db=-6, rate_hz=RATE_HZ)
    assert_allclose(low, (5.937, 5.166, 1.783, 0.161, 0.010, 0.001, 0, 0, 0), atol=6e-4)
    assert_allclose(high, (0, 0, 0, -0.001, -0.023, -0.353, -3.000, -5.715, -5.996), atol=6e-4)


@pytest.mark.parametrize("slope", [0.3, 0.7, 1.0])
def test_a_shelf_has_half_its_gain_at_the_corner(slope: float) -> None:
    """Audio EQ Cookbook: the shelf's f0 is the midpoint in dB."""
    for response in (equaliser.low_shelf_response_db, equaliser.high_shelf_response_db):
        at_corner_db = response([900.0], corner_hz=900, gain_db=8, slope=slope, rate_hz=RATE_HZ)
        assert at_corner_db[0] == pytest.approx(4.0, abs=1e-9)


ANALOGUE_WIDTHS = (1 / 6, 1 / 3, 1 / 2, 2 / 3, 1, 4 / 3, 2, 3, 1.3885, 1.8999)
ANALOGUE_QUALITIES = (8.6514, 4.3185, 2.8710, 2.1449, 1.41421, 1.0445, 0.6667, 0.4041, 1.0, 0.7071)


@pytest.mark.parametrize(
    ("octaves", "quality"),
    list(zip(ANALOGUE_WIDTHS, ANALOGUE_QUALITIES, strict=True)),
)
def test_quality_and_width_follow_the_analogue_formula_at_low_frequencies(
    octaves: float, quality: float
) -> None:
    """Q = √(2^N) / (2^N - 1), the analogue relation between Q and bandwidth in octaves."""
    found = equaliser.bell_quality(centre_hz=20, width_octaves=octaves, rate_hz=RATE_HZ)
    assert found == pytest.approx(quality, abs=6e-5)


@pytest.mark.parametrize(
    ("centre_hz", "quality"), [(63, 1.4142), (1000, 1.410), (4000, 1.3479), (8000, 1.1589), (16000, 0.5320)]
)
def test_quality_falls_towards_half_the_rate(centre_hz: float, quality: float) -> None:
    """Audio EQ Cookbook, BW case for one octave at 48 kHz."""
    found = equaliser.bell_quality(centre_hz=centre_hz, width_octaves=1, rate_hz=RATE_HZ)
    assert found == pytest.approx(quality, abs=5e-4)


def half_gain_width_octaves(centre_hz: float) -> float:
    def above_half_db(octaves: float) -> float:
        frequency_hz = centre_hz * 2**octaves
        return (
            float(
                equaliser.bell_response_db([frequency_hz], centre_hz=centre_hz, gain_db=6, rate_hz=RATE_HZ)[0]
            )
            - 3.0
        )

    top = min(3.0, math.log2(23_990 / centre_hz))
    return float(optimize.brentq(above_half_db, 0, top) - optimize.brentq(above_half_db, -3, 0))


@pytest.mark.parametrize(
    ("centre_hz", "octaves"),
    [(63, 1.000), (1000, 1.000), (2000, 0.999), (4000, 0.997), (8000, 0.989), (16000, 1.044)],
)
def test_a_bell_is_one_octave_wide_at_every_centre(centre_hz: float, octaves: float) -> None:
    """Half-gain width of the cookbook's BW case, found from its transfer function with scipy."""
    assert half_gain_width_octaves(centre_hz) == pytest.approx(octaves, abs=6e-4)


def measured_response_db(sound: Sound, frequencies_hz: NDArray[np.float64]) -> NDArray[np.float64]:
    bins = np.rint(frequencies_hz * sound.frames / sound.rate_hz).astype(int)
    return np.asarray(20 * np.log10(np.abs(np.fft.rfft(sound.samples[:, 0].astype(np.float64))[bins])))


@pytest.mark.parametrize("band_hz", NOMINAL_HZ)
@pytest.mark.parametrize("width", [1 / 6, 1 / 3, 1.0])
def test_what_a_bell_does_is_what_it_says(band_hz: float, width: float) -> None:
    """The DFT of the impulse response against the cookbook's transfer function, within 0.02 dB."""
    centre_hz = octave(band_hz).centre_hz
    frequencies_hz = np.rint(np.geomspace(centre_hz / 3, min(3 * centre_hz, 23_000), 40))
    click = impulse(frames=2 * RATE_HZ)
    for gain_db in (12.0, -12.0):
        heard = equaliser.bell(click, centre_hz=centre_hz, gain_db=gain_db, width_octaves=width)
        drawn_db = equaliser.bell_response_db(
            frequencies_hz, centre_hz=centre_hz, gain_db=gain_db, width_octaves=width, rate_hz=RATE_HZ
        )
        assert_allclose(measured_response_db(heard, frequencies_hz), drawn_db, atol=0.02)


@pytest.mark.parametrize("corner_hz", [80.0, 250.0, 500.0, 2000.0, 8000.0])
def test_what_a_shelf_does_is_what_it_says(corner_hz: float) -> None:
    """The DFT of the impulse response against the cookbook's transfer function, within 0.02 dB."""
    frequencies_hz = np.rint(np.geomspace(30, 20_000, 60))
    click = impulse(frames=2 * RATE_HZ)
    low = equaliser.low_shelf(click, corner_hz=corner_hz, gain_db=9)
    high = equaliser.high_shelf(click, corner_hz=corner_hz, gain_db=-9)
    low_db = equaliser.low_shelf_response_db(frequencies_hz, corner_hz=corner_hz, gain_db=9, rate_hz=RATE_HZ)
    high_db = equaliser.high_shelf_response_db(
        frequencies_hz, corner_hz=corner_hz, gain_db=-9, rate_hz=RATE_HZ
    )
    assert_allclose(measured_response_db(low, frequencies_hz), low_db, atol=0.02)
    assert_allclose(measured_response_db(high, frequencies_hz), high_db, atol=0.02)


BAND_CHANGES = (
    (1000, 2**0.5, 6, {500: 1.392, 1000: 4.809, 2000: 1.383, 250: 0.247, 4000: 0.238}),
    (1000, 1.0, 6, {500: 2.165, 1000: 5.252, 2000: 2.153}),
    (1000, 4.318, 6, {500: 0.206, 1000: 2.879, 2000: 0.204}),
    (1000, 2**0.5, 12, {500: 3.089, 1000: 9.684, 2000: 3.071}),
    (1000, 2**0.5, -6, {500: -1.279, 1000: -4.597, 2000: -1.270}),
    (8000, 2**0.5, 6, {4000: 1.136, 8000: 4.506, 16000: 0.701}),
)
"""Centre, Q, gain: change of the level of pink noise in octave bands."""


@pytest.mark.parametrize(("centre_hz", "quality", "gain_db", "changes_db"), BAND_CHANGES)
def test_a_bell_moves_the_octave_bands_of_pink_noise(
    centre_hz: float, quality: float, gain_db: float, changes_db: dict[float, float]
) -> None:
    """Mean of |H|² over log frequency between IEC 61260-1 edges, H the cookbook's bell: within 0.05 dB."""
    noise = flat_spectrum_pink(duration_s=5.0, seed=6)
    width = width_octaves(quality, centre_hz)
    changed = seamless(
        noise, lambda s: equaliser.bell(s, centre_hz=centre_hz, gain_db=gain_db, width_octaves=width)
    )
    moved_db = band_levels_db(changed) - band_levels_db(noise)
    for band_hz, expected_db in changes_db.items():
        assert moved_db[NOMINAL_HZ.index(band_hz)] == pytest.approx(expected_db, abs=0.05)


@settings(max_examples=15, deadline=None, derandomize=True)
@given(
    band=st.sampled_from(OCTAVES), gain_db=st.floats(-15, 15), octaves=st.sampled_from([1 / 3, 0.7, 1.0, 2.0])
)
def test_a_bell_and_its_opposite_are_a_wire(band: Band, gain_db: float, octaves: float) -> None:
    """Audio EQ Cookbook: a boost followed by the equal cut is exactly a wire."""
    noise = pink_noise(duration_s=0.3, seed=7)
    centre_hz = band.centre_hz
    there = equaliser.bell(noise, centre_hz=centre_hz, gain_db=gain_db, width_octaves=octaves)
    back = equaliser.bell(there, centre_hz=centre_hz, gain_db=-gain_db, width_octaves=octaves)
    assert_allclose(back.samples, noise.samples, atol=2e-5)


@settings(max_examples=50, deadline=None, derandomize=True)
@given(centre_hz=st.floats(20, 20_000), gain_db=st.floats(-18, 18), octaves=st.floats(0.1, 3))
def test_a_bell_reaches_its_gain_at_its_centre_and_never_passes_it(
    centre_hz: float, gain_db: float, octaves: float
) -> None:
    frequencies_hz = np.append(np.geomspace(20, 23_900, 100), centre_hz)
    response_db = equaliser.bell_response_db(
        frequencies_hz, centre_hz=centre_hz, gain_db=gain_db, width_octaves=octaves, rate_hz=RATE_HZ
    )
    assert response_db[-1] == pytest.approx(gain_db, abs=1e-6)
    assert np.all(np.abs(response_db) <= abs(gain_db) + 1e-6)


def test_what_cannot_be_is_refused() -> None:
    click = impulse(frames=100)
    with pytest.raises(ValueError, match="between 0 and 24000"):
        equaliser.bell(click, centre_hz=24_000, gain_db=6)
    with pytest.raises(ValueError, match="positive number of octaves"):
        equaliser.bell(click, centre_hz=1000, gain_db=6, width_octaves=0)
    with pytest.raises(ValueError, match="slope is above 0"):
        equaliser.low_shelf(click, corner_hz=1000, gain_db=6, slope=0)
    with pytest.raises(ValueError, match="between 0 and"):
        equaliser.high_shelf(click, corner_hz=-5, gain_db=6)
