"""The block: counts, times, remembers before it reveals, loses nothing, and can be gone on with."""

import json
from collections.abc import Callable, Iterator, Sequence
from datetime import UTC, datetime, timedelta

import pytest

from exercises import octave_tone
from tests.noise_show import NoiseShow
from trainer.practice.attempt import Attempt
from trainer.practice.block import Block, Mark, listen_for, mark_of
from trainer.practice.deal import Rep, deal
from trainer.practice.evidence import Told, bands_of
from trainer.practice.exercise import Focus, Grade
from trainer.practice.fields import field_from
from trainer.practice.rep_code import RepSpec, decode
from trainer.practice.sitting import Sitting
from trainer.progress.errors import StoreError


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


class Dealt:
    """Reps and errors in a row; the next is there when ``is_ready`` is set."""

    def __init__(self, reps: Sequence[Rep | Exception]) -> None:
        self._left = list(reps)
        self.is_ready = True

    def __next__(self) -> Rep:
        dealt = self._left.pop(0)
        if isinstance(dealt, Exception):
            raise dealt
        return dealt


def block_of(
    reps: Sequence[Rep | Exception],
    remember: Callable[[Attempt], object],
    clock: Clock,
    *,
    count: int = 3,
    marks: Sequence[Mark] = (),
) -> Block:
    uids: Iterator[int] = iter(range(1, 100))
    sitting = Sitting(
        f"{0:032x}", "Heron", ("octave-tone",), "noise", count=count, seed=1, size=None, begun_at=clock.time
    )
    return Block(
        sitting,
        reps=Dealt(reps),
        remember=remember,
        now=clock,
        new_uid=lambda: f"{next(uids):032x}",
        marks=marks,
    )


def test_a_block_goes_through_its_reps_and_remembers_each(reps: list[Rep]) -> None:
    kept: list[Attempt] = []
    clock = Clock()
    block = block_of(reps, kept.append, clock)
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
    assert (bands_of(first.evidence), first.size, first.target) == ({1000.0: 1.0}, 6.0, "mix")
    assert [field_from(one).plain() for one in json.loads(first.asked)] == [
        one.plain() for one in reps[0].question.fields
    ]
    assert len({attempt.asked for attempt in kept}) == 1
    assert [[one.named for one in attempt.evidence] for attempt in kept] == [[True], [False], [False]]
    assert first.evidence[0].told["band"] == Told(1000.0, 1000.0)
    assert kept[1].evidence[0].told["band"] == Told(1000.0, 2000.0)
    assert kept[2].evidence[0].told["band"] == Told(1000.0, None)
    assert kept[2].given_answer == {}
    assert decode(first.rep_code) == reps[0].spec


def test_an_answer_the_store_refuses_once_is_not_counted_and_can_be_given_again(reps: list[Rep]) -> None:
    kept: list[Attempt] = []
    refusals = [StoreError("the disk is full")]

    def remember(attempt: Attempt) -> None:
        if refusals:
            raise refusals.pop()
        kept.append(attempt)

    block = block_of(reps, remember, Clock())
    assert block.rep is reps[0]
    block.heard()
    block.flipped()
    with pytest.raises(StoreError, match="disk is full"):
        block.answer({"band": 1000.0, "direction": "boost"})
    assert (block.marks, block.number, kept) == ([], 1, [])
    assert block.is_ready
    assert block.rep is reps[0]
    assert block.answer({"band": 1000.0, "direction": "boost"}).grade.right
    assert (block.number, len(kept), kept[0].flips) == (2, 1, 1)
    assert block.rep is reps[1]


def test_an_answer_that_does_not_fit_is_not_remembered_and_the_rep_stays(reps: list[Rep]) -> None:
    kept: list[Attempt] = []
    block = block_of(reps, kept.append, Clock())
    with pytest.raises(ValueError, match="on offer are"):
        block.answer({"band": 440.0, "direction": "boost"})
    assert kept == []
    assert block.number == 1
    assert block.rep is reps[0]


def test_a_block_that_is_gone_on_with_counts_from_where_it_was_left(reps: list[Rep]) -> None:
    kept: list[Attempt] = []
    whole = block_of(reps, kept.append, Clock())
    for _ in reps:
        whole.answer({"band": 1000.0, "direction": "boost"})
    before = [mark_of(attempt) for attempt in kept[:2]]
    assert before == whole.marks[:2]
    later: list[Attempt] = []
    rest = block_of(reps[2:], later.append, Clock(), marks=before)
    assert (rest.number, rest.count, rest.finished) == (3, 3, False)
    assert rest.rep is reps[2]
    rest.answer({"band": 1000.0, "direction": "boost"})
    assert rest.finished
    assert rest.marks == whole.marks
    assert later[0].block == kept[0].block
    assert before == whole.marks[:2]


def test_a_block_is_ready_when_its_rep_can_be_had_without_waiting(reps: list[Rep]) -> None:
    block = block_of(reps, lambda _: None, Clock(), count=1)
    dealt = block._reps
    assert isinstance(dealt, Dealt)
    dealt.is_ready = False
    assert not block.is_ready
    dealt.is_ready = True
    assert block.is_ready
    assert block.rep is reps[0]
    dealt.is_ready = False
    assert block.is_ready
    block.answer(None)
    dealt.is_ready = True
    assert not block.is_ready
    with pytest.raises(ValueError, match="all 1 reps of the block are answered"):
        _ = block.rep


def test_a_rep_that_cannot_be_made_is_told_and_another_takes_its_number(reps: list[Rep]) -> None:
    block = block_of([reps[0], RuntimeError("out of order"), reps[1]], lambda _: None, Clock())
    block.answer(None)
    with pytest.raises(RuntimeError, match="out of order"):
        _ = block.rep
    assert block.number == 2
    assert block.rep is reps[1]


def mark(bands: dict[float, float], *, right: bool) -> Mark:
    return Mark("octave-tone", bands, Grade({}, float(right), right=right))


def test_what_to_listen_for_is_the_band_that_was_missed_most() -> None:
    marks = [
        mark({125.0: 1.0}, right=False),
        mark({4000.0: 0.6, 125.0: 0.4}, right=False),
        mark({4000.0: 1.0}, right=False),
        mark({8000.0: 1.0}, right=True),
        mark({8000.0: 1.0}, right=True),
    ]
    assert listen_for(marks) == 4000.0
    assert listen_for(marks[:2]) == 125.0
    assert listen_for(marks[3:]) is None
    assert listen_for([mark({}, right=False)]) is None
    assert listen_for([]) is None
