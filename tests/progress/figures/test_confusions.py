"""Confusions: counted by hand, and the information in them by Miller & Nicely's measure."""

from dataclasses import replace

import numpy as np
import pytest

from tests.progress.made_up import BANDS, answered, attempt
from trainer.practice.evidence import DIRECTION, Told
from trainer.progress.figures import Confusions, band_confusions, confusions


def information_bits(counts: Confusions) -> float:
    """Miller & Nicely (1955): T = sum of p_ij log2(p_ij / (p_i p_j))."""
    joint = np.array(counts.counts) / np.sum(counts.counts)
    apart = joint.sum(1, keepdims=True) * joint.sum(0, keepdims=True)
    seen = joint > 0
    return float(np.sum(joint[seen] * np.log2(joint[seen] / apart[seen])))


def test_counts_stand_where_truth_and_answer_meet() -> None:
    said = [(31.5, 63.0), (31.5, 63.0), (31.5, 31.5), (16000.0, 8000.0), (500.0, None)]
    counts = band_confusions([answered(n, band_hz=true, said_hz=hz) for n, (true, hz) in enumerate(said)])
    assert counts.keys == BANDS
    assert counts.counts[0] == (1, 2, 0, 0, 0, 0, 0, 0, 0, 0)
    assert counts.counts[9][8] == 1
    assert counts.unsaid == (0, 0, 0, 0, 1, 0, 0, 0, 0, 0)
    assert counts.asked == (3, 0, 0, 0, 1, 0, 0, 0, 0, 1)
    assert sum(map(sum, counts.counts)) == 4
    assert counts.shares[0][:2] == pytest.approx((1 / 3, 2 / 3))
    assert counts.shares[1] == (0.0,) * 10


def test_exercises_that_tell_of_no_band_are_left_out() -> None:
    level = attempt(
        1,
        exercise="level",
        right_answer={"which": "brass", "direction": "up"},
        given_answer={"which": "battery", "direction": "down"},
        options={"which": ("brass", "battery"), "direction": ("up", "down")},
    )
    assert sum(band_confusions([level]).asked) == 0
    assert confusions([level], of=DIRECTION, keys=("up", "down")).counts == ((0, 1), (0, 0))


def test_what_is_told_of_can_be_counted_as_it_comes_numbers_before_words() -> None:
    told = (Told(6.0, 3.0), Told(12.0, 12.0), Told("none", None))
    made = [
        attempt(number, evidence=(replace(attempt().evidence[0], told={"amount": one}),))
        for number, one in enumerate(told)
    ]
    counts = confusions(made, of="amount")
    assert counts.keys == (3.0, 6.0, 12.0, "none")
    assert counts.counts[1] == (1, 0, 0, 0)
    assert counts.unsaid == (0, 0, 0, 1)


def test_the_information_of_a_table_is_the_published_one() -> None:
    """Miller & Nicely's measure as scikit-learn's mutual_info_score gives it: 0.544632 bit."""
    table = [[30, 5, 5], [4, 28, 8], [2, 6, 32]]
    bands = BANDS[:3]
    pairs = [(bands[i], bands[j]) for i in range(3) for j in range(3) for _ in range(table[i][j])]
    counts = band_confusions(
        [answered(n, band_hz=true, said_hz=said) for n, (true, said) in enumerate(pairs)]
    )
    assert [list(row[:3]) for row in counts.counts[:3]] == table
    assert information_bits(counts) == pytest.approx(0.544632, abs=5e-7)
