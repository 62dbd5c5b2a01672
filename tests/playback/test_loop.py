"""The loop's renderer without any device: in step, without clicks, quiet first, never above the ceiling."""

import numpy as np
import pytest
from scipy.signal import firwin
from scipy.signal.windows import hann

from tests.playback.music import (
    LOOP_FRAMES,
    VERSIONS,
    expected,
    largest_steps,
    music,
    place_of,
    playing,
    rendered,
    steps_of_loop,
)
from trainer.playback.loop import Loop
from trainer.playback.player import Version
from trainer.sound import RATE_HZ, Sound

FLIP = 720
"""15 ms at 48 kHz."""
OWN_STEPS = steps_of_loop(*VERSIONS.values())


def constant(value: float, frames: int = 4_800) -> Sound:
    return Sound.of(np.full((frames, 2), value))


def at_rest(value: float) -> Loop:
    """Return a loop that plays a constant at full level."""
    loop = Loop()
    loop.load({Version.PLAIN: constant(value)})
    loop.set_level(0.0)
    loop.play()
    rendered(loop, 1.3)
    return loop


@pytest.mark.parametrize("buffer_frames", [64, 480, 1_024, 2_048, 40_000])
def test_between_flips_every_frame_is_the_versions_own(buffer_frames: int) -> None:
    """Bit for bit, at the place in the loop that counting frames gives, across three seams."""
    loop = playing()
    for version in (Version.CHANGED, Version.YOURS, Version.PLAIN):
        loop.flip(version)
        place = place_of(loop)
        heard = rendered(loop, 0.8, buffer_frames=buffer_frames)
        assert (heard[FLIP:] == expected(version, place, len(heard))[FLIP:]).all()


@pytest.mark.parametrize("buffer_frames", [64, 333, 2_048])
def test_what_is_heard_does_not_depend_on_the_buffer(buffer_frames: int) -> None:
    """Frame for frame the same with any size of buffer, fades and seams included."""

    def play(buffer_frames: int) -> np.ndarray:
        loop = playing()
        loop.flip(Version.CHANGED)
        first = rendered(loop, 0.9, buffer_frames=buffer_frames)
        loop.stop()
        return np.concatenate([first, rendered(loop, 0.1, buffer_frames=buffer_frames)])

    assert (play(buffer_frames) == play(4_800)).all()


def test_a_flip_begins_with_the_next_buffer_and_takes_15_ms() -> None:
    loop = playing()
    place = place_of(loop)
    loop.flip(Version.CHANGED)
    heard = rendered(loop, 0.1)
    assert loop.sounding is Version.CHANGED
    moved = (heard != expected(Version.PLAIN, place, len(heard))).any(axis=1)
    arrived = (heard == expected(Version.CHANGED, place, len(heard))).all(axis=1)
    assert moved.argmax() < 20, "the fade's first steps are below a float32's"
    assert FLIP - 20 < arrived.argmax() < FLIP
    assert arrived[FLIP:].all()


def test_a_flip_is_a_raised_cosine_crossfade() -> None:
    """scipy.signal.windows.hann gives the weight of the new version, its complement that of the old one."""
    loop = playing()
    place = place_of(loop)
    loop.flip(Version.CHANGED)
    heard = rendered(loop, 0.015)
    weight = hann(2 * FLIP + 1)[1 : FLIP + 1, None]
    old, new = expected(Version.PLAIN, place, FLIP), expected(Version.CHANGED, place, FLIP)
    assert heard == pytest.approx((1.0 - weight) * old + weight * new, abs=1e-6)


def test_no_flip_makes_a_step_that_the_music_does_not_have() -> None:
    """First and second differences from frame to frame, 12 flips and two seams."""
    loop = playing()
    rng = np.random.default_rng(4)
    heard = []
    for turn in range(12):
        loop.flip(tuple(Version)[turn % 3])
        heard.append(rendered(loop, float(rng.uniform(0.05, 0.2))))
    assert (largest_steps(np.concatenate(heard)) <= OWN_STEPS * 1.001).all()


def test_flips_turned_round_midway_make_no_step_either() -> None:
    """Six flips 6 ms apart, among three versions, none of the fades finished."""
    loop = playing()
    heard = []
    for turn in range(6):
        loop.flip(tuple(Version)[(turn + 1) % 3])
        heard.append(rendered(loop, 0.006, buffer_frames=96))
    heard.append(rendered(loop, 0.05))
    assert (largest_steps(np.concatenate(heard)) <= OWN_STEPS * 1.001).all()
    assert (heard[-1][FLIP:] == expected(Version.PLAIN, place_of(loop) - 2_400, 2_400)[FLIP:]).all()


def test_the_measure_of_steps_would_find_a_hard_cut() -> None:
    """The check of the check: the same two versions, cut hard where they differ most."""
    plain, changed = VERSIONS[Version.PLAIN].samples, VERSIONS[Version.CHANGED].samples
    cut = int(np.abs(plain - changed).max(axis=1).argmax())
    steps = largest_steps(np.concatenate([plain[:cut], changed[cut:]]))
    assert (steps > 1.5 * OWN_STEPS).all()


def test_a_flip_between_equal_versions_changes_nothing() -> None:
    """Equal-gain crossfades add up to 1: within half a step of 24 bits."""
    loop = Loop()
    loop.load({Version.PLAIN: music(), Version.CHANGED: music()})
    loop.set_level(0.0)
    loop.play()
    rendered(loop, 1.5)
    place = place_of(loop)
    loop.flip(Version.CHANGED)
    assert rendered(loop, 0.1) == pytest.approx(expected(Version.PLAIN, place, 4_800), abs=2.0**-24)


def test_regression_a_flip_leaves_nothing_above_a_low_tone() -> None:
    """An 80 Hz tone flipped to 6 dB more: below -80 dB of the tone above 1.5 kHz; a hard cut is far above."""
    frames = 48_000
    tone = 0.25 * np.sin(2.0 * np.pi * 80.0 * np.arange(frames) / RATE_HZ)
    loop = Loop()
    loop.load({Version.PLAIN: Sound.of(tone), Version.CHANGED: Sound.of(2.0 * tone)})
    loop.set_level(0.0)
    loop.play()
    rendered(loop, 1.5)
    loop.flip(Version.CHANGED)
    assert _level_above_tone_db(rendered(loop, 0.25)[:, 0]) < -80.0
    assert _level_above_tone_db(np.concatenate([tone[:6_050], 2.0 * tone[6_050:12_000]])) > -15.0


def _level_above_tone_db(heard: np.ndarray) -> float:
    """Return the peak of what lies above 1.5 kHz, in dB of the tone (before it is raised)."""
    taps = firwin(2_001, 1_500.0, fs=RATE_HZ, pass_zero=False, window="blackmanharris")
    return float(20.0 * np.log10(np.abs(np.convolve(heard, taps, mode="valid")).max() / 0.25))


def test_the_first_start_takes_a_second_and_the_later_ones_60_ms() -> None:
    loop = Loop()
    loop.load({Version.PLAIN: constant(0.5)})
    loop.set_level(0.0)
    loop.play()
    first = rendered(loop, 1.2)[:, 0]
    assert int((first < 0.5).sum()) == pytest.approx(RATE_HZ, abs=50)
    assert first[: RATE_HZ // 4].max() < 0.075  # a quarter of the way up a raised cosine: 0.1464
    loop.stop()
    rendered(loop, 0.2)
    loop.play()
    again = rendered(loop, 0.2)[:, 0]
    assert int((again < 0.5).sum()) == pytest.approx(2_880, abs=5)


def test_a_first_start_that_was_stopped_halfway_is_slow_again() -> None:
    loop = Loop()
    loop.load({Version.PLAIN: constant(0.5)})
    loop.play()
    rendered(loop, 0.3)
    loop.stop()
    rendered(loop, 0.2)
    loop.play()
    assert int((rendered(loop, 1.2)[:, 0] < np.float32(0.05)).sum()) == pytest.approx(RATE_HZ, abs=50)


def test_before_anything_is_set_the_level_is_20_db_below_full() -> None:
    """A level of -20 dB is a tenth of the amplitude (the definition of the decibel, ISO 80000-3)."""
    loop = Loop()
    loop.load({Version.PLAIN: constant(0.5)})
    loop.play()
    assert rendered(loop, 1.2)[-1] == pytest.approx(0.05)


def test_a_new_level_is_reached_by_a_ramp() -> None:
    loop = at_rest(0.8)
    loop.set_level(-20.0)
    heard = rendered(loop, 0.4)[:, 0]
    assert heard[0] == pytest.approx(0.8, abs=1e-4)
    assert heard[12_000:] == pytest.approx(0.08, abs=1e-6)
    assert (
        np.abs(np.diff(heard)).max() < 0.72 * np.pi / 2.0 / 12_000 * 1.01
    )  # the steepest of a raised cosine


@pytest.mark.parametrize("level_db", [0.1, 6.0, float("nan")])
def test_a_level_above_full_is_refused(level_db: float) -> None:
    loop = at_rest(0.5)
    with pytest.raises(ValueError, match="0 dB or below"):
        loop.set_level(level_db)
    assert rendered(loop, 0.3)[-1] == pytest.approx(0.5)


def test_stopping_fades_within_60_ms_to_true_silence_and_keeps_the_place() -> None:
    loop = playing()
    loop.stop()
    heard = rendered(loop, 0.5)
    assert not heard[2_880:].any()
    assert heard[2_000:2_800].any()
    assert (largest_steps(heard) <= OWN_STEPS).all()
    assert loop.is_silent
    place = place_of(loop)
    rendered(loop, 1.0)
    assert place_of(loop) == place
    loop.play()
    resumed = rendered(loop, 0.1)
    assert (resumed[2_880:] == expected(Version.PLAIN, place, 4_800)[2_880:]).all()


def test_stopping_and_starting_at_once_makes_no_step() -> None:
    loop = playing()
    heard = []
    for turn in range(6):
        loop.stop() if turn % 2 == 0 else loop.play()
        heard.append(rendered(loop, 0.02))
    heard.append(rendered(loop, 0.2))
    assert (largest_steps(np.concatenate(heard)) <= OWN_STEPS).all()
    assert not loop.is_silent


def test_restarting_dips_to_silence_and_goes_on_from_the_start() -> None:
    loop = playing()
    loop.restart()
    heard = rendered(loop, 0.3)
    assert (largest_steps(heard) <= OWN_STEPS * 1.001).all()
    assert not heard[FLIP : FLIP + 960].any(), "20 ms of silence"
    after = heard[FLIP + 960 :]
    assert (after[FLIP:] == expected(Version.PLAIN, 0, len(after))[FLIP:]).all()


def test_restarting_while_stopped_only_moves_the_place() -> None:
    loop = playing()
    rendered(loop, 0.2)
    loop.stop()
    rendered(loop, 0.2)
    assert loop.position_s > 0.1
    loop.restart()
    assert not rendered(loop, 0.1).any()
    assert loop.position_s == 0.0


@pytest.mark.parametrize("version", [Version.PLAIN, Version.CHANGED])
def test_with_a_dip_every_flip_goes_through_silence_even_to_the_same_version(version: Version) -> None:
    loop = playing(dip=True)
    place = place_of(loop)
    loop.flip(version)
    heard = rendered(loop, 0.2)
    assert not heard[FLIP - 1 : FLIP + 960].any()
    assert (heard[:FLIP] != 0.0).any(axis=1)[:-1].all()
    back = FLIP + 960 + FLIP
    assert (heard[back:] == expected(version, place, len(heard))[back:]).all(), "the place is kept"


def test_with_a_dip_the_envelope_of_a_flip_says_nothing_about_the_version() -> None:
    """A constant and its opposite (a polarity flip): both flips have the same magnitudes, bit for bit."""

    def magnitudes(version: Version) -> np.ndarray:
        loop = Loop()
        loop.load({Version.PLAIN: constant(0.5), Version.CHANGED: constant(-0.5)}, dip=True)
        loop.play()
        rendered(loop, 1.2)
        loop.flip(version)
        return np.abs(rendered(loop, 0.2))

    assert (magnitudes(Version.PLAIN) == magnitudes(Version.CHANGED)).all()


def test_loading_while_it_plays_fades_out_first_and_then_stands_at_the_start() -> None:
    loop = playing()
    loop.load({Version.PLAIN: constant(0.25)})
    heard = rendered(loop, 0.2)
    assert (largest_steps(heard) <= OWN_STEPS).all()
    assert not heard[2_880:].any()
    assert loop.position_s == 0.0
    loop.play()
    assert rendered(loop, 0.2)[-1] == pytest.approx(0.25)


def test_loading_and_playing_in_one_breath_still_fades_between() -> None:
    loop = playing()
    place = place_of(loop)
    loop.load({Version.PLAIN: constant(0.0, frames=100), Version.CHANGED: constant(0.0, frames=100)})
    loop.flip(Version.CHANGED)
    loop.play()
    heard = rendered(loop, 0.2)
    weight = 1.0 - hann(2 * 2_880 + 1)[1:2_881, None]
    assert heard[:2_880] == pytest.approx(weight * expected(Version.PLAIN, place, 2_880), abs=1e-6)
    assert not heard[2_880:].any()


def test_nothing_is_ever_louder_than_the_ceiling_and_cuts_are_counted() -> None:
    """-1 dBFS is 10 ** (-1 / 20) = 0.8913 of full scale (AES17: 0 dBFS is the peak of a full-scale sine)."""
    loop = at_rest(0.0)
    loop.load({Version.PLAIN: music(gain=3.0), Version.CHANGED: constant(-1.0, LOOP_FRAMES)})
    loop.play()
    heard = rendered(loop, 1.5)
    loud = np.abs(expected(Version.PLAIN, 0, LOOP_FRAMES) * 3.0).max()
    assert loud > 1.0
    assert np.abs(heard).max() == pytest.approx(10.0 ** (-1.0 / 20.0))
    assert float(np.abs(heard).max()) <= 10.0 ** (-1.0 / 20.0)
    assert loop.clipped_frames == int((np.abs(heard) == np.abs(heard).max()).any(axis=1).sum()) > 0
    loop.flip(Version.CHANGED)
    assert float(rendered(loop, 0.1).min()) >= -(10.0 ** (-1.0 / 20.0))
    loop.load(VERSIONS)
    rendered(loop, 0.2)
    assert loop.clipped_frames == 0, "counted for what is loaded"


def test_music_below_the_ceiling_is_never_cut() -> None:
    loop = playing()
    rendered(loop, 1.0)
    assert loop.clipped_frames == 0


def test_a_loop_shorter_than_a_buffer_goes_round_in_it() -> None:
    short = Sound.of(np.linspace(-0.5, 0.5, 301))
    loop = Loop()
    loop.load({Version.PLAIN: short})
    loop.set_level(0.0)
    loop.play()
    rendered(loop, 1.2)
    place = place_of(loop)
    heard = rendered(loop, 0.1)
    wanted = np.take(short.samples, np.arange(place, place + 4_800), axis=0, mode="wrap")
    assert (heard == wanted).all()


def test_position_and_listening_time_count_the_frames_that_sounded() -> None:
    loop = Loop()
    loop.load(VERSIONS)
    rendered(loop, 0.5)
    assert (loop.position_s, loop.listened_s) == (0.0, 0.0)
    loop.play()
    rendered(loop, 2.0)
    assert loop.listened_s == 2.0
    assert loop.position_s == pytest.approx((96_000 % LOOP_FRAMES) / RATE_HZ)
    loop.stop()
    rendered(loop, 1.0)
    assert loop.listened_s == pytest.approx(2.06)


def test_a_loop_with_nothing_loaded_is_silent() -> None:
    loop = Loop()
    loop.restart()
    assert not rendered(loop, 0.1).any()
    assert loop.position_s == 0.0


def test_sound_at_another_rate_is_refused() -> None:
    with pytest.raises(ValueError, match="runs at 48000 Hz"):
        Loop().load({Version.PLAIN: Sound.of(np.zeros(100), rate_hz=44_100)})
