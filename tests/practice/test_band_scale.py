"""Band scales: the standard's centres and edges, an octave's lane open into three, and what a near miss is worth."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.practice.band_scale import OCTAVE_SCALE, SCALES, THIRD_SCALE, BandScale, band_label
from trainer.refusal import Refused

OCTAVES_HZ = (
    (31.5, 31.6228, 22.3872, 44.6684), (63.0, 63.0957, 44.6684, 89.1251), (125.0, 125.8925, 89.1251, 177.8279),
    (250.0, 251.1886, 177.8279, 354.8134), (500.0, 501.1872, 354.8134, 707.9458),
    (1000.0, 1000.0, 707.9458, 1412.5375), (2000.0, 1995.2623, 1412.5375, 2818.3829),
    (4000.0, 3981.0717, 2818.3829, 5623.4133), (8000.0, 7943.2823, 5623.4133, 11220.1845),
    (16000.0, 15848.9319, 11220.1845, 22387.2114),
)  # fmt: skip
"""Nominal, exact centre and edges of the octaves."""
THIRDS_HZ = (
    25.1189, 31.6228, 39.8107, 50.1187, 63.0957, 79.4328, 100.0, 125.8925, 158.4893, 199.5262, 251.1886, 316.2278,
    398.1072, 501.1872, 630.9573, 794.3282, 1000.0, 1258.9254, 1584.8932, 1995.2623, 2511.8864, 3162.2777,
    3981.0717, 5011.8723, 6309.5734, 7943.2823, 10000.0, 12589.2541, 15848.9319, 19952.6231,
)  # fmt: skip
THIRD_NAMES_HZ = (
    25, 31.5, 40, 50, 63, 80, 100, 125, 160, 200, 250, 315, 400, 500, 630, 800, 1000, 1250, 1600, 2000, 2500, 3150,
    4000, 5000, 6300, 8000, 10000, 12500, 16000, 20000,
)  # fmt: skip

scales = st.sampled_from([OCTAVE_SCALE, THIRD_SCALE])


@pytest.mark.parametrize(("nominal_hz", "centre_hz", "low_hz", "high_hz"), OCTAVES_HZ)
def test_the_octaves_are_those_of_the_standard(
    nominal_hz: float, centre_hz: float, low_hz: float, high_hz: float
) -> None:
    """IEC 61260-1:2014, base ten: fm = 1000 G^x, edges at fm G^±1/2; 1e-4 on the printed digits."""
    band = OCTAVE_SCALE.band(nominal_hz)
    assert (band.centre_hz, band.low_hz, band.high_hz) == pytest.approx(
        (centre_hz, low_hz, high_hz), rel=1e-6, abs=1e-4
    )


def test_the_thirds_are_those_of_the_standard() -> None:
    """IEC 61260-1:2014, base ten: fm = 1000 G^(x/3) for x from -16 to 13, edges at fm G^±1/6; names of ISO 266."""
    assert THIRD_SCALE.names_hz == THIRD_NAMES_HZ
    assert [band.centre_hz for band in THIRD_SCALE.bands] == pytest.approx(THIRDS_HZ, rel=1e-6, abs=1e-4)
    ratio = 10.0**0.3
    for x, band in zip(range(-16, 14), THIRD_SCALE.bands, strict=True):
        assert band.centre_hz == pytest.approx(1000.0 * ratio ** (x / 3), rel=1e-12)
        assert band.low_hz == pytest.approx(band.centre_hz * ratio ** (-1 / 6), rel=1e-12)
        assert band.high_hz == pytest.approx(band.centre_hz * ratio ** (1 / 6), rel=1e-12)


def test_an_octaves_lane_opens_into_three_with_the_same_edges() -> None:
    for octave_hz, _, low_hz, high_hz in OCTAVES_HZ:
        inside = THIRD_SCALE.within(octave_hz)
        assert len(inside) == 3
        assert inside[1] == octave_hz
        assert {THIRD_SCALE.octave_hz(third_hz) for third_hz in inside} == {octave_hz}
        edges = (THIRD_SCALE.band(inside[0]).low_hz, THIRD_SCALE.band(inside[2]).high_hz)
        assert edges == pytest.approx((low_hz, high_hz), rel=1e-6, abs=1e-4)
        assert OCTAVE_SCALE.within(octave_hz) == (octave_hz,)
        assert OCTAVE_SCALE.octave_hz(octave_hz) == octave_hz


def test_both_scales_are_known_by_their_keys_and_say_what_they_are() -> None:
    assert SCALES == {"octave": OCTAVE_SCALE, "third-octave": THIRD_SCALE}
    assert (len(OCTAVE_SCALE), len(THIRD_SCALE)) == (10, 30)
    assert (OCTAVE_SCALE.width_octaves, THIRD_SCALE.width_octaves) == (1.0, pytest.approx(1 / 3))
    assert OCTAVE_SCALE.words() == "31.5, 63, 125, 250, 500, 1000, 2000, 4000, 8000, 16000 Hz"
    assert (630.0 in THIRD_SCALE, 630.0 in OCTAVE_SCALE, "mix" in OCTAVE_SCALE) == (True, False, False)


@given(scales, st.data())
def test_a_place_and_its_name_are_two_ways_to_say_it(scale: BandScale, data: st.DataObject) -> None:
    place = data.draw(st.integers(0, len(scale) - 1))
    assert scale.place(scale.names_hz[place]) == place
    assert scale.band(scale.names_hz[place]) is scale.bands[place]


@pytest.mark.parametrize("ask", [OCTAVE_SCALE.place, OCTAVE_SCALE.band, OCTAVE_SCALE.octave_hz])
def test_a_frequency_that_names_no_band_is_a_value_error(ask: object) -> None:
    with pytest.raises(ValueError, match=r"octave bands are 31\.5, .* not 440 Hz"):
        ask(440.0)  # type: ignore[operator]


def test_bands_are_put_in_order_each_once() -> None:
    assert OCTAVE_SCALE.in_order([4000.0, 63.0, 4000.0]) == (63.0, 4000.0)
    with pytest.raises(Refused, match="not 440"):
        OCTAVE_SCALE.in_order([4000.0, 440.0])


def test_regression_a_near_miss_is_worth_the_same_an_octave_off_on_either_scale() -> None:
    octaves = [OCTAVE_SCALE.mark(given_hz, 250.0) for given_hz in OCTAVE_SCALE.names_hz]
    assert octaves == [0.0, 0.2, 0.5, 1.0, 0.5, 0.2, 0.0, 0.0, 0.0, 0.0]
    thirds = [THIRD_SCALE.mark(given_hz, 25.0) for given_hz in THIRD_SCALE.names_hz[:9]]
    assert thirds == [1.0, 0.75, 0.6, 0.5, 0.4, 0.3, 0.2, 0.0, 0.0]
    for steps in (1, 2, 3, 5):
        here, there = THIRD_SCALE.names_hz[9], THIRD_SCALE.names_hz[9 + 3 * steps]
        assert THIRD_SCALE.mark(there, here) == OCTAVE_SCALE.mark(
            THIRD_SCALE.octave_hz(there), THIRD_SCALE.octave_hz(here)
        )


@given(scales, st.data())
def test_a_miss_is_worth_the_same_either_way_and_never_more_further_off(
    scale: BandScale, data: st.DataObject
) -> None:
    places = st.integers(0, len(scale) - 1)
    right, near = (scale.names_hz[data.draw(places)] for _ in range(2))
    assert scale.mark(near, right) == scale.mark(right, near)
    assert (scale.mark(near, right) == 1.0) == (near == right)
    way = 1 if scale.place(near) > scale.place(right) else -1
    beyond = scale.place(near) + way
    if 0 <= beyond < len(scale) and near != right:
        assert scale.mark(scale.names_hz[beyond], right) <= scale.mark(near, right)


def test_bands_are_written_as_the_trade_writes_them() -> None:
    assert [band_label(hz) for hz in (31.5, 500.0, 630.0, 1000.0, 1250.0, 3150.0, 12500.0, 16000.0)] == [
        "31.5 Hz", "500 Hz", "630 Hz", "1 kHz", "1.25 kHz", "3.15 kHz", "12.5 kHz", "16 kHz",
    ]  # fmt: skip
