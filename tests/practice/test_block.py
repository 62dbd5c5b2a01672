"""The block: counts, times, remembers before it reveals, and loses nothing."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

import pytest

from exercises import octave_tone
from tests.noise_show import NoiseShow
from trainer.practice.ahead import dealt_ahead
from trainer.practice.attempt import Attempt
from trainer.practice.block import Block
from trainer.practice.deal import Rep, deal
from trainer.practice.exercise import Focus
from trainer.practice.rep_code import RepSpec, decode


class Clock:
    """A clock that is set by hand."""

    def __init__(self) -> None:
        self.time = datetime(2026, 7, 1, 19, 0, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.time


def rep(seed: int) -> Rep:
    focus = Focus(6.0, "mix", 1000.0, 1)
    return deal(RepSpec("octave-tone", "noise", seed, focus), octave_tone.EXERCISE, NoiseShow())


@pytest.fixture(scope="module")
def reps() -> list[Rep]:
    return [rep(seed) for seed in range(3)]


def block_of(reps: list[Rep], kept: list[Attempt], clock: Clock) -> Block:
    uids: Iterator[int] = iter(range(100))
    return Block(
        learner="Heron",
        count=len(reps),
        reps=iter(reps),
        remember=kept.append,
        now=clock,
        new_uid=lambda: f"{next(uids):032x}",
    )


def test_a_block_goes_through_its_reps_and_remembers_each(reps: list[Rep]) -> None:
    kept: list[Attempt] = []
    clock = Clock()
    block = block_of(reps, kept, clock)
    answers = [{"band": 1000.0, "direction": "boost"}, {"band": 2000.0, "direction": "boost"}, None]
    for number, answer in enumerate(answers, start=1):
        assert block.number == number
        assert block.rep is reps[number - 1]
        block.heard()
        clock.time += timedelta(seconds=7.5)
        block.heard()
        block.flipped()
        block.flipped()
        block.answer(answer)
        assert len(kept) == number
    assert block.finished
    assert [attempt.right for attempt in kept] == [True, False, False]
    assert [attempt.score for attempt in kept] == pytest.approx([1.0, 0.5, 0.0])
    assert {attempt.block for attempt in kept} == {kept[0].block}
    assert len({attempt.uid for attempt in kept} | {kept[0].block}) == 4
    first = kept[0]
    assert (first.learner, first.response_s, first.flips, first.unit) == ("Heron", 7.5, 2, "dB")
    assert (first.bands, first.size, first.target) == ({1000.0: 1.0}, 6.0, "mix")
    assert first.options["direction"] == ("boost", "cut")
    assert kept[2].given_answer == {}
    assert decode(first.rep_code) == reps[0].spec


def test_an_answer_is_remembered_before_its_outcome_is_given(reps: list[Rep]) -> None:
    def disk_full(attempt: Attempt) -> None:
        raise OSError(f"no space for {attempt.uid}")

    block = block_of(reps, [], Clock())
    block._remember = disk_full
    with pytest.raises(OSError, match="no space"):
        block.answer(None)
    assert block.marks == []
    assert block.rep is reps[0]


def test_an_answer_that_does_not_fit_is_not_remembered_and_the_rep_stays(reps: list[Rep]) -> None:
    kept: list[Attempt] = []
    block = block_of(reps, kept, Clock())
    with pytest.raises(ValueError, match="on offer are"):
        block.answer({"band": 440.0, "direction": "boost"})
    assert kept == []
    assert block.number == 1
    assert block.rep is reps[0]


def test_reps_are_dealt_ahead_in_order_and_an_error_waits_for_its_rep(reps: list[Rep]) -> None:
    begun: list[int] = []

    def deal_number(number: int) -> Rep:
        begun.append(number)
        if number == 2:
            raise RuntimeError("no third rep")
        return reps[number]

    with dealt_ahead((lambda number=number: deal_number(number)) for number in range(3)) as dealt:
        assert next(dealt) is reps[0]
        assert next(dealt) is reps[1]
        assert set(begun) >= {0, 1}
        with pytest.raises(RuntimeError, match="no third rep"):
            next(dealt)
