"""The assembly: what is dealt follows from the sitting alone, and a block is gone on with as if nothing had been."""

import json
from collections.abc import Iterator
from concurrent.futures import wait
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from functools import partial
from itertools import count
from pathlib import Path
from types import MappingProxyType
from typing import Any

import pytest
from numpy.random import Generator, default_rng

from tests.noise_show import SameNoise
from trainer.assembly import Assembly
from trainer.dsp.octave_bands import NOMINAL_HZ
from trainer.ensemble.excerpt import Excerpt
from trainer.practice.block import mark_of
from trainer.practice.catalogue import Catalogue
from trainer.practice.evidence import bands_of
from trainer.practice.exercise import Draw, Exercise, Focus
from trainer.practice.sitting import Sitting, to_text
from trainer.progress.errors import StoreError
from trainer.progress.setups import Setup, keep_setup
from trainer.progress.sittings import SITTING_SETTING, answered_of
from trainer.progress.store import Store, open_store
from trainer.refusal import Refused

NOW = datetime(2031, 2, 3, 18, 0, tzinfo=UTC)
EXERCISES = ("level", "octave-tone")


def assembly_of(seed: int = 1, **changed: Any) -> Assembly:
    """Return an assembly whose one show is noise; ``changed`` replaces exercises by key (None: left out)."""
    seconds = count()
    made = Assembly(environ={}, rng=default_rng(seed), now=lambda: NOW + timedelta(seconds=next(seconds)))
    made.__dict__["shows"] = {"noise": SameNoise()}
    there = {key: made.catalogue.exercises[key] for key in EXERCISES}
    there |= {key.replace("_", "-"): exercise for key, exercise in changed.items()}
    kept = {key: exercise for key, exercise in there.items() if exercise is not None}
    made.__dict__["catalogue"] = Catalogue(MappingProxyType(kept), ())
    return made


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with open_store(tmp_path / "store.sqlite", now=NOW) as opened:
        yield opened


def sitting_of(assembly: Assembly, *, count: int = 5, size: float | None = None) -> Sitting:
    return assembly.new_sitting("Heron", EXERCISES, "noise", count, size)


def answer(assembly: Assembly, store: Store, sitting: Sitting, count: int) -> list[str]:
    """Answer so many reps of a sitting and leave; return their codes."""
    codes = []
    with assembly.block(store, sitting) as block:
        for _ in range(count):
            codes.append(block.rep.code)
            block.answer(None)
    return codes


@pytest.mark.parametrize("is_adapted", [False, True])
def test_a_block_left_in_the_middle_goes_on_as_if_it_had_not_been(
    store: Store, tmp_path: Path, is_adapted: bool
) -> None:
    sitting = replace(sitting_of(assembly_of()), is_adapted=is_adapted)
    with open_store(tmp_path / "elsewhere.sqlite", now=NOW) as elsewhere:
        whole = answer(assembly_of(2), elsewhere, sitting, 5)
    first = answer(assembly_of(3), store, sitting, 2)
    later = assembly_of(4)
    left = later.open_sitting(store, "Heron")
    assert left == sitting
    with later.block(store, sitting) as block:
        assert (block.number, block.count, len(block.marks)) == (3, 5, 2)
        assert block.marks == [mark_of(attempt) for attempt in answered_of(store, sitting)]
    rest = answer(later, store, sitting, 3)
    assert first + rest == whole
    assert len(set(whole)) == 5
    attempts = list(store.log.attempts())
    assert {attempt.block for attempt in attempts} == {sitting.uid}
    assert {attempt.rep_code for attempt in attempts} == set(whole)
    runs = [code.split(".")[0] for code in whole]
    assert sorted(runs) in (["level"] * 3 + ["octave-tone"] * 2, ["level"] * 2 + ["octave-tone"] * 3)
    assert len([place for place in range(1, 5) if runs[place] != runs[place - 1]]) == 1


def test_an_adapted_block_follows_from_sitting_and_log_however_quick_the_answers(
    store: Store, tmp_path: Path
) -> None:
    sitting = sitting_of(assembly_of(), count=4)
    with open_store(tmp_path / "elsewhere.sqlite", now=NOW) as elsewhere:
        quick = answer(assembly_of(2), elsewhere, sitting, 4)
    slow = []
    with assembly_of(3).block(store, sitting) as block:
        for place in range(4):
            slow.append(block.rep.code)
            if place < 3:  # the next one is made before this is answered
                wait([block._reps._waiting])  # type: ignore[attr-defined]
            block.answer(None)
    assert slow == quick


def test_a_finished_block_is_no_longer_open(store: Store) -> None:
    assembly = assembly_of()
    sitting = sitting_of(assembly, count=2)
    with assembly.block(store, sitting) as block:
        block.answer(None)
        assert assembly.open_sitting(store, "Heron") == sitting
        block.answer(None)
        assert block.finished
        assert assembly.open_sitting(store, "Heron") is None
        assert store.settings.get("Heron", SITTING_SETTING) == to_text(sitting)
    assert store.settings.get("Heron", SITTING_SETTING) == ""


def test_a_block_of_which_nothing_was_answered_leaves_the_one_before_open(store: Store) -> None:
    assembly = assembly_of()
    assert assembly.open_sitting(store, "Heron") is None
    first, second = sitting_of(assembly), sitting_of(assembly)
    assert first.uid != second.uid
    assert first.seed != second.seed
    answer(assembly, store, first, 0)
    assert assembly.open_sitting(store, "Heron") is None
    answer(assembly, store, first, 1)
    answer(assembly, store, second, 0)
    assert assembly.open_sitting(store, "Heron") == first
    answer(assembly, store, second, 1)
    assert assembly.open_sitting(store, "Heron") == second
    assert assembly.open_sitting(store, "Plover") is None


def test_a_sitting_whose_exercise_or_show_is_gone_is_refused_and_not_offered(store: Store) -> None:
    assembly = assembly_of()
    sitting = sitting_of(assembly, size=9.0)
    answer(assembly, store, sitting, 1)
    gone = assembly_of(level=None)
    no_show = assembly_of()
    no_show.__dict__["shows"] = {}
    ladder = replace(assembly.catalogue["level"].ladder, easiest=6.0)
    smaller = assembly_of(level=replace(assembly.catalogue["level"], ladder=ladder))
    for changed, said in ((gone, "exercise 'level'"), (no_show, "show 'noise'"), (smaller, "size of 9 dB")):
        assert changed.open_sitting(store, "Heron") is None
        with pytest.raises(Refused, match=said), changed.block(store, sitting):
            pass


def _never(_excerpt: Excerpt, _focus: Focus, _rng: Generator) -> Draw:
    raise RuntimeError("out of order")


def test_where_an_exercise_breaks_another_takes_its_number_also_after_a_stop(store: Store) -> None:
    level: Exercise = assembly_of().catalogue["level"]
    broken = assembly_of(level=replace(level, draw=_never))
    sitting = replace(sitting_of(broken), count=1)
    while default_rng(sitting.seed).permutation(2)[0] != EXERCISES.index("level"):  # until level comes first
        sitting = replace(sitting, seed=sitting.seed + 1)
    codes = []
    for _ in range(2):
        with broken.block(store, sitting) as block:
            with pytest.raises(RuntimeError, match="out of order"):
                _ = block.rep
            assert block.number == 1
            codes.append(block.rep.code)
    assert codes[0] == codes[1]
    assert codes[0].startswith("octave-tone.noise.")


def test_a_store_that_fails_at_the_first_answer_leaves_the_rep_and_counts_nothing(store: Store) -> None:
    assembly = assembly_of()
    sitting = sitting_of(assembly, count=2)
    working = store.settings.set
    failures = [StoreError("the disk is full")]

    def fails_once(learner: str, key: str, value: str | float) -> None:
        if failures:
            raise failures.pop()
        working(learner, key, value)

    store.settings.set = partial(fails_once)  # type: ignore[method-assign]
    with assembly.block(store, sitting) as block:
        rep = block.rep
        with pytest.raises(StoreError, match="disk is full"):
            block.answer(None)
        assert (block.number, list(store.log.attempts())) == (1, [])
        assert block.rep is rep
        block.answer(None)
        assert (block.number, len(list(store.log.attempts()))) == (2, 1)


@pytest.mark.parametrize("is_adapted", [False, True])
def test_nothing_is_asked_of_bands_that_the_learners_setup_cannot_play(
    store: Store, is_adapted: bool
) -> None:
    keep_setup(store, "Heron", Setup("small speakers", "", NOMINAL_HZ[3:9], NOW))
    assembly = assembly_of()
    sitting = replace(assembly.new_sitting("Heron", EXERCISES, "noise", 10), is_adapted=is_adapted)
    codes = answer(assembly, store, sitting, 10)
    attempts = list(store.log.attempts())
    assert {attempt.setup for attempt in attempts} == {"small speakers"}
    assert {band_hz for attempt in attempts for band_hz in bands_of(attempt.evidence)} <= set(NOMINAL_HZ[3:9])
    fields = [one for attempt in attempts for one in json.loads(attempt.asked)]
    offered = [one["options"] for one in fields if one["kind"] == "band"]
    assert offered
    assert all(set(bands) <= set(NOMINAL_HZ[3:9]) for bands in offered)
    rebuilt = assembly.rebuilt(codes[0])
    kept = next(attempt for attempt in attempts if attempt.rep_code == codes[0])
    assert (rebuilt.answer, rebuilt.bands) == (kept.right_answer, bands_of(kept.evidence))
