"""Fades and loops against what they are defined to be."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal

from tests.signals import pink_noise, sine, tone_steps
from trainer.dsp.dynamics import Compressor, compress
from trainer.dsp.equaliser import bell
from trainer.dsp.fades import close_loop, fade_in, fade_out, raised_cosine, seamless
from trainer.dsp.filters import high_pass
from trainer.sound import Sound


@given(frames=st.integers(0, 2000))
def test_a_rise_and_its_mirror_image_add_up_to_one(frames: int) -> None:
    rise = raised_cosine(frames)
    assert rise.shape == (frames,)
    assert_allclose(rise + rise[::-1], 1.0, atol=1e-6)
    assert np.all(np.diff(rise) >= 0)


def test_the_shape_is_the_raised_cosine() -> None:
    """Half a period of a cosine: (1 - cos πx) / 2, so 0.1464 a quarter through, 0.5 half-way."""
    rise = raised_cosine(4001)
    assert_allclose(rise[[1000, 2000, 3000]], [0.1464466, 0.5, 0.8535534], atol=1e-3)


def test_fades_touch_only_their_end() -> None:
    ones = Sound.of(np.ones((1000, 2)))
    up, down = fade_in(ones, duration_s=0.01), fade_out(ones, duration_s=0.01)
    assert_array_equal(up.samples[480:], ones.samples[480:])
    assert_array_equal(down.samples[:520], ones.samples[:520])
    assert up.samples[0, 0] < 1e-4
    assert down.samples[-1, 0] < 1e-4
    assert_array_equal(up.samples[::-1], down.samples)


def test_a_fade_longer_than_the_sound_takes_all_of_it() -> None:
    faded = fade_in(Sound.of(np.ones(100)), duration_s=1.0)
    assert_allclose(faded.samples[:, 0], raised_cosine(100))


@pytest.mark.parametrize("seconds", [2.0, 0.3])
def test_a_process_with_memory_leaves_no_seam(seconds: float) -> None:
    """A linear filter on a periodic signal has a periodic output: what a second turn of the loop gives."""
    noise = pink_noise(duration_s=seconds, seed=1, channels=2)
    twice = Sound(np.tile(noise.samples, (8, 1)))
    wanted = high_pass(twice, corner_hz=80).samples[-noise.frames :]
    assert_allclose(seamless(noise, lambda s: high_pass(s, corner_hz=80)).samples, wanted, atol=1e-6)


def test_a_narrow_bell_and_a_compressor_loop_as_well() -> None:
    """As the last of many turns of the loop; the slowest time constant has passed five times."""
    loop = tone_steps([(-20.0, 0.5), (-3.0, 0.5)], frequency_hz=100.0)

    def process(sound: Sound) -> Sound:
        narrow = bell(sound, centre_hz=63.0957, gain_db=-9, width_octaves=0.5)
        return compress(narrow, Compressor(-20, 4, 0.005, 0.2))

    wanted = process(Sound(np.tile(loop.samples, (4, 1)))).samples[-loop.frames :]
    assert_allclose(seamless(loop, process).samples, wanted, atol=1e-4)


def test_a_process_that_changes_the_length_is_refused() -> None:
    with pytest.raises(ValueError, match="keeps the length"):
        seamless(Sound.silence(100), lambda s: Sound(s.samples[1:].copy()))
    with pytest.raises(ValueError, match="empty"):
        seamless(Sound.silence(0), lambda s: s)


def test_a_closed_loop_goes_on_where_it_ends() -> None:
    """A sine cut anywhere steps at the seam; closed, no step is much above the sine's own, 2 sin(πf/fs)."""
    tone = sine(frequency_hz=100, duration_s=1.0137)
    length = tone.frames - 480
    cut, closed = tone.samples[:length, 0], close_loop(tone, overlap_s=0.01).samples[:, 0]
    assert closed.size == length
    assert abs(cut[0] - cut[-1]) > 0.5
    assert abs(closed[0] - closed[-1]) < 1.1 * 2 * np.sin(np.pi * 100 / 48_000)
    assert np.abs(np.diff(closed)).max() < 3 * 2 * np.sin(np.pi * 100 / 48_000)
    assert_array_equal(closed[480:], cut[480:])


def test_a_loop_shorter_than_its_overlap_is_refused() -> None:
    with pytest.raises(ValueError, match=r"too short for an overlap of 0\.01 s"):
        close_loop(Sound.silence(500), overlap_s=0.01)
