"""Polarity: one of what is on offer is inverted, or nothing; nothing else differs from the plain version."""

from collections import Counter

import numpy as np
import pytest
from numpy.random import default_rng
from scipy.signal import butter, freqz

from exercises.polarity import (
    CROSSOVERS_HZ,
    EXERCISE,
    FAR_M,
    NEAR_M,
    NOTHING,
    PAIRS_ON_OFFER,
    draw,
    on_offer,
)
from tests.noise_show import NoiseShow
from trainer.dsp.octave_bands import THIRD_OCTAVES, band_powers
from trainer.practice.alignment import PairedMicrophones
from trainer.practice.change import changed_mix
from trainer.practice.deal import deal
from trainer.practice.exercise import Draw, Exercise, Focus
from trainer.practice.fields import ChoiceField
from trainer.practice.grading import evidence_of, grade
from trainer.practice.listening import STANDARD
from trainer.practice.rep_code import RepSpec

EXCERPT = NoiseShow().excerpt(1)


def drawn(scope: str, seed: int = 1) -> Draw:
    return draw(EXCERPT, Focus(1.0, scope), default_rng(seed))  # type: ignore[arg-type]


def options_of(one: Draw) -> tuple[str, ...]:
    (field,) = one.question.fields
    assert isinstance(field, ChoiceField)
    return tuple(map(str, field.options))


@pytest.mark.parametrize("scope", ["mix", "stem"])
def test_all_on_offer_and_nothing_are_right_equally_often(scope: str) -> None:
    """Chance: of 400 draws among n, each comes 400/n times, give or take four standard deviations (binomial)."""
    counts = Counter(drawn(scope, seed).answer["which"] for seed in range(400))
    options = options_of(drawn(scope))
    assert set(counts) == set(options)
    share = 1.0 / len(options)
    slack = 4.0 * np.sqrt(400.0 * share * (1.0 - share))
    assert all(abs(count - 400.0 * share) < slack for count in counts.values())


def test_where_nothing_is_inverted_plain_and_changed_are_the_same_sound() -> None:
    for scope in ("mix", "stem"):
        one = drawn(scope)
        change = EXERCISE.change({"which": NOTHING}, one.question, EXCERPT)
        setting = EXERCISE.setting(one.question, EXCERPT)
        assert change == setting


def test_one_microphone_of_one_pair_is_all_that_differs_from_the_plain_version() -> None:
    one = drawn("stem")
    offered = [key for key in options_of(one) if key != NOTHING]
    change = EXERCISE.change({"which": offered[1]}, one.question, EXCERPT)
    setting = EXERCISE.setting(one.question, EXCERPT)
    assert [edit.target for edit in change.edits] == offered == [edit.target for edit in setting.edits]
    assert [edit.process for edit in change.edits] == [
        PairedMicrophones(NEAR_M, FAR_M, is_inverted=key == offered[1]) for key in offered
    ]


def test_an_inverted_microphone_takes_the_bass_of_its_pair() -> None:
    """Two paths r apart in level and tau in time: |1 - r| below, |1 + r| where in phase (sum of two phasors)."""
    part = EXCERPT.stems["bass-drum-line"]
    pairs = [PairedMicrophones(NEAR_M, FAR_M, is_inverted=is_inverted) for is_inverted in (False, True)]
    powers = [
        band_powers(pair.apply({"bass-drum-line": part})["bass-drum-line"], bands=THIRD_OCTAVES[4:5])[0]
        for pair in pairs
    ]
    softer, late_s, centre_hz = NEAR_M / FAR_M, (FAR_M - NEAR_M) / 343.2, THIRD_OCTAVES[4].centre_hz
    turned = np.exp(-2j * np.pi * centre_hz * late_s)
    expected_db = 20.0 * np.log10(abs(1.0 - softer * turned) / abs(1.0 + softer * turned))
    assert 10.0 * np.log10(powers[1] / powers[0]) == pytest.approx(expected_db, abs=0.3)


@pytest.mark.parametrize("crossover_hz", CROSSOVERS_HZ)
def test_an_inverted_low_path_leaves_a_hole_at_the_crossover(crossover_hz: float) -> None:
    """Linkwitz–Riley of fourth order: two Butterworth of second in a row, by scipy.signal.butter.

    With one path inverted the sum is ``|H_low - H_high|``: nothing at the crossover, flat an octave and a half away.
    """
    one = drawn("mix")
    change = EXERCISE.change({"which": f"{crossover_hz:g}"}, one.question, EXCERPT)
    after, before = changed_mix(change, EXCERPT), EXCERPT.mix
    moved_db = 10.0 * np.log10(
        band_powers(after, bands=THIRD_OCTAVES) / band_powers(before, bands=THIRD_OCTAVES)
    )
    edges_hz = np.array([[band.low_hz, band.high_hz] for band in THIRD_OCTAVES[:14]])
    for place, (low_hz, high_hz) in enumerate(edges_hz):
        across_hz = np.geomspace(low_hz, high_hz, 101)
        paths = [
            freqz(*butter(2, crossover_hz, kind, fs=48_000.0), worN=across_hz, fs=48_000.0)[1] ** 2
            for kind in ("lowpass", "highpass")
        ]
        expected_db = 10.0 * np.log10(np.mean(np.abs(paths[0] - paths[1]) ** 2))
        if expected_db > -6.0:
            assert moved_db[place] == pytest.approx(expected_db, abs=1.2)
    assert np.min(moved_db[:14]) < -6.0


@pytest.mark.parametrize("scope", EXERCISE.scopes)
def test_what_is_on_offer_hangs_on_the_excerpt_alone(scope: str) -> None:
    offers = {options_of(drawn(scope, seed)) for seed in range(20)}
    assert offers == {(*on_offer(EXCERPT, scope, STANDARD), NOTHING)}  # type: ignore[arg-type]
    (offered,) = offers
    assert PAIRS_ON_OFFER <= len(offered) <= PAIRS_ON_OFFER + 1


def test_it_is_named_or_not_and_its_figure_has_no_size() -> None:
    one = drawn("mix")
    for given in options_of(one):
        answer = {"which": given}
        marked = grade(answer, one.answer, one.question, EXERCISE)
        (said,) = evidence_of(EXERCISE, answer, one.answer, one.question, bands={}, grade=marked)
        assert (said.kind, said.size, said.unit, said.bands) == ("polarity/mix", None, "", {})
        assert said.named == (answer == one.answer)
        assert marked.score == float(said.named)


def test_a_rep_is_dealt_whatever_is_true_of_it_nothing_too() -> None:
    exercise: Exercise = EXERCISE
    truths = set()
    for seed in range(12):
        rep = deal(RepSpec(exercise.key, "noise", seed, Focus(1.0, "mix")), exercise, NoiseShow())
        truths.add(rep.answer["which"] == NOTHING)
        assert rep.bands == {}
    assert truths == {True, False}


def test_the_remedy_is_a_polarity_switch_and_nothing_is_to_be_left_alone() -> None:
    one = drawn("stem")
    offered = options_of(one)
    assert "polarity switch" in EXERCISE.remedy({"which": offered[0]}, one.question)
    assert "leave them" in EXERCISE.remedy({"which": NOTHING}, one.question)
