"""A delayed loop against tones whose delayed form a formula gives."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.signals import impulse, pink_noise
from trainer.dsp.delay import delayed
from trainer.dsp.level import rms_db
from trainer.sound import RATE_HZ, Sound

FRAMES = 9_600


def tones(delay_frames: float = 0.0, *, frames: int = FRAMES) -> Sound:
    """Return a few whole cycles a loop at 100 Hz to 23 kHz, late by a delay: by formula."""
    at = (np.arange(frames) - delay_frames) / frames
    cycles = [20, 201, 1000, 3333, 4600]
    return Sound.of(sum(0.15 * np.sin(2.0 * np.pi * turns * at + turns) for turns in cycles))


def error_db(found: Sound, wanted: Sound) -> float:
    missed = found.samples.astype(np.float64) - wanted.samples
    power = np.mean(np.square(wanted.samples, dtype=np.float64))
    return float(10.0 * np.log10(np.mean(np.square(missed)) / power + 1e-20))


@pytest.mark.parametrize("frames", [FRAMES, FRAMES + 1])
@pytest.mark.parametrize("delay_frames", [0.5, 0.01, 77.25, 2880.37, -3.7])
def test_a_tone_is_late_by_exactly_so_much(delay_frames: float, frames: int) -> None:
    """sin(w (t - d)) by formula, up to 0.96 of half the rate, even and odd loops: the error is below -90 dB."""
    late = delayed(tones(frames=frames), delay_s=delay_frames / RATE_HZ)
    assert error_db(late, tones(delay_frames, frames=frames)) < -110.0


@pytest.mark.parametrize("whole", [1, 480, 9_599, -2])
def test_whole_frames_are_moved_as_they_are(whole: int) -> None:
    loop = pink_noise(duration_s=0.2, seed=1, channels=2)
    late = delayed(loop, delay_s=whole / RATE_HZ)
    assert np.array_equal(late.samples, np.roll(loop.samples, whole, axis=0))


def test_what_runs_over_the_end_comes_round_to_the_start() -> None:
    late = delayed(impulse(frames=100), delay_s=99.0 / RATE_HZ)
    assert np.flatnonzero(late.samples[:, 0]).tolist() == [99]
    assert np.flatnonzero(delayed(late, delay_s=2.0 / RATE_HZ).samples[:, 0]).tolist() == [1]


@given(delay_s=st.floats(-0.19, 0.19))
def test_the_level_stays_and_the_way_back_leads_home(delay_s: float) -> None:
    """Parseval: a straight line of phase changes no power; half the rate itself is left out of the noise."""
    loop = tones()
    late = delayed(loop, delay_s=delay_s)
    assert rms_db(late) == pytest.approx(rms_db(loop), abs=1e-4)
    assert error_db(delayed(late, delay_s=-delay_s), loop) < -110.0


@pytest.mark.parametrize("fraction", [0.25, 0.5])
def test_at_half_the_rate_a_fraction_takes_the_cosine(fraction: float) -> None:
    """cos(pi (n - d)) = cos(pi n) cos(pi d) at the samples: the analytic tone of 24 kHz, moved by d."""
    alternating = Sound.of(np.tile([0.5, -0.5], 500))
    late = delayed(alternating, delay_s=fraction / RATE_HZ)
    expected = alternating.samples * np.cos(np.pi * fraction)
    assert np.max(np.abs(late.samples - expected)) < 1e-6


def test_channels_are_late_alike() -> None:
    loop = pink_noise(duration_s=0.1, seed=2, channels=2)
    late = delayed(loop, delay_s=0.0123456)
    for channel in (0, 1):
        alone = delayed(Sound.of(loop.samples[:, channel]), delay_s=0.0123456)
        assert np.max(np.abs(late.samples[:, [channel]] - alone.samples)) < 1e-6


def test_what_cannot_be_delayed_is_refused() -> None:
    with pytest.raises(ValueError, match="longer than the loop"):
        delayed(tones(), delay_s=0.21)
    with pytest.raises(ValueError, match="longer than the loop"):
        delayed(tones(), delay_s=-0.21)
    with pytest.raises(ValueError, match="empty"):
        delayed(Sound.silence(0), delay_s=0.1)
    assert delayed(tones(), delay_s=0.2).frames == FRAMES
