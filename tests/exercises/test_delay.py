"""Delay: as late as sound takes over the yards at the field's temperature; named in yards, in no octave's lane."""

import numpy as np
import pytest
from numpy.random import default_rng

from exercises.delay import EXERCISE, LADDER, YARDS, draw, late_field, on_offer
from tests.noise_show import NoiseShow
from trainer.practice.alignment import Delay
from trainer.practice.change import changed_mix
from trainer.practice.exercise import Focus
from trainer.practice.grading import evidence_of, grade
from trainer.practice.listening import STANDARD

EXCERPT = NoiseShow().excerpt(1)


@pytest.mark.parametrize(
    ("temperature_f", "speed_mps"), [(32.0, 331.3), (68.0, 343.2), (50.0, 337.3), (95.0, 351.9)]
)
def test_yards_are_told_with_the_time_sound_takes_over_them(temperature_f: float, speed_mps: float) -> None:
    """Speed of sound in dry air by handbook tables: 331.3, 337.3, 343.2 and 351.9 m/s at 0, 10, 20 and 35 °C.

    (331.3 sqrt(1 + t/273.15) m/s; ISO 9613-1:1993 has 343.2 m/s at 20 °C. A yard is 0.9144 m by definition.)
    """
    late_ms = np.array(late_field(temperature_f).options, dtype=float)
    assert late_ms == pytest.approx(1000.0 * 0.9144 * np.array(YARDS) / speed_mps, abs=0.1)


def test_the_change_makes_its_target_late_by_the_reps_own_size() -> None:
    """What comes 48 ms late is, on a loop at 48 kHz, the same turned by 2304 frames."""
    drawn = draw(EXCERPT, Focus(48.0, "stem", None, 1), default_rng(3))
    change = EXERCISE.change(drawn.answer, drawn.question, EXCERPT)
    (edit,) = change.edits
    assert edit.process == Delay(0.048)
    late = edit.process.apply({"sub": EXCERPT.stems["sub"]})["sub"].samples
    assert np.max(np.abs(late - np.roll(EXCERPT.stems["sub"].samples, 2304, axis=0))) < 1e-4
    assert changed_mix(change, EXCERPT).frames == EXCERPT.frames


def test_a_wrong_distance_is_played_as_said() -> None:
    drawn = draw(EXCERPT, Focus(50.0, "stem", None, 1), default_rng(3))
    far = max(float(option) for option in drawn.question.fields[1].options)  # type: ignore[attr-defined]
    (edit,) = EXERCISE.change({**drawn.answer, "late": far}, drawn.question, EXCERPT).edits
    assert edit.process == Delay(far / 1000.0)


@pytest.mark.parametrize("scope", ["section", "stem"])
def test_who_is_on_offer_hangs_on_the_excerpt_alone(scope: str) -> None:
    offers = {
        draw(EXCERPT, Focus(size, scope, None, 1), default_rng(seed)).question.fields[0].options  # type: ignore[arg-type, attr-defined]
        for seed, size in enumerate(np.linspace(LADDER.hardest, LADDER.easiest, 15))
    }
    assert offers == {on_offer(EXCERPT, scope, STANDARD)}  # type: ignore[arg-type]


def test_answers_have_a_size_in_milliseconds_and_belong_to_no_octave() -> None:
    drawn = draw(EXCERPT, Focus(60.0, "section", None, 1), default_rng(4))
    right, question = drawn.answer, drawn.question
    wrong_distance = {**right, "late": question.fields[1].options[0]}  # type: ignore[attr-defined]
    other = next(one for one in question.fields[0].options if one != right["which"])  # type: ignore[attr-defined]
    for given, named in ((right, True), (wrong_distance, True), ({**right, "which": other}, False)):
        marked = grade(given, right, question, EXERCISE)
        (said,) = evidence_of(EXERCISE, given, right, question, bands={}, grade=marked)
        assert (said.kind, said.size, said.unit, said.bands) == ("delay/section", 60.0, "ms", {})
        assert said.named == named
        assert not said.is_of_lanes


def test_the_remedy_names_the_delay_of_all_others() -> None:
    drawn = draw(EXCERPT, Focus(60.0, "section", None, 1), default_rng(4))
    assert "delay all others by 60 ms" in EXERCISE.remedy(drawn.answer, drawn.question)
