"""Excitation: tones and noise through the ear's filters, loops without a seam, parts that add up to their mix."""

import numpy as np
import pytest

from tests.signals import sine, white_noise
from trainer.dsp import excitation, hearing
from trainer.dsp.level import gain, mix_of
from trainer.sound import RATE_HZ, Sound

BIN_HZ = RATE_HZ / excitation.FRAME


def excitation_of(sound: Sound) -> np.ndarray:
    return excitation.powers_of(excitation.spectra_of(sound)) @ excitation.filters()


def test_the_layout_is_fine_where_the_ear_is() -> None:
    """Quarters of the bandwidth of Glasberg and Moore (1990), single bins below; IEC 61260-1 thirds below 100 Hz."""
    sub_bands_hz, channels_hz = excitation.sub_bands_hz(), excitation.channels_hz()
    assert (len(sub_bands_hz), len(channels_hz)) == (208, 45)
    assert np.allclose(np.diff(sub_bands_hz[:85]), BIN_HZ)
    assert sub_bands_hz[0] == pytest.approx(48_000.0 / 8192.0)
    above = sub_bands_hz[90:]
    assert np.all(np.diff(above) < 0.25 * hearing.erb_hz(above[:-1]) + 2.0 * BIN_HZ)
    assert channels_hz[:6] == pytest.approx([25.119, 31.623, 39.811, 50.119, 63.096, 79.433], rel=1e-4)
    numbers = [hearing.erb_number(channel_hz) for channel_hz in channels_hz[6:]]
    assert np.allclose(np.diff(numbers), 1.0)
    assert channels_hz[6] == pytest.approx(100.0)
    assert 19_000.0 < channels_hz[-1] < sub_bands_hz[-1] < 20_000.0


@pytest.mark.parametrize("channel", [0, 3, 6, 15, 25, 40])
def test_all_of_a_tone_on_its_centre_goes_through_a_filter(channel: int) -> None:
    """W(0) = 1 (Patterson et al., JASA 72, 1982: the rounded exponential); within the spread of the window."""
    tone = sine(frequency_hz=float(excitation.channels_hz()[channel]), duration_s=2.0, peak_dbfs=-20.0)
    excited_db = 10.0 * np.log10(excitation_of(tone)[5, channel])
    assert excited_db == pytest.approx(-23.01, abs=0.6)


@pytest.mark.parametrize(("offset", "weight_db"), [(0.5, -3.92), (1.0, -10.38), (2.0, -25.20)])
def test_a_filter_falls_off_as_a_rounded_exponential(offset: float, weight_db: float) -> None:
    """W(g) = (1 + pg) exp(-pg), p = 4 f / ERB (Moore and Glasberg, JASA 74, 1983): by hand at pg = 2, 4, 8.

    A tone counts as lying in the middle of its sub-band, up to an eighth of a bandwidth away: 1.9 dB at pg = 8.
    """
    channel = 25
    centre_hz = float(excitation.channels_hz()[channel])
    tone = sine(frequency_hz=centre_hz - offset * hearing.erb_hz(centre_hz), duration_s=2.0)
    excited_db = 10.0 * np.log10(excitation_of(tone)[5, channel] / 0.5)
    assert excited_db == pytest.approx(weight_db, abs=1.9)


def test_noise_excites_a_filter_as_much_as_one_bandwidth_of_it_holds() -> None:
    """The equivalent rectangular bandwidth's definition (Glasberg and Moore 1990)."""
    noise = white_noise(duration_s=20.0, seed=4, rms_dbfs=-20.0, channels=2)
    density = 0.01 / (RATE_HZ / 2.0)
    for channel in (10, 20, 30):
        expected = density * hearing.erb_hz(float(excitation.channels_hz()[channel]))
        assert excitation_of(noise)[:, channel].mean() == pytest.approx(expected, rel=0.06)


def test_powers_are_mean_squares_over_the_channels_of_a_sound() -> None:
    left = sine(frequency_hz=1000.0, duration_s=1.0, peak_dbfs=-6.0206)
    both = Sound.of(np.column_stack([left.samples[:, 0], np.zeros(left.frames)]))
    assert excitation.powers_of(excitation.spectra_of(left)).sum(axis=1) == pytest.approx(0.125, rel=1e-3)
    assert excitation.powers_of(excitation.spectra_of(both)).sum(axis=1) == pytest.approx(0.0625, rel=1e-3)


def test_the_last_frames_run_over_the_end_into_the_start() -> None:
    """A tone of whole periods goes round without a seam: every frame holds the same."""
    tone = sine(frequency_hz=500.0, duration_s=1.0)
    powers = excitation.powers_of(excitation.spectra_of(tone))
    assert len(powers) == 10
    assert powers.sum(axis=1) == pytest.approx(0.5, rel=1e-3)
    click = Sound.of(np.concatenate([np.ones(10), np.zeros(RATE_HZ - 10)]))
    around = excitation.powers_of(excitation.spectra_of(click)).sum(axis=1)
    assert around[9] > 0.0
    assert around[0] < 1e-3 * around[9]
    assert np.all(around[1:8] < 1e-6 * around[9])


def test_a_loop_shorter_than_a_frame_is_played_on() -> None:
    tone = sine(frequency_hz=1000.0, duration_s=0.05)
    assert excitation.powers_of(excitation.spectra_of(tone)).sum(axis=1) == pytest.approx([0.5], rel=1e-3)


def test_every_second_frame_is_every_second_frame() -> None:
    noise = white_noise(duration_s=1.0, seed=3)
    whole, some = excitation.spectra_of(noise), excitation.spectra_of(noise, every=2)
    assert np.array_equal(some, whole[:, ::2])


def test_a_part_is_known_by_its_power_and_what_it_has_in_common_with_the_mix() -> None:
    """|m + (g - 1) c|² = |m|² + 2 (g - 1) Re(c m*) + (g - 1)² |c|², against the sum made in samples."""
    part, rest = (white_noise(duration_s=1.0, seed=seed, channels=2) for seed in (1, 2))
    mix = mix_of([part, rest])
    spectra = excitation.spectra_of(mix)
    known, plain = (
        excitation.contribution_of(excitation.spectra_of(part), spectra),
        excitation.powers_of(spectra),
    )
    ratio = 10.0 ** (6.0 / 20.0)
    predicted = plain + 2.0 * (ratio - 1.0) * known.cross.real + (ratio - 1.0) ** 2 * known.power
    made = excitation.powers_of(excitation.spectra_of(mix_of([gain(part, gain_db=6.0), rest])))
    assert np.allclose(predicted, made, rtol=1e-3)


def test_the_cross_spectrum_turns_with_the_part_and_not_with_the_mix() -> None:
    """A part a quarter period behind the mix: c m* = -i |m|²; so a bell's phase is put on the right side."""
    tone, late = (
        sine(frequency_hz=1000.0, duration_s=1.0, phase_deg=phase_deg) for phase_deg in (0.0, -90.0)
    )
    known = excitation.contribution_of(excitation.spectra_of(late), excitation.spectra_of(tone))
    assert known.cross.sum(axis=1).imag == pytest.approx(-0.5, rel=1e-3)
    assert known.cross.sum(axis=1).real == pytest.approx(0.0, abs=1e-3)


@pytest.mark.parametrize("sound", [Sound.silence(0), Sound.silence(100, rate_hz=44_100)])
def test_what_has_no_excitation_is_an_error(sound: Sound) -> None:
    with pytest.raises(ValueError, match="an excitation is of a sound at 48000 Hz, not of"):
        excitation.spectra_of(sound)
