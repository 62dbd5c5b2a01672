"""Everything but the sound tells nothing: neither what is on offer, nor files, codes, order or earlier answers.

The adversary (tests/adversary.py) is at chance in every field of every exercise, and sees through the rule of what is
on offer that version 0.1.0 had. YARDLINE_FULL_TESTS=1 asks 560 reps of each exercise on 40 excerpts, all as files; nine
in ten must be dealt, 504.
"""

import logging
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest
from numpy.random import Generator
from numpy.typing import NDArray
from scipy.stats import binom

from tests.adversary import (
    Seen,
    Wanted,
    chances,
    deal_all,
    holm,
    p_at_least,
    rng_of,
    seen_in,
    table_of_facts,
    told_by_forest,
    told_by_table,
)
from tests.exercises.drawn import focus_of, size_groups
from tests.lengths import length
from tests.progress.made_up import attempt
from trainer.dsp.octave_bands import NOMINAL_HZ
from trainer.ensemble.bank import NoteBank
from trainer.ensemble.excerpt import Excerpt
from trainer.ensemble.shows import Show, generated_shows
from trainer.practice.attempt import Attempt
from trainer.practice.catalogue import load
from trainer.practice.exercise import Draw, Exercise, Focus, Question, Unhearable
from trainer.practice.fields import AmountField, DirectionField, WhichField
from trainer.practice.grading import evidence_of, grade
from trainer.practice.rep_code import MOST_SEED, RepSpec
from trainer.progress.schedule import MOST_CHANCE, band_chances, next_focus
from trainer.progress.thresholds import NAMED
from trainer.progress.thresholds.ear import Ear, after, new_ear

EXERCISES = load().exercises
EXCERPTS = length(4, full=40)
REPS = length(40, full=560)
CONTROL_REPS = length(160, full=520)
WRITTEN = length(24, full=560)
"""How many of an exercise's reps are written as files, for the meter."""
MOST_UNASKED = 0.1
"""What share of reps may be asked nowhere: the smallest sizes on a stem."""
TREES = length(60, full=300)
ADAPTIVE_REPS = length(120, full=1200)
LEAST_P = 0.01
SHOW = "field-show"
LOG = logging.getLogger(__name__)
"""Figures as measured: shown by ``--log-cli-level=INFO``."""


@pytest.fixture(scope="module")
def show() -> Show:
    return generated_shows(NoteBank())[SHOW]


def wanted_of(exercise: Exercise, *, count: int, written: int, rng: Generator) -> list[Wanted]:
    """Return reps to deal: scopes, bands and ways drawn evenly, and sizes evenly over what is asked about them."""
    found = []
    for number in range(count):
        scope = exercise.scopes[rng.integers(len(exercise.scopes))]
        focus = focus_of(exercise, scope, size_groups(exercise, scope)[1], rng)
        spec = RepSpec(exercise.key, SHOW, int(rng.integers(MOST_SEED)), focus)
        found.append(Wanted(exercise, spec, int(rng.integers(EXCERPTS)), is_written=number < written))
    return found


@pytest.fixture(scope="module")
def dealt(show: Show) -> dict[str, list[Wanted]]:
    """Deal the reps of all exercises and of the old rule, excerpt by excerpt, and keep what is seen of them."""
    rng, wanted = rng_of(2026), []
    for exercise in EXERCISES.values():
        wanted += wanted_of(exercise, count=REPS, written=WRITTEN, rng=rng)
    old = replace(EXERCISES["level"], key="level-of-0-1-0", draw=draw_as_version_0_1_0_did)
    wanted += wanted_of(old, count=CONTROL_REPS, written=0, rng=rng)
    deal_all(show, range(EXCERPTS), wanted)
    return {key: [one for one in wanted if one.exercise.key == key] for key in (*EXERCISES, old.key)}


def seen(wanted: Sequence[Wanted]) -> list[Seen]:
    return [one.seen for one in wanted if one.seen]


# The control: what version 0.1.0 had on offer in a level rep.

OLD_AMOUNT = AmountField((1.5, 3.0, 6.0, 12.0), by_ratio=True)


def draw_as_version_0_1_0_did(excerpt: Excerpt, focus: Focus, rng: Generator) -> Draw:
    """Put on offer what is heard to move by this size, either way."""
    candidates = excerpt.sections if focus.scope == "section" else tuple(excerpt.stems)
    up, down = (heard_in_octaves(excerpt, candidates, gain_db=sign * focus.size) for sign in (1.0, -1.0))
    offered = tuple(key for key in candidates if key in up or key in down)
    this_way = up if focus.direction == 1 else down
    if len(offered) < 2 or not this_way:
        raise Unhearable("too few are heard to move by it")
    fields = (WhichField(offered), DirectionField(("up", "down")), OLD_AMOUNT)
    question = Question("Which is up or down, and how far?", fields, "", focus.size, focus.scope or "section")
    answer = {
        "which": this_way[rng.integers(len(this_way))],
        "direction": "up" if focus.direction == 1 else "down",
        "amount": OLD_AMOUNT.nearest(focus.size),
    }
    return Draw(question, answer)


def heard_in_octaves(excerpt: Excerpt, targets: Sequence[str], *, gain_db: float) -> tuple[str, ...]:
    """Return what moves some octave of the mix by 1 dB in a quarter of the windows, 40 dB below the mix at most."""
    mix = excerpt.band_powers_over_time("mix")
    mean = float(np.mean(mix.sum(axis=1)))
    heard = []
    for target in targets:
        part = np.minimum(excerpt.band_powers_over_time(target), mix)
        moved = mix + (10.0 ** (gain_db / 10.0) - 1.0) * part
        shift_db = 10.0 * np.log10((moved + 1e-12 * mean) / (mix + 1e-12 * mean))
        there = np.maximum(mix, moved) >= 1e-4 * mean
        if np.any(np.mean((np.abs(shift_db) >= 1.0) & there, axis=0) >= 0.25):
            heard.append(target)
    return tuple(heard)


# Everything but the sound.


def told(reps: Sequence[Seen], key: str, *, with_meter: bool = False) -> dict[str, NDArray[np.bool_]]:
    """Return what each of the adversaries names right in a field."""
    facts = table_of_facts(reps, with_meter=with_meter)
    found = {"forest": told_by_forest(reps, key, facts, trees=TREES)}
    return found if with_meter else found | {"table": told_by_table(reps, key)}


def test_every_exercise_is_dealt_as_often_as_was_wanted(dealt: dict[str, list[Wanted]]) -> None:
    for key, wanted in dealt.items():
        assert len(wanted) == (REPS if key in EXERCISES else CONTROL_REPS)
        assert len(seen(wanted)) >= (1.0 - MOST_UNASKED) * len(wanted), key


@pytest.mark.filterwarnings("ignore:The number of unique classes")  # thirty thirds, learned from a few files
def test_everything_but_the_sound_tells_nothing(dealt: dict[str, list[Wanted]]) -> None:
    """One-sided, against guessing among what is on offer (Poisson's binomial); Holm over all that is tried, at 1 %."""
    tried: dict[str, float] = {}
    for exercise in EXERCISES:
        reps = seen(dealt[exercise])
        written = [rep for rep in reps if rep.metered]
        for key in reps[0].right:
            for name, right in told(reps, key).items():
                tried[f"{exercise} {key} {name}"] = p_at_least(int(right.sum()), chances(reps, key))
            for name, right in told(written, key, with_meter=True).items():
                tried[f"{exercise} {key} {name}, metered"] = p_at_least(
                    int(right.sum()), chances(written, key)
                )
    adjusted = dict(zip(tried, holm(list(tried.values())), strict=True))
    for name, p_value in sorted(tried.items(), key=lambda each: each[1]):
        LOG.info(f"p {p_value:.4f}  {name}")
    assert len(tried) >= 3 * sum(len(seen(dealt[key])[0].right) for key in EXERCISES)
    leaks = {name: (tried[name], p_value) for name, p_value in adjusted.items() if p_value <= LEAST_P}
    assert leaks == {}


@pytest.mark.parametrize("adversary", ["forest", "table"])
def test_what_version_0_1_0_had_on_offer_is_seen_through(
    dealt: dict[str, list[Wanted]], adversary: str
) -> None:
    """The control: the number of options tells the amount."""
    reps = seen(dealt["level-of-0-1-0"])
    right = told(reps, "amount")[adversary]
    assert p_at_least(int(right.sum()), chances(reps, "amount")) < 1e-6


def test_files_that_are_not_matched_would_be_seen_through(dealt: dict[str, list[Wanted]]) -> None:
    """The control of the meter: peak and loudness as they are without matching tell the direction of a boost or cut."""
    written = [one for one in dealt["octave-tone"] if one.seen and one.unmatched]
    reps = [replace(one.seen, metered=one.unmatched) for one in written if one.seen]
    right = told(reps, "direction", with_meter=True)["forest"]
    assert p_at_least(int(right.sum()), chances(reps, "direction")) < 1e-3


# In adaptive blocks, knowing all earlier answers.


def learner_names(band_hz: float, size: float, rng: Generator) -> bool:
    """Return whether somebody deaf to every third band names a change."""
    return bool(rng.random() < (0.95 if NOMINAL_HZ.index(band_hz) % 3 else 0.2) * min(1.0, size / 4.0))


def test_in_adaptive_blocks_no_earlier_answers_tell_more_than_the_dealing_gives(show: Show) -> None:
    """A forest and a table that know all answers so far, and one that knows the chances, do no better than the largest.

    That of a band in the mix is .15 at most with all ten on offer; with fewer, it grows in proportion.
    """
    exercise, rng = EXERCISES["octave-tone"], rng_of(15)
    excerpts = [show.excerpt(seed) for seed in range(2)]
    ear, reps, most, oracle = new_ear(), [], [], []
    while len(reps) < ADAPTIVE_REPS:
        focus = replace(next_focus(ear, exercise, aim=NAMED, rng=rng), scope="mix")
        focus = focus if focus.band_hz else replace(focus, band_hz=drawn_band(ear, rng))
        try:
            draw = exercise.draw(excerpts[rng.integers(len(excerpts))], focus, rng)
        except Unhearable:
            continue
        spec = RepSpec(exercise.key, SHOW, int(rng.integers(MOST_SEED)), focus)
        rep = seen_in(draw, spec)
        given_by_dealing = dealing_chances(ear, rep)
        most.append(max(given_by_dealing.values()))
        oracle.append(max(given_by_dealing, key=lambda hz: given_by_dealing[hz]) == rep.right["band"])
        assert most[-1] <= MOST_CHANCE * len(NOMINAL_HZ) / len(given_by_dealing) + 1e-9
        reps.append(with_history(rep, reps))
        ear = after(ear, answered(exercise, draw, number=len(reps), rng=rng))
    facts = table_of_facts(reps, with_meter=True)
    right = {
        "forest": told_by_forest(reps, "band", facts, trees=TREES),
        "table": told_by_table(reps, "band"),
        "oracle": np.array(oracle),
    }
    p_values = {name: p_at_least(int(hits.sum()), np.array(most)) for name, hits in right.items()}
    p_values["direction"] = p_at_least(
        int(told_by_forest(reps, "direction", facts, trees=TREES).sum()), chances(reps, "direction")
    )
    assert min(holm(list(p_values.values()))) > LEAST_P, p_values
    assert np.mean(most) > 0.12
    assert binom.sf(sum(oracle) - 1, len(oracle), 0.1) < 0.1


def drawn_band(ear: Ear, rng: Generator) -> float:
    return NOMINAL_HZ[int(rng.choice(len(NOMINAL_HZ), p=band_chances(ear.belief)))]


def dealing_chances(ear: Ear, rep: Seen) -> dict[float, float]:
    """Return the chance of each band on offer: its own, and its share of those that are wished for and not on offer."""
    wished = dict(zip(NOMINAL_HZ, band_chances(ear.belief), strict=True))
    offered = [float(hz) for hz in rep.offered["band"]]
    left = 1.0 - sum(float(wished[hz]) for hz in offered)
    return {hz: float(wished[hz]) + left / len(offered) for hz in offered}


def with_history(rep: Seen, before: Sequence[Seen]) -> Seen:
    """Return a rep with how often each band was asked before it, and how often missed, among its facts."""
    asked = [sum(one.right["band"] == hz for one in before) for hz in NOMINAL_HZ]
    recent = [sum(one.right["band"] == hz for one in before[-12:]) for hz in NOMINAL_HZ]
    return replace(rep, metered=tuple(map(float, (*asked, *recent))))


def answered(exercise: Exercise, draw: Draw, *, number: int, rng: Generator) -> Attempt:
    """Return the attempt that an answer leaves behind."""
    question, right = draw.question, draw.answer
    is_named = learner_names(float(right["band"]), question.size, rng)  # type: ignore[arg-type]
    given = right if is_named else None
    worth = grade(given, right, question, exercise)
    said = evidence_of(exercise, given, right, question, bands=draw.bands or {}, grade=worth)
    return attempt(number, size=question.size, right=is_named, evidence=said)
