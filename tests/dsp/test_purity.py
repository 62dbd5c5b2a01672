"""What every process keeps: the rate, the shape, single precision, and the sound it was given."""

from collections.abc import Callable

import numpy as np
import pytest

from tests.signals import pink_noise
from trainer.dsp import dynamics, equaliser, fades, filters, level
from trainer.sound import Sound

Process = Callable[[Sound], Sound]

PROCESSES: dict[str, Process] = {
    "bell, double precision": lambda s: equaliser.bell(s, centre_hz=100, gain_db=6),
    "bell, single precision": lambda s: equaliser.bell(s, centre_hz=2000, gain_db=-6),
    "low shelf": lambda s: equaliser.low_shelf(s, corner_hz=100, gain_db=6),
    "low shelf, single": lambda s: equaliser.low_shelf(s, corner_hz=600, gain_db=6),
    "high shelf": lambda s: equaliser.high_shelf(s, corner_hz=3000, gain_db=6),
    "high shelf, double": lambda s: equaliser.high_shelf(s, corner_hz=300, gain_db=6),
    "high pass": lambda s: filters.high_pass(s, corner_hz=100, order=4),
    "low pass": lambda s: filters.low_pass(s, corner_hz=5000, order=8),
    "compress": lambda s: dynamics.compress(s, dynamics.Compressor(-30, 4, 0.01, 0.1, 6, 3)),
    "limit peaks": lambda s: dynamics.limit_peaks(s, ceiling=0.1),
    "gain": lambda s: level.gain(s, gain_db=-3),
    "mix": lambda s: level.mix_of([s, s]),
    "fade in": lambda s: fades.fade_in(s, duration_s=0.01),
    "fade out": lambda s: fades.fade_out(s, duration_s=0.01),
    "seamless": lambda s: fades.seamless(s, lambda t: filters.high_pass(t, corner_hz=50)),
}


@pytest.mark.parametrize("name", PROCESSES)
@pytest.mark.parametrize(("channels", "rate_hz"), [(1, 44_100), (2, 48_000), (5, 96_000)])
def test_a_process_keeps_rate_shape_and_its_input(name: str, channels: int, rate_hz: int) -> None:
    noise = pink_noise(duration_s=0.1, seed=1, channels=channels, rate_hz=rate_hz, rms_dbfs=-15)
    before = noise.samples.copy()
    made = PROCESSES[name](noise)
    assert (made.rate_hz, made.samples.shape) == (rate_hz, before.shape)
    assert made.samples.dtype == np.float32
    assert np.isfinite(made.samples).all()
    assert np.array_equal(noise.samples, before)
    assert not np.array_equal(made.samples, before)
    assert made.samples.flags.c_contiguous


@pytest.mark.parametrize("name", PROCESSES)
def test_the_same_sound_comes_out_the_same(name: str) -> None:
    noise = pink_noise(duration_s=0.05, seed=2, channels=2, rms_dbfs=-15)
    assert np.array_equal(PROCESSES[name](noise).samples, PROCESSES[name](noise).samples)


@pytest.mark.parametrize("name", PROCESSES)
@pytest.mark.parametrize("frames", [1, 2, 3])
def test_a_sound_of_a_few_frames_is_no_special_case(name: str, frames: int) -> None:
    """As many frames as channels: nothing may take one for the other."""
    short = Sound.of(np.full((frames, 2), 0.5) * [1.0, -0.25])
    made = PROCESSES[name](short)
    assert made.samples.shape == (frames, 2)
    assert np.sign(made.samples[0, 0]) == -np.sign(made.samples[0, 1]) != 0
