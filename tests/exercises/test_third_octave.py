"""Third octave: the bell sits on the third's exact center, a third wide, and each third lies in its octave's lane."""

from collections import Counter

import numpy as np
import pytest
from numpy.random import default_rng

from exercises.third_octave import EXERCISE, FEWEST_BANDS, draw
from tests.noise_show import NoiseShow
from trainer.dsp import equaliser
from trainer.practice.band_scale import OCTAVE_SCALE, THIRD_SCALE
from trainer.practice.change import Bell
from trainer.practice.exercise import Focus, Unhearable
from trainer.practice.grading import evidence_of, grade
from trainer.practice.listening import Listening
from trainer.sound import RATE_HZ

EXCERPT = NoiseShow().excerpt(1)


@pytest.mark.parametrize(
    ("nominal_hz", "exact_hz"), [(200.0, 199.5262), (630.0, 630.9573), (5000.0, 5011.8723)]
)
def test_the_bell_sits_on_the_exact_center_a_third_of_an_octave_wide(
    nominal_hz: float, exact_hz: float
) -> None:
    """IEC 61260-1:2014, exact midband frequencies (base ten); half the gain at the edges, a factor 2^(1/6) away.

    Audio EQ Cookbook (W3C Note, 2021): the bandwidth of a peaking filter lies between its half-gain points.
    """
    drawn = draw(EXCERPT, Focus(8.0, "mix", 500.0, 1), default_rng(1))
    answer = {"band": nominal_hz, "direction": "cut"}
    (edit,) = EXERCISE.change(answer, drawn.question, EXCERPT).edits
    assert isinstance(edit.process, Bell)
    assert edit.process.centre_hz == pytest.approx(exact_hz, rel=1e-5)
    edges_hz = exact_hz * 2.0 ** (np.array([-1.0, 0.0, 1.0]) / 6.0)
    response_db = equaliser.bell_response_db(
        edges_hz,
        centre_hz=edit.process.centre_hz,
        gain_db=edit.process.gain_db,
        width_octaves=edit.process.width_octaves,
        rate_hz=RATE_HZ,
    )
    assert response_db == pytest.approx([-4.0, -8.0, -4.0], abs=0.15)


def test_in_the_mix_the_wished_octave_gives_one_of_its_three_thirds_evenly() -> None:
    """IEC 61260-1: the 500 Hz octave holds the thirds of 400, 500 and 630 Hz."""
    counts = Counter(
        draw(EXCERPT, Focus(10.0, "mix", 500.0, 1), default_rng(seed)).answer["band"] for seed in range(300)
    )
    assert set(counts) == {400.0, 500.0, 630.0}
    assert min(counts.values()) > 70


def test_a_third_the_gate_refuses_is_not_on_offer() -> None:
    laptop = Listening(usable_hz=OCTAVE_SCALE.names_hz[3:9])
    (bands, _) = draw(EXCERPT, Focus(10.0, "mix", 500.0, 1, laptop), default_rng(1)).question.fields
    offered = bands.options  # type: ignore[attr-defined]
    assert FEWEST_BANDS <= len(offered) <= 18
    assert {THIRD_SCALE.octave_hz(hz) for hz in offered} <= set(laptop.usable_hz)


def test_a_third_next_to_the_right_one_is_not_named_and_moves_its_octaves_lane() -> None:
    drawn = draw(EXCERPT, Focus(10.0, "mix", 500.0, 1), default_rng(2))
    right, question = drawn.answer, drawn.question
    octave_hz = THIRD_SCALE.octave_hz(float(str(right["band"])))
    for given, named in (
        (right, True),
        ({**right, "band": 8000.0}, False),
        ({**right, "direction": "cut"}, False),
    ):
        marked = grade(given, right, question, EXERCISE)
        (said,) = evidence_of(EXERCISE, given, right, question, bands=drawn.bands or {}, grade=marked)
        assert (said.named, said.bands, said.kind) == (named, {octave_hz: 1.0}, "third-octave/mix")
        assert said.among[0] == len(question.fields[0].options)  # type: ignore[attr-defined]


def test_where_no_stem_shows_it_another_excerpt_is_asked_for() -> None:
    laptop = Listening(usable_hz=OCTAVE_SCALE.names_hz[7:])
    with pytest.raises(Unhearable, match="third-octave bands"):
        draw(EXCERPT, Focus(3.0, "stem", None, 1, laptop), default_rng(1))


def test_the_remedy_is_the_opposite_move() -> None:
    drawn = draw(EXCERPT, Focus(6.5, "mix", 2000.0, 1), default_rng(1))
    remedy = EXERCISE.remedy({"band": 2500.0, "direction": "boost"}, drawn.question)
    assert "2.5 kHz" in remedy
    assert "cut by 6.5 dB" in remedy
