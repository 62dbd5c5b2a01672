"""The ramp, checked against the Hann window of scipy.signal (a raised cosine)."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.signal.windows import hann

from trainer.playback.ramp import Ramp


def test_a_ramp_is_the_rising_half_of_a_hann_window() -> None:
    """scipy.signal.windows.hann, symmetric, 1441 points: the second to the middle one rise from 0 to 1."""
    ramp = Ramp(0.0)
    ramp.towards((1.0,), frames=720)
    assert ramp.take(720)[:, 0] == pytest.approx(hann(1441)[1:721], abs=1e-7)


def test_a_ramp_arrives_exactly_and_stays() -> None:
    ramp = Ramp(0.1)
    ramp.towards((0.7,), frames=10)
    gains = np.concatenate([ramp.take(4), ramp.take(4), ramp.take(4)])
    assert (gains[9:] == np.float32(0.7)).all()
    assert ramp.rests_at(0.7)
    assert ramp.take(5).tolist() == [[np.float32(0.7)]]


def test_a_ramp_turned_round_midway_goes_on_from_where_it_is() -> None:
    ramp = Ramp(0.0)
    ramp.towards((1.0,), frames=100)
    up = ramp.take(40)
    ramp.towards((0.0,), frames=100)
    down = ramp.take(100)
    assert abs(down[0, 0] - up[-1, 0]) < 0.001
    assert (np.diff(down[:, 0]) <= 0.0).all()
    assert down[-1, 0] == 0.0


def test_setting_out_again_for_the_same_goal_changes_nothing() -> None:
    once, often = Ramp(0.0), Ramp(0.0)
    once.towards((1.0,), frames=50)
    whole = once.take(50)
    parts = []
    for _ in range(5):
        often.towards((1.0,), frames=50)
        parts.append(often.take(10))
    assert (np.concatenate(parts) == whole).all()


def test_a_ramp_never_rests_at_a_goal_it_only_set_out_for() -> None:
    ramp = Ramp(1.0)
    ramp.towards((0.0,), frames=3)
    assert not ramp.rests_at(0.0)
    ramp.take(2)
    assert not ramp.rests_at(0.0)
    ramp.take(1)
    assert ramp.rests_at(0.0)


@settings(derandomize=True, max_examples=50)
@given(turns=st.lists(st.tuples(st.integers(0, 2), st.integers(1, 300)), min_size=1, max_size=8))
def test_gains_that_move_together_keep_their_sum_however_often_they_turn(
    turns: list[tuple[int, int]],
) -> None:
    """A law: the sum stays 1, and each gain between 0 and 1."""
    ramp = Ramp(1.0, 0.0, 0.0)
    for goal, frames in turns:
        ramp.towards([float(number == goal) for number in range(3)], frames=200)
        gains = ramp.take(frames)
        assert gains.sum(axis=1) == pytest.approx(1.0, abs=1e-6)
        assert gains.min() >= -1e-7
        assert gains.max() <= 1.0 + 1e-7
