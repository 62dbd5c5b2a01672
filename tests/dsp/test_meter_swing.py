"""The swing of a gain-reduction meter against the gain computer of Giannoulis et al. (JAES 60(6), 2012), equation 4."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.signals import pink_noise, sine, tone_steps
from trainer.dsp.dynamics import Compressor, envelope_db, gain_computer_db, gain_reduction_db
from trainer.dsp.meter_swing import (
    READ_EVERY,
    LevelSpan,
    SwingOutOfReach,
    most_swing_db,
    swing_of,
    threshold_db_for,
)
from trainer.sound import Sound

STEP_DB = 12.0
STEPPED = tone_steps([(-10.0, 1.0), (-10.0 - STEP_DB, 1.0), (-10.0, 1.0), (-10.0 - STEP_DB, 1.0)], channels=1)
"""A tone whose level goes up and down by 12 dB, a square amplitude modulation of half a cycle a second."""
TIMES = {"attack_s": 0.001, "release_s": 0.02}


def span_of(sound: Sound) -> LevelSpan:
    return LevelSpan.of(envelope_db(sound, **TIMES))


def test_the_span_of_a_stepped_tone_is_its_step() -> None:
    """The envelope of a sine lies a little below its peak, by the same ratio at both levels: the step stays."""
    span = span_of(STEPPED)
    assert span.high_db - span.low_db == pytest.approx(STEP_DB, abs=0.1)
    assert -11.0 < span.high_db < -10.0


@pytest.mark.parametrize(
    ("threshold_db", "ratio", "knee_db", "swing_db"),
    [
        (-40.0, 10.0, 0.0, 10.8),  # both levels above: 12 (1 - 1/10)
        (-40.0, 4.0, 6.0, 9.0),  # both above the knee: 12 (1 - 1/4)
        (-16.0, 10.0, 0.0, 5.4),  # the high one 6 dB above, the low one below: 6 (1 - 1/10)
        (-16.0, 10.0, 6.0, 5.4),  # the same: 6 dB above is beyond half a knee of 3 dB
        (-10.0, 10.0, 6.0, 0.675),  # at the threshold the knee has (1 - 1/10) 6 / 8
        (-22.0, 10.0, 6.0, 10.125),  # the low one is at the threshold, with 0.675 of its own
        (-5.0, 10.0, 6.0, 0.0),  # neither reaches the knee
    ],
)
def test_a_meter_swings_by_what_the_gain_computer_says(
    threshold_db: float, ratio: float, knee_db: float, swing_db: float
) -> None:
    """Giannoulis et al. (2012), equation 4, by hand at -10 and -22 dB; a fast sine's envelope stands 0.2 dB lower, so
    the threshold is set from where the envelope's high level is found.
    """
    below_db = span_of(STEPPED).high_db + 10.0
    compressor = Compressor(threshold_db + below_db, ratio, **TIMES, knee_db=knee_db)
    reductions_db = gain_reduction_db(STEPPED, compressor)
    found_db = swing_of(reductions_db, level_db=envelope_db(STEPPED, **TIMES))
    assert found_db == pytest.approx(swing_db, abs=0.12)


def test_the_needle_is_read_at_a_twentieth_from_either_end() -> None:
    """Of 0, 1, ... 100 dB the 5th percentile is 5 and the 95th is 95, by definition; the rest is no swing."""
    even = np.repeat(np.arange(101.0), READ_EVERY)
    assert swing_of(even, level_db=np.zeros(even.size)) == pytest.approx(90.0)
    assert swing_of(even, level_db=np.where(even < 50, -31.0, 0.0)) == pytest.approx(45.0)
    assert LevelSpan.of(even / 10.0) == LevelSpan(pytest.approx(0.5), pytest.approx(9.5))


@pytest.mark.parametrize("swing_db", [0.5, 3.0, 5.0, 8.0, 10.7])
@pytest.mark.parametrize("knee_db", [0.0, 6.0])
def test_the_threshold_found_is_where_the_gain_computer_has_the_swing(
    swing_db: float, knee_db: float
) -> None:
    """The reduction at both levels, by equation 4 itself: high less low is the swing asked for."""
    span = LevelSpan(low_db=-34.0, high_db=-22.0)
    threshold_db = threshold_db_for(span, swing_db=swing_db, ratio=10.0, knee_db=knee_db)
    levels_db = np.array([span.low_db, span.high_db])
    made_db = gain_computer_db(levels_db, threshold_db=threshold_db, ratio=10.0, knee_db=knee_db)
    assert np.diff(levels_db - made_db)[0] == pytest.approx(swing_db, abs=1e-5)


@pytest.mark.parametrize(
    ("swing_db", "ratio", "threshold_db"),
    [(9.0, 10.0, -32.0), (4.5, 10.0, -27.0), (6.0, 4.0, -30.0), (0.9, 10.0, -23.0), (0.09, 10.0, -22.1)],
)
def test_without_a_knee_the_threshold_is_known(swing_db: float, ratio: float, threshold_db: float) -> None:
    """Only the high level is above: its distance to the threshold is swing / (1 - 1/R) (equation 4, W = 0)."""
    span = LevelSpan(low_db=-34.0, high_db=-22.0)
    assert threshold_db_for(span, swing_db=swing_db, ratio=ratio) == pytest.approx(threshold_db, abs=1e-4)


@given(
    share=st.floats(0.01, 1.0), ratio=st.floats(1.5, 50), knee_db=st.sampled_from([0.0, 3.0, 6.0, 12.0]),
    low_db=st.floats(-80, -20), range_db=st.floats(1, 29),
)  # fmt: skip
def test_every_swing_up_to_the_largest_is_found(
    share: float, ratio: float, knee_db: float, low_db: float, range_db: float
) -> None:
    span = LevelSpan(low_db, low_db + range_db)
    wanted_db = share * most_swing_db(span, ratio=ratio)
    threshold_db = threshold_db_for(span, swing_db=wanted_db, ratio=ratio, knee_db=knee_db)
    levels_db = np.array([span.low_db, span.high_db])
    made_db = gain_computer_db(levels_db, threshold_db=threshold_db, ratio=ratio, knee_db=knee_db)
    assert np.diff(levels_db - made_db)[0] == pytest.approx(wanted_db, abs=1e-4)
    assert span.low_db - knee_db / 2 - 1e-6 <= threshold_db <= span.high_db + knee_db / 2 + 1e-6


@given(low_db=st.floats(-80, -20), range_db=st.floats(1, 29), knee_db=st.sampled_from([0.0, 6.0]))
def test_a_larger_swing_takes_a_lower_threshold(low_db: float, range_db: float, knee_db: float) -> None:
    span = LevelSpan(low_db, low_db + range_db)
    swings_db = np.array([0.2, 0.4, 0.6, 0.8]) * most_swing_db(span, ratio=10.0)
    thresholds_db = [threshold_db_for(span, swing_db=each, ratio=10.0, knee_db=knee_db) for each in swings_db]
    assert np.all(np.diff(thresholds_db) < 0.0)


def test_on_a_real_envelope_the_swing_is_the_one_asked_for() -> None:
    """Percentiles go through a rising curve unchanged: read frame by frame, the swing is there again."""
    noise = pink_noise(duration_s=2.0, seed=5, channels=2)
    swelling = Sound.of(noise.samples * np.repeat([1.0, 0.3, 0.1, 0.6], noise.frames // 4)[:, None])
    levels_db = envelope_db(swelling, **TIMES)
    span = LevelSpan.of(levels_db)
    for wanted_db in (3.0, 8.0):
        threshold_db = threshold_db_for(span, swing_db=wanted_db, ratio=10.0, knee_db=6.0)
        reductions_db = gain_reduction_db(swelling, Compressor(threshold_db, 10.0, **TIMES, knee_db=6.0))
        assert swing_of(reductions_db, level_db=levels_db) == pytest.approx(wanted_db, abs=0.01)


def test_the_largest_swing_is_that_of_a_threshold_below_it_all() -> None:
    """Equation 4: above the knee the slope is 1 / R, so of a span of 12 dB a ratio of 10 leaves 1.2."""
    span = LevelSpan(low_db=-34.0, high_db=-22.0)
    assert most_swing_db(span, ratio=10.0) == pytest.approx(10.8)
    assert most_swing_db(span, ratio=1.0) == 0.0
    assert threshold_db_for(span, swing_db=10.8, ratio=10.0, knee_db=6.0) == pytest.approx(-37.0, abs=0.01)


@pytest.mark.parametrize("swing_db", [-1.0, 0.0, 10.81, 60.0])
def test_a_swing_out_of_reach_is_refused_and_the_reach_named(swing_db: float) -> None:
    span = LevelSpan(low_db=-34.0, high_db=-22.0)
    with pytest.raises(SwingOutOfReach, match=r"above 0 and at most 10\.8 dB at a ratio of 10, not at"):
        threshold_db_for(span, swing_db=swing_db, ratio=10.0, knee_db=6.0)


def test_silence_before_and_after_is_not_in_the_span() -> None:
    """The tail of a tone falls by 8.7 dB in a time constant of 20 ms: active for 69 ms, less than 5 % of 3 s."""
    tone = sine(frequency_hz=1000.0, duration_s=3.0, peak_dbfs=-12.0)
    framed = Sound.of(np.concatenate([np.zeros((48_000, 1)), tone.samples, np.zeros((48_000, 1))]))
    assert most_swing_db(span_of(framed), ratio=10.0) < 0.5
    assert span_of(framed).high_db == pytest.approx(span_of(tone).high_db, abs=0.05)
