"""What a listener can hear in the reps: measured on real reps of the field show.

The listeners (tests/listener.py, tests/listener_of_gain.py) are given sound only, and what a learner reads: the target
where the question names it, what is on offer. They were made while looking at excerpts 0 to 9, so others are taken
here. YARDLINE_FULL_TESTS=1 takes five times the excerpts and more reps of each.
"""

import logging
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import cycle, islice

import numpy as np
import pytest
from numpy.random import Generator, default_rng

from tests import listener_of_gain
from tests.lengths import length
from tests.listener import (
    CENTRES_HZ,
    NOMINAL_HZ,
    Floats,
    HeardLevel,
    HeardTone,
    bell_db,
    hear_compression,
    hear_level,
    hear_tone,
    profile_of,
)
from tests.signals import pink_noise
from trainer.dsp.level import gain
from trainer.ensemble.bank import NoteBank
from trainer.ensemble.excerpt import Excerpt
from trainer.ensemble.shows import Show, generated_shows
from trainer.practice.catalogue import load
from trainer.practice.deal import Rep, deal_on
from trainer.practice.exercise import Exercise, Focus, Scope, Unhearable
from trainer.practice.rep_code import MOST_SEED, RepSpec
from trainer.sound import Sound

FIRST_SEED, EXCERPTS = 500, length(5, full=24)
PROFILE_EXCERPTS = 3
TONES, SMALL_TONES, PART_TONES = 16, 16, length(8, full=16)
LEVELS = 14
COMPRESSIONS = length(12, full=32)
SIZE_DB, SMALL_DB = 6.0, 3.0
LEVEL_SIZES_DB = (3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0)
TREES = length(200, full=400)
CLASS_NAMED = length(0.55, full=0.75)
"""How often the class of a compressor is to be named; with few reps to learn from, less often."""
PACE_NAMED = length(0.75, full=0.85)
UNCHANGED = length(2, full=6)
LEAST_HEARD = 1e-4
"""How far the samples of an unchanged rep may lie from the plain ones, its level set aside."""

EXERCISES = load().exercises
LOG = logging.getLogger(__name__)
"""Figures as measured: shown by ``--log-cli-level=INFO``."""


@dataclass(frozen=True)
class Pressed:
    """A compressor as it was described by the listener, and what is true of it."""

    described: Floats
    excerpt: int
    target: str
    how_hard: str
    pace: str


@dataclass
class Others:
    """Excerpts that no rep is taken from: what the listener knows the ensemble's sections and parts by."""

    excerpts: Sequence[Excerpt]
    _known: dict[str, Floats | None] = field(default_factory=dict)

    def profile(self, target: str) -> Floats | None:
        """Return what a section or a part sounds like, where it plays in one of them."""
        if target not in self._known:
            there = [one for one in self.excerpts if target in (*one.sections, *one.parts)]
            heard = [profile_of(one.through_bus(target)) for one in there]
            self._known[target] = np.mean(heard, axis=0) if heard else None
        return self._known[target]

    @cached_property
    def sections(self) -> dict[str, Floats]:
        """What each section sounds like."""
        known = {section: self.profile(section) for section in self.excerpts[0].sections}
        return {section: profile for section, profile in known.items() if profile is not None}


@dataclass(frozen=True)
class Sitting:
    """What was heard in many reps."""

    tones: list[tuple[HeardTone | None, HeardTone]] = field(default_factory=list)
    small_tones: list[tuple[HeardTone | None, HeardTone]] = field(default_factory=list)
    part_tones: list[tuple[HeardTone | None, HeardTone]] = field(default_factory=list)
    levels: list[tuple[float, HeardLevel | None, HeardLevel]] = field(default_factory=list)
    pressed: list[Pressed] = field(default_factory=list)
    compressed: list[bool] = field(default_factory=list)
    uncompressed: list[bool] = field(default_factory=list)


@pytest.fixture(scope="module")
def show() -> Show:
    return generated_shows(NoteBank())["field-show"]


@pytest.fixture(scope="module")
def sitting(show: Show) -> Sitting:
    """Deal the reps, excerpt by excerpt, and keep only what was heard."""
    rng = default_rng(2026)
    others = Others([show.excerpt(seed) for seed in range(9000, 9000 + PROFILE_EXCERPTS)])
    heard = Sitting()
    for number in range(EXCERPTS):
        sit_through(show.excerpt(FIRST_SEED + number), rng, others, heard)
    return heard


def sit_through(excerpt: Excerpt, rng: Generator, others: Others, heard: Sitting) -> None:
    """Hear one excerpt's reps."""
    for rep in islice(reps(excerpt, "octave-tone", rng, ["mix"], [SIZE_DB]), TONES):
        heard.tones.append((heard_tone(rep, others), true_tone(rep)))
        heard.uncompressed.append(hear_compression(rep.plain, rep.changed))
    for rep in islice(reps(excerpt, "octave-tone", rng, ["mix"], [SMALL_DB]), SMALL_TONES):
        heard.small_tones.append((heard_tone(rep, others), true_tone(rep)))
    for rep in islice(reps(excerpt, "octave-tone", rng, ["section", "stem"], [SIZE_DB]), PART_TONES):
        heard.part_tones.append((heard_tone(rep, others), true_tone(rep)))
    for rep in islice(reps(excerpt, "level", rng, ["section"], LEVEL_SIZES_DB), LEVELS):
        moved = HeardLevel(str(rep.answer["which"]), str(rep.answer["direction"]))
        heard.levels.append((rep.question.size, hear_level(rep.plain, rep.changed, others.sections), moved))
        heard.uncompressed.append(hear_compression(rep.plain, rep.changed))
    sizes_db = amounts("compression")
    for rep in islice(reps(excerpt, "compression", rng, ["section", "stem"], sizes_db), COMPRESSIONS):
        heard.compressed.append(hear_compression(rep.plain, rep.changed))
        described = listener_of_gain.describe(rep.plain, rep.changed)
        which, how_hard, pace = map(str, rep.answer.values())
        heard.pressed.append(Pressed(described, excerpt.seed, which, how_hard, pace))


def amounts(exercise: str) -> tuple[float, ...]:
    """Return the sizes at which an exercise is as large as its ladder's ends and its start."""
    ladder = EXERCISES[exercise].ladder
    return (ladder.hardest, ladder.start, ladder.easiest)


def reps(
    excerpt: Excerpt, exercise: str, rng: Generator, scopes: Sequence[Scope], sizes: Sequence[float]
) -> Iterator[Rep]:
    """Yield an excerpt's reps on these scopes and of these sizes in turn; a scope that has none is left out."""
    left = {scope: cycle(sizes) for scope in scopes}
    while left:
        for scope in tuple(left):
            focus = Focus(next(left[scope]), scope)
            spec = RepSpec(exercise, excerpt.show, int(rng.integers(MOST_SEED)), focus)
            try:
                yield deal_on(excerpt, spec, EXERCISES[exercise])
            except Unhearable:
                del left[scope]


def heard_tone(rep: Rep, others: Others) -> HeardTone | None:
    offered = tuple(float(one) for one in rep.question.fields[0].options)  # type: ignore[attr-defined]
    profile = None if rep.question.target == "mix" else others.profile(rep.question.target)
    return hear_tone(rep.plain, rep.changed, offered=offered, profile=profile)


def true_tone(rep: Rep) -> HeardTone:
    return HeardTone(float(rep.answer["band"]), str(rep.answer["direction"]))  # type: ignore[arg-type]


@pytest.mark.parametrize("sign", [1.0, -1.0])
@pytest.mark.parametrize("band", range(10))
def test_the_listener_hears_a_bell_in_pink_noise(band: int, sign: float) -> None:
    """The listener itself: a 6 dB bell made in the frequency domain from the analogue prototype (RBJ)."""
    noise = pink_noise(duration_s=8.0, seed=band, channels=2)
    frequency_hz = np.fft.rfftfreq(noise.frames, 1.0 / noise.rate_hz)
    response = 10.0 ** (bell_db(frequency_hz, CENTRES_HZ[band], sign * SIZE_DB) / 20.0)
    spectrum = np.fft.rfft(noise.samples, axis=0) * response[:, None]
    belled = gain(Sound.of(np.fft.irfft(spectrum, noise.frames, axis=0)), gain_db=-1.3)
    assert hear_tone(noise, belled) == HeardTone(NOMINAL_HZ[band], "boost" if sign > 0 else "cut")


def test_the_listener_hears_nothing_in_two_equal_noises() -> None:
    noise = pink_noise(duration_s=8.0, seed=1, channels=2)
    assert hear_tone(noise, gain(noise, gain_db=-2.0)) is None
    assert hear_level(noise, noise, {"brass": np.zeros(60)}) is None
    assert not hear_compression(noise, gain(noise, gain_db=-2.0))
    assert not np.any(listener_of_gain.describe(noise, gain(noise, gain_db=-2.0)))


def named(heard: Sequence[tuple[HeardTone | None, HeardTone]]) -> float:
    """Return the share that was named right, band and direction."""
    return float(np.mean([one == true for one, true in heard]))


def test_a_listener_names_band_and_direction_in_the_mix(sitting: Sitting) -> None:
    assert len(sitting.tones) == EXCERPTS * TONES
    assert len(sitting.small_tones) == EXCERPTS * SMALL_TONES
    LOG.info(f"in the mix at 6 and 3 dB: {named(sitting.tones):.3f}, {named(sitting.small_tones):.3f}")
    assert named(sitting.tones) >= 0.99
    assert named(sitting.small_tones) >= 0.95


def test_a_listener_names_band_and_direction_of_6_db_on_a_section_or_a_stem(sitting: Sitting) -> None:
    assert len(sitting.part_tones) >= EXCERPTS * PART_TONES / 2
    LOG.info(f"on a section or a stem: {named(sitting.part_tones):.3f} of {len(sitting.part_tones)}")
    assert named(sitting.part_tones) >= 0.9


@pytest.mark.parametrize("size_db", LEVEL_SIZES_DB)
def test_a_listener_names_the_section_that_moved_and_which_way(sitting: Sitting, size_db: float) -> None:
    heard = [(one, true) for size, one, true in sitting.levels if size == size_db]
    assert len(heard) >= EXCERPTS * LEVELS / len(LEVEL_SIZES_DB) / 2
    named_right = np.mean([one == true for one, true in heard])
    LOG.info(f"which and direction at {size_db} dB: {named_right:.3f} of {len(heard)}")
    assert named_right >= 0.95


def test_more_than_one_section_is_heard_to_move(sitting: Sitting) -> None:
    assert len({true.section for *_, true in sitting.levels}) >= 4


def test_a_listener_tells_compressed_from_not(sitting: Sitting) -> None:
    right = sum(sitting.compressed) + sum(not heard for heard in sitting.uncompressed)
    asked = len(sitting.compressed) + len(sitting.uncompressed)
    assert len(sitting.compressed) >= EXCERPTS * COMPRESSIONS / 2
    assert np.mean(sitting.compressed) >= 0.95
    assert right / asked >= 0.95


def test_a_listener_names_how_hard_a_compressor_works_and_how_fast(sitting: Sitting) -> None:
    """How hard given the target and the pace, the pace given the target; learned on other excerpts."""
    described = np.array([one.described for one in sitting.pressed])
    targets = listener_of_gain.one_hot([one.target for one in sitting.pressed])
    paces = [one.pace for one in sitting.pressed]
    classes = [one.how_hard for one in sitting.pressed]
    excerpts = [one.excerpt for one in sitting.pressed]
    assert len(set(excerpts)) >= listener_of_gain.FOLDS
    knowing_pace = np.hstack([described, targets, listener_of_gain.one_hot(paces)])
    heard = listener_of_gain.named(knowing_pace, classes, excerpts, trees=TREES)
    LOG.info(f"class {np.mean(heard == np.array(classes)):.3f} of {len(heard)}")
    assert np.mean(heard == np.array(classes)) >= CLASS_NAMED
    heard = listener_of_gain.named(np.hstack([described, targets]), paces, excerpts, trees=TREES)
    LOG.info(f"pace {np.mean(heard == np.array(paces)):.3f}")
    assert np.mean(heard == np.array(paces)) >= PACE_NAMED


@pytest.mark.parametrize("exercise", EXERCISES.values(), ids=lambda exercise: exercise.key)
def test_in_an_unchanged_rep_there_is_nothing_to_hear(show: Show, exercise: Exercise) -> None:
    """But for the level, which both are given alike, plain and changed are one sound: any listener is at chance.

    A fault that is there or not is unchanged where what is right does nothing.
    """
    found = 0
    excerpts = [show.excerpt(seed) for seed in range(3)]
    for seed in range(40 * UNCHANGED):
        size = 0.0 if exercise.ladder.has_sizes else exercise.ladder.start
        try:
            rep = deal_on(excerpts[seed % 3], RepSpec(exercise.key, show.key, seed, Focus(size)), exercise)
        except Unhearable:
            continue
        if size and rep.change.edits != exercise.setting(rep.question, rep.excerpt).edits:
            continue
        ratio = float(np.sum(rep.changed.samples * rep.plain.samples) / np.sum(np.square(rep.plain.samples)))
        assert abs(20.0 * np.log10(ratio)) < 0.1
        assert np.max(np.abs(rep.changed.samples - ratio * rep.plain.samples)) < LEAST_HEARD
        assert hear_tone(rep.plain, rep.changed) is None
        assert not np.any(listener_of_gain.describe(rep.plain, rep.changed))
        found += 1
        if found == UNCHANGED:
            return
    pytest.fail(f"only {found} unchanged reps were dealt")
