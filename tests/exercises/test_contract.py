"""What every exercise must keep to: a new one is under test before its author writes a test of it."""

from collections import defaultdict
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from numpy.random import default_rng

from tests.noise_show import NoiseShow
from trainer.dsp.loudness import integrated_loudness_lufs
from trainer.dsp.octave_bands import NOMINAL_HZ
from trainer.practice.catalogue import load
from trainer.practice.change import changed_mix
from trainer.practice.deal import Rep, deal, settled
from trainer.practice.exercise import Exercise, Focus, Unhearable, described, guess_rate
from trainer.practice.fields import AmountField
from trainer.practice.rep_code import RepSpec, decode

SHOW = NoiseShow()
README = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
CATALOGUE = load()
EXERCISES = tuple(CATALOGUE.exercises.values())
PLAIN_SEEDS = range(6)

every_exercise = pytest.mark.parametrize("exercise", EXERCISES, ids=lambda exercise: exercise.key)


def dealt(exercise: Exercise, seed: int, *, size: float | None = None) -> Rep:
    focus = Focus(size=exercise.ladder.start if size is None else size)
    return deal(RepSpec(exercise.key, SHOW.key, seed, focus), exercise, SHOW)


def test_there_are_exercises_to_test() -> None:
    assert len(EXERCISES) >= 3
    assert CATALOGUE.broken == ()


@every_exercise
def test_the_same_seed_gives_the_same_rep_and_another_another(exercise: Exercise) -> None:
    first, again, other = dealt(exercise, 1), dealt(exercise, 1), dealt(exercise, 2)
    assert np.array_equal(first.changed.samples, again.changed.samples)
    assert first.answer == again.answer
    assert first.code == again.code != other.code


@every_exercise
@pytest.mark.parametrize("end", ["easiest", "hardest", "start"])
def test_the_sound_is_finite_and_below_full_scale_at_both_ends_of_the_ladder(
    exercise: Exercise, end: str
) -> None:
    size = getattr(exercise.ladder, end)
    scope = exercise.scopes[0]
    rep = deal(RepSpec(exercise.key, SHOW.key, 3, Focus(size, scope)), exercise, SHOW)
    for sound in (rep.plain, rep.changed):
        assert np.all(np.isfinite(sound.samples))
        assert np.max(np.abs(sound.samples)) < 10.0 ** (-1.0 / 20.0)


@every_exercise
def test_plain_and_changed_are_equally_loud_unless_level_is_the_question(exercise: Exercise) -> None:
    """ITU-R BS.1770 within 0.1 LU."""
    for seed in PLAIN_SEEDS:
        rep = dealt(exercise, seed)
        plain, changed = (integrated_loudness_lufs(sound) for sound in (rep.plain, rep.changed))
        assert exercise.level_is_question or plain == pytest.approx(changed, abs=0.1)
        assert rep.plain.frames == rep.changed.frames


@every_exercise
def test_a_larger_size_changes_more(exercise: Exercise) -> None:
    for seed in range(3):
        easiest = dealt(exercise, seed, size=exercise.ladder.easiest)
        moved = [moved_power(easiest, size) for size in (3.0, 6.0, exercise.ladder.easiest)]
        assert moved[0] < moved[1] < moved[2]


def moved_power(rep: Rep, size: float) -> float:
    """Return the power of what the rep's change adds to the mix when it is made at another size."""
    steps = {
        field.key: field.nearest(size) for field in rep.question.fields if isinstance(field, AmountField)
    }
    change = rep.exercise.change({**rep.answer, **steps}, replace(rep.question, size=size), rep.excerpt)
    return float(np.mean(np.square(changed_mix(change, rep.excerpt).samples - rep.excerpt.mix.samples)))


@every_exercise
def test_every_option_on_offer_is_right_sometimes(exercise: Exercise) -> None:
    """Drawn without rendering, on one excerpt, over many seeds and the sizes of the ladder."""
    excerpt = SHOW.excerpt(1)
    right: dict[tuple[str, str], set[object]] = defaultdict(set)
    offered: dict[tuple[str, str], set[object]] = defaultdict(set)
    for seed in range(400):
        rng = default_rng(seed)
        size = float(rng.choice((3.0, 6.0, 12.0)))
        focus = settled(RepSpec(exercise.key, SHOW.key, seed, Focus(size)), exercise)
        try:
            draw = exercise.draw(excerpt, focus, rng)
        except Unhearable:
            continue
        for field in draw.question.fields:
            kind = (field.key, str(focus.scope))
            offered[kind] |= set(field.options)
            right[kind].add(draw.answer[field.key])
    hard = {("amount", scope): {1.5} for scope in exercise.scopes}
    for kind, options in offered.items():
        assert options - right[kind] - hard.get(kind, set()) == set()


@every_exercise
def test_the_guess_rate_is_below_one_half(exercise: Exercise) -> None:
    for seed in PLAIN_SEEDS:
        assert 0.0 < guess_rate(dealt(exercise, seed).question) <= 0.25


@every_exercise
def test_what_is_said_of_a_rep_names_the_answer_and_the_control(exercise: Exercise) -> None:
    rep = dealt(exercise, 4)
    words = described(rep.answer, rep.question)
    assert all(field.label(rep.answer[field.key]) in words for field in rep.question.fields)
    assert any(
        control in exercise.remedy(rep.answer, rep.question)
        for control in ("equaliser", "fader", "compressor")
    )
    assert rep.question.text.endswith("?")
    assert exercise.purpose.endswith(".")


@every_exercise
def test_the_question_holds_no_size(exercise: Exercise) -> None:
    rep = dealt(exercise, 5, size=7.0)
    assert "7" not in rep.question.text


@every_exercise
def test_nothing_is_asked_of_bands_a_setup_cannot_play_and_the_code_rebuilds_it(exercise: Exercise) -> None:
    usable_hz, counted = NOMINAL_HZ[3:9], set()
    for seed in PLAIN_SEEDS:
        spec = RepSpec(exercise.key, SHOW.key, seed, Focus(exercise.ladder.start, usable_hz=usable_hz))
        rep = deal(spec, exercise, SHOW)
        assert set(rep.bands) <= set(usable_hz)
        assert sum(rep.bands.values()) == pytest.approx(1.0)
        offered = next((one.options for one in rep.question.fields if one.key == "band"), ())
        assert set(offered) <= set(usable_hz)
        again = deal(decode(rep.code), exercise, SHOW)
        assert again.answer == rep.answer
        assert np.array_equal(again.changed.samples, rep.changed.samples)
        counted |= set(rep.bands)
    assert len(counted) > 1


@every_exercise
def test_the_readme_lists_it(exercise: Exercise) -> None:
    assert f"`{exercise.key}`" in README


@every_exercise
def test_every_wrong_answer_can_be_played(exercise: Exercise) -> None:
    rep = dealt(exercise, 6)
    for field in rep.question.fields:
        wrong = next(option for option in field.options if option != rep.answer[field.key])
        sound = rep.version_for({**rep.answer, field.key: wrong})
        assert sound.frames == rep.plain.frames
        assert np.all(np.isfinite(sound.samples))
